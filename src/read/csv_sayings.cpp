#include "read/csv_sayings.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "read/decimal.hpp"
#include "read/text_cell.hpp"
#include "read/voltage_unit.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

bool is_rate_key(std::string_view key) {
    return is_one_of(key, {"rate",
                           "rate_hz",
                           "rate (hz)",
                           "rate [hz]",
                           "sampling rate",
                           "sampling rate (hz)",
                           "sampling rate [hz]",
                           "sampling_rate",
                           "sampling_rate_hz",
                           "sample rate",
                           "sample rate (hz)",
                           "sample rate [hz]",
                           "sample_rate",
                           "sample_rate_hz",
                           "samplerate",
                           "samplingrate",
                           "sampling frequency",
                           "sampling frequency (hz)",
                           "sampling frequency [hz]",
                           "sampling_frequency",
                           "sample frequency",
                           "frequency",
                           "fs",
                           "fs (hz)",
                           "fs_hz",
                           "abtastrate",
                           "abtastrate (hz)",
                           "fréquence d'échantillonnage"});
}

// '1000', '1000.00', '2,5 kHz', '500 samples/s'
std::optional<double> rate_in(std::string_view text) {
    text = trimmed(text);
    const std::size_t size = std::min(text.find_first_not_of("+-.,0123456789"), text.size());
    const std::string_view digits = text.substr(0, size);
    const auto value = decimal_value(digits, digits.find(',') != std::string_view::npos ? ',' : '.');
    const std::string unit = lower_case(trimmed(text.substr(size)));
    if (!value) return std::nullopt;
    if (is_one_of(unit, {"", "hz", "1/s", "sps", "samples/s", "samples per second"})) return value;
    return unit == "khz" ? std::optional(1000.0 * *value) : std::nullopt;
}

// '... from 50 to 1000 samples per second': the number before the words.
std::optional<double> rate_in_prose(std::string_view line) {
    const std::size_t words = lower_case(line).find(" samples per second");
    if (words == std::string::npos) return std::nullopt;
    const std::size_t before = line.substr(0, words).find_last_of(' ');
    const std::size_t from = before == std::string_view::npos ? 0 : before + 1;
    return rate_in(line.substr(from, words - from));
}

// "Channel 1: 'RF', 29220 values, engineering units: mV, no filters." -> "RF [mV]"
std::string channel_in(const SaidLine& line) {
    if (!line.key.starts_with("channel ") || line.key.find_first_not_of("0123456789", 8) != std::string::npos)
        return "";
    const std::string_view value = line.value;
    if (value.empty()) return "";
    const bool quoted = value[0] == '\'' || value[0] == '"';
    const std::size_t stop = quoted ? value.find(value[0], 1) : value.find_first_of(",;");
    std::string name(value.substr(quoted, std::min(stop, value.size()) - quoted));
    const std::size_t units = lower_case(value).find("units:");
    if (units != std::string::npos) {
        const std::string_view behind = trimmed(value.substr(units + 6));
        name += " [" + std::string(behind.substr(0, behind.find_first_of(",;. "))) + "]";
    }
    return name;
}

std::vector<std::string> listed(std::string_view text) {
    std::vector<std::string> names;
    while (!text.empty()) {
        const std::size_t stop = std::min(text.find_first_of(",;\t"), text.size());
        names.emplace_back(trimmed(text.substr(0, stop)));
        text.remove_prefix(std::min(stop + 1, text.size()));
    }
    return names;
}

void take_rate(CsvSayings& sayings, const SaidLine& line, const std::string& source) {
    const bool by_key = is_rate_key(line.key);
    const auto rate = by_key ? rate_in(line.value) : rate_in_prose(line.whole);
    const std::string place = std::to_string(line.number);
    if (by_key && !rate) {
        sayings.notes.push_back({"rate_unreadable", place, "the rate was not understood: '" + shown(line.value) + "'"});
    }
    if (!rate) return;
    if (*rate <= 0.0) {
        throw Error(ErrorKind::malformed, source, place,
                    "not a rate: saw " + shown(line.value) + ", expected a number above 0",
                    "correct the line, or give --rate HZ for a file without it");
    }
    if (sayings.rate_hz && *sayings.rate_hz != *rate) {
        sayings.notes.push_back(
            {"rate_said_twice", place,
             fmt::format("the file says {} Hz and {} Hz; the first was taken", *sayings.rate_hz, *rate), true});
        return;
    }
    sayings.rate_hz = rate;
}

// Of two that differ the first is taken.
void doubt_second(CsvSayings& sayings, const SaidLine& line, std::string_view first) {
    sayings.notes.push_back({line.key + "_said_twice", std::to_string(line.number),
                             fmt::format("the file says '{}' and '{}' as its {}; the first was taken", shown(first), shown(line.value), line.key),
                             true});
}

// No choice is safe: what one of them did would be told of the other.
void take_person(CsvSayings& sayings, const SaidLine& line, const std::string& source) {
    if (line.value.empty() || line.value == sayings.person) return;
    if (!sayings.person.empty()) {
        throw Error(ErrorKind::malformed, source, std::to_string(line.number),
                    fmt::format("two persons in one file: saw '{}' and '{}', expected one", shown(sayings.person), shown(line.value)),
                    "split the file, or correct the line that is wrong");
    }
    sayings.person = line.value;
}

void take_posture(CsvSayings& sayings, const SaidLine& line) {
    if (line.value.empty()) return;
    if (sayings.posture.empty()) sayings.posture = line.value;
    if (lower_case(sayings.posture) != lower_case(line.value)) doubt_second(sayings, line, sayings.posture);
}

void take_kind(CsvSayings& sayings, const SaidLine& line) {
    const std::string kind = lower_case(line.value);
    if (kind != "raw" && kind != "envelope") {
        sayings.notes.push_back({"kind_unreadable", std::to_string(line.number),
                                 "the kind was not understood: saw '" + shown(line.value) + "', expected raw or envelope"});
        return;
    }
    const ChannelKind said = kind == "raw" ? ChannelKind::raw : ChannelKind::envelope;
    if (sayings.kind.value_or(said) != said) doubt_second(sayings, line, to_string(*sayings.kind));
    if (!sayings.kind) sayings.kind = said;
}

void take_unit(CsvSayings& sayings, const SaidLine& line) {
    const bool differs = !sayings.unit.empty() && microvolts_per(sayings.unit) != microvolts_per(line.value);
    (differs ? sayings.other_unit : sayings.unit) = line.value;
}

void take_start(CsvSayings& sayings, const SaidLine& line) {
    const auto start = parse_civil_time(line.value);
    if (start && sayings.start && !(*start == *sayings.start)) doubt_second(sayings, line, to_text(*sayings.start));
    if (start && !sayings.start && line.value == date_text(*start)) {
        sayings.notes.push_back({"start_day_alone", std::to_string(line.number), "the file names a day without a time: it was taken to begin at midnight"});
    }
    if (!sayings.start) sayings.start = start;
    if (start) return;
    sayings.notes.push_back(
        {"start_unreadable", std::to_string(line.number),
         "the start was not understood: saw '" + shown(line.value) + "', expected a time like 2026-03-02T07:30"});
}

void take_facts(CsvSayings& sayings, const SaidLine& line, const std::string& source) {
    take_rate(sayings, line, source);
    if (line.key == "person") take_person(sayings, line, source);
    if (line.key == "posture") take_posture(sayings, line);
    if (line.key == "kind") take_kind(sayings, line);
    if (line.key == "start") take_start(sayings, line);
}

}  // namespace

bool says_a_fact(const SaidLine& line) { return is_rate_key(line.key) || is_one_of(line.key, {"person", "posture", "kind", "start"}); }

void hear_again(CsvSayings& sayings, std::span<const SaidLine> lines, const std::string& source) {
    for (const SaidLine& line : lines) take_facts(sayings, line, source);
}

CsvSayings hear(std::span<const SaidLine> lines, const std::string& source) {
    CsvSayings sayings;
    for (const SaidLine& line : lines) {
        if (is_one_of(line.key, {"unit", "units"})) take_unit(sayings, line);
        take_facts(sayings, line, source);
        if (is_one_of(line.key, {"labels", "channels", "columns"})) sayings.channels = listed(line.value);
        if (auto name = channel_in(line); !name.empty()) sayings.channels.push_back(std::move(name));
    }
    return sayings;
}

}  // namespace tracehold
