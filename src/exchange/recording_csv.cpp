#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_recording.hpp"

namespace tracehold {
namespace {

constexpr std::array<std::int64_t, 10> kPowerOfTen = {1,      10,      100,      1000,      10000,
                                                      100000, 1000000, 10000000, 100000000, 1000000000};

[[noreturn]] void refuse(const Recording& recording, const std::string& message, const std::string& hint = {}) {
    throw Error(ErrorKind::bad_setting, recording.source, "", message, hint);
}

double units_per_microvolt(const Recording& recording, const std::string& unit) {
    if (unit == "uV") return 1.0;
    if (unit == "mV") return 1e-3;
    if (unit == "V") return 1e-6;
    refuse(recording, fmt::format("no unit of a voltage: saw '{}', expected uV, mV or V", shown(unit)));
}

void check(const Recording& recording, const RecordingCsvStyle& style) {
    const Channel& first = recording.channels.front();
    for (const Channel& channel : recording.channels) {
        if (channel.rate != first.rate) {
            refuse(recording,
                   fmt::format("several rates in one table: saw {} and {} Hz, expected one",
                               number_text(first.rate.value), number_text(channel.rate.value)),
                   "write EDF+ instead");
        }
        if (channel.samples.size() != first.samples.size())
            refuse(recording, "channels of several lengths, expected one");
        if (channel.kind != first.kind) refuse(recording, "channels of several kinds, expected one");
    }
    if (style.delimiter == style.decimal)
        refuse(recording, "the delimiter is the decimal mark too, expected two different ones");
    if (style.decimals < 0 || style.decimals > 9)
        refuse(recording, fmt::format("decimals out of range: saw {}, expected 0 to 9", style.decimals));
}

// A number of 1 / 10^decimals parts, many times faster than a general formatter.
void append_parts(std::string& out, std::int64_t parts, int decimals, char decimal_mark) {
    std::array<char, 24> text;
    char* at = text.data() + text.size();
    const bool negative = parts < 0;
    std::uint64_t rest = negative ? 0 - static_cast<std::uint64_t>(parts) : static_cast<std::uint64_t>(parts);
    for (int digit = 0; digit <= decimals || rest != 0; ++digit) {
        if (digit == decimals && decimals > 0) *--at = decimal_mark;
        *--at = static_cast<char>('0' + rest % 10);
        rest /= 10;
    }
    if (negative) *--at = '-';
    out.append(at, static_cast<std::size_t>(text.data() + text.size() - at));
}

void append_value(std::string& out, double value, const RecordingCsvStyle& style) {
    if (!std::isfinite(value)) return;
    const double parts = value * static_cast<double>(kPowerOfTen[style.decimals]);
    // 2^53: beyond it a double holds no single parts.
    if (std::abs(parts) < 9e15) return append_parts(out, std::llround(parts), style.decimals, style.decimal);
    std::string text = fixed_text(value, style.decimals);
    std::replace(text.begin(), text.end(), '.', style.decimal);
    out += text;
}

// As few decimals of a second as give every sample its exact time, 6 where none do.
int time_decimals(double rate_hz) {
    for (int decimals = 0; decimals < 6; ++decimals) {
        const double parts = static_cast<double>(kPowerOfTen[decimals]) / rate_hz;
        if (parts >= 1 && parts == std::floor(parts)) return decimals;
    }
    return 6;
}

std::string in_quotes(std::string_view text, char delimiter) {
    std::string clean;
    for (const char c : text) clean += c == '\n' || c == '\r' ? ' ' : c;
    if (clean.find(delimiter) == std::string::npos && clean.find('"') == std::string::npos) return clean;
    std::string out = "\"";
    for (const char c : clean) out += c == '"' ? "\"\"" : std::string(1, c);
    return out + '"';
}

// What the marker column holds at each sample: an index into the marks, or none.
constexpr std::size_t kNoMark = static_cast<std::size_t>(-1);
std::vector<std::size_t> marker_column(const Recording& recording) {
    const Channel& channel = recording.channels.front();
    const std::size_t size = channel.samples.size();
    std::vector<std::size_t> column(size, kNoMark);
    for (std::size_t m = 0; m < recording.marks.size(); ++m) {
        const Mark& mark = recording.marks[m];
        const std::size_t begin = samples_in({mark.time_s, mark.time_s}, channel.rate, size).begin;
        const bool repeats = begin > 0 && m > 0 && recording.marks[m - 1].text == mark.text;
        if (repeats) column[begin - 1] = kNoMark;
        std::fill(column.begin() + static_cast<std::ptrdiff_t>(begin), column.end(), m);
    }
    return column;
}

std::string head(const Recording& recording, const RecordingCsvStyle& style) {
    const Channel& first = recording.channels.front();
    std::string out;
    const auto say = [&](std::string_view key, std::string_view value) {
        if (!value.empty()) out += fmt::format("# {}: {}\n", key, in_quotes(value, '\n'));
    };
    say("person", recording.person);
    if (recording.start) say("start", to_text(*recording.start));
    say("posture", recording.posture);
    say("rate_hz", number_text(first.rate.value));
    if (first.kind != ChannelKind::other) say("unit", style.unit);
    say("kind", to_string(first.kind));
    if (recording.format == FileFormat::simulated) say("simulated", "yes");

    if (style.time_column) out += fmt::format("time_s{}", style.delimiter);
    for (const Channel& channel : recording.channels) {
        const std::string& unit = channel.kind == ChannelKind::other ? channel.unit : style.unit;
        const std::string name = unit.empty() ? channel.label : fmt::format("{} ({})", channel.label, unit);
        out += (&channel == &first ? "" : std::string(1, style.delimiter)) + in_quotes(name, style.delimiter);
    }
    if (!recording.marks.empty()) out += fmt::format("{}marker", style.delimiter);
    return out + "\n";
}

}  // namespace

std::string recording_csv(const Recording& recording, const RecordingCsvStyle& style) {
    check(recording, style);
    const Channel& first = recording.channels.front();
    const double gain = first.kind == ChannelKind::other ? 1.0 : units_per_microvolt(recording, style.unit);
    const int decimals = time_decimals(first.rate.value);
    const double time_parts = static_cast<double>(kPowerOfTen[decimals]) / first.rate.value;

    std::vector<std::string> texts;
    for (const Mark& mark : recording.marks) texts.push_back(in_quotes(mark.text, style.delimiter));
    const std::vector<std::size_t> markers = texts.empty() ? std::vector<std::size_t>{} : marker_column(recording);

    std::string out = head(recording, style);
    out.reserve(out.size() + first.samples.size() * (12 + 10 * recording.channels.size() + (texts.empty() ? 0 : 10)));
    for (std::size_t i = 0; i < first.samples.size(); ++i) {
        if (style.time_column) {
            append_parts(out, std::llround(static_cast<double>(i) * time_parts), decimals, style.decimal);
            out += style.delimiter;
        }
        for (const Channel& channel : recording.channels) {
            if (&channel != &first) out += style.delimiter;
            append_value(out, gain * double{channel.samples[i]}, style);
        }
        if (!texts.empty()) {
            out += style.delimiter;
            if (markers[i] != kNoMark) out += texts[markers[i]];
        }
        out += '\n';
    }
    return out;
}

}  // namespace tracehold
