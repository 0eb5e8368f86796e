// A header of 256 (signals + 1) bytes, then records of equal length, each with the samples of every channel and one
// list of annotations, whose first entry is the record's own time. Source: Kemp & Olivan 2003 (EDF+), Kemp et al. 1992
// (EDF).
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

#include "exchange/edf_text.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_events.hpp"
#include "tracehold/exchange/write_recording.hpp"

namespace tracehold {
namespace {

constexpr int kDigitalMin = -32768, kDigitalMax = 32767;

struct Writer {
    const Recording& recording;

    [[noreturn]] void refuse(const std::string& place, const std::string& message, const std::string& hint = {}) const {
        throw Error(ErrorKind::bad_setting, recording.source, place, message, hint);
    }

    std::string ascii(const std::string& place, std::string_view text, std::size_t width) const {
        std::string out;
        for (std::size_t i = 0; i < text.size(); ++i) {
            const bool micro = text.substr(i, 2) == "\xC2\xB5" || text.substr(i, 2) == "\xCE\xBC";
            if (micro) ++i;
            const char c = micro ? 'u' : text[i];
            if (c < 32 || c > 126)
                refuse(place, fmt::format("a text that EDF cannot hold: saw '{}', expected ASCII", shown(text)));
            out += c;
        }
        if (out.size() > width) {
            refuse(place, fmt::format("a text too long for EDF: saw '{}', expected at most {} characters", shown(text),
                                      width));
        }
        return out;
    }

    // EDF+ 2.2.1: a signal of this name holds texts; readers take BDF's name for the same.
    std::string label(const Channel& channel) const {
        if (channel.label == "EDF Annotations" || channel.label == "BDF Annotations") {
            refuse("label", fmt::format("a label that is kept for texts: saw '{}', expected another", channel.label),
                   "write it as CSV");
        }
        return ascii("label", channel.label, 16);
    }
};

std::string padded(std::string_view text, std::size_t width) {
    std::string out(text.substr(0, width));
    out.resize(width, ' ');
    return out;
}

bool fits_seven(std::string_view text) { return text.size() <= 7 && text.find('e') == std::string_view::npos; }

// The number of at most 7 characters nearest to value and not below it; empty if there is none. The 8th is for a sign.
// A float32 that such a text stands for, as a reader keeps the limits, gives that text: written again, it does not creep.
std::string seven_characters_up(double value) {
    value += 0.0;  // a limit of -0 is written as 0
    const std::string shortest = fmt::format("{}", static_cast<float>(value));
    if (double{static_cast<float>(value)} == value && fits_seven(shortest)) return shortest;
    for (int decimals = 6; decimals >= 0; --decimals) {
        const double scale = std::pow(10.0, decimals);
        const std::string text = number_text(std::ceil(value * scale - 1e-6) / scale);
        if (fits_seven(text)) return text;
    }
    return {};
}

std::string exact_seconds(double seconds) {
    // 0.1 us: shorter than any step between samples here; the specification allows any number of digits.
    std::string text = fixed_text(seconds, 7);
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text;
}

// How one channel becomes 16-bit numbers.
struct Scale {
    std::string physical_min, physical_max;
    double min = -1.0, step = 1.0;

    std::int16_t digital(float sample) const {
        if (!std::isfinite(sample)) return kDigitalMin;
        const double value = kDigitalMin + std::round((double{sample} - min) / step);
        return static_cast<std::int16_t>(std::clamp(value, double{kDigitalMin}, double{kDigitalMax}));
    }
};

// The same size on both sides, so that a missing sample stands far below anything that could be rest.
double data_limit(const Channel& channel) {
    double most = 0.0;
    for (const float x : channel.samples) {
        if (std::isfinite(x)) most = std::max(most, std::abs(double{x}));
    }
    return most == 0.0 ? 1.0 : 1.01 * most;
}

Scale scale_of(const Writer& writer, const Channel& channel) {
    const bool rails = channel.low_limit && channel.high_limit && *channel.low_limit < *channel.high_limit;
    const double high = rails ? double{*channel.high_limit} : data_limit(channel);
    const double low = rails ? double{*channel.low_limit} : -high;
    Scale scale;
    scale.physical_max = high >= 0 ? seven_characters_up(high) : "0";
    scale.physical_min = low < 0 ? "-" + seven_characters_up(-low) : "0";
    const auto min = parse_number(scale.physical_min), max = parse_number(scale.physical_max);
    if (!min || !max) {
        writer.refuse(channel.label, fmt::format("values too large for EDF: saw up to {}, expected at most 7 digits",
                                                 number_text(high)));
    }
    scale.min = *min;
    scale.step = (*max - *min) / (kDigitalMax - kDigitalMin);
    return scale;
}

struct Signal {
    const Channel& channel;
    Scale scale;
    std::string label;
    std::string unit;
    std::size_t per_record;
};

// A record's length such that each channel has a whole number of samples in it and, if it can be, none is left over; 1
// s if possible. With gaps short ones, so that little else of a record is lost to them.
double record_length(const Writer& writer) {
    static constexpr std::array kLengths_s = {1.0,  0.5,  0.25, 0.2, 0.1, 0.05, 0.04,
                                              0.02, 0.01, 2.0,  4.0, 5.0, 8.0,  10.0};
    static constexpr std::array kShort_s = {0.1, 0.05, 0.04, 0.02, 0.01, 0.2, 0.25, 0.5, 1.0, 2.0, 4.0, 5.0, 8.0, 10.0};
    const auto& lengths = writer.recording.gaps.empty() ? kLengths_s : kShort_s;
    double feasible_s = 0.0;
    for (const double length_s : lengths) {
        bool whole = true, nothing_over = true;
        for (const Channel& channel : writer.recording.channels) {
            const double count = channel.rate.value * length_s;
            whole = whole && count >= 1 && std::abs(count - std::round(count)) < 1e-9;
            nothing_over =
                nothing_over && whole && channel.samples.size() % static_cast<std::size_t>(std::llround(count)) == 0;
        }
        if (whole && nothing_over) return length_s;
        if (whole && feasible_s == 0.0) feasible_s = length_s;
    }
    if (feasible_s == 0.0) {
        writer.refuse(
            "",
            fmt::format("no record of EDF holds a whole number of samples: saw a rate of {} Hz, expected one like 1000",
                        number_text(writer.recording.channels.front().rate.value)));
    }
    return feasible_s;
}

// A stretch of samples of one channel, at least one of them missing.
struct Missing {
    double time_s;
    double length_s;
};

// One record, before it becomes bytes.
struct Record {
    std::size_t number;  // on a grid of equal steps from the start of the recording
    std::string annotations;
};

std::size_t record_count(const std::vector<Signal>& signals) {
    std::size_t count = 0;
    for (const Signal& s : signals)
        count = std::max(count, (s.channel.samples.size() + s.per_record - 1) / s.per_record);
    return count;
}

bool is_valid(const Signal& signal, std::size_t i) {
    return i < signal.channel.samples.size() && std::isfinite(signal.channel.samples[i]);
}

bool has_data(const std::vector<Signal>& signals, std::size_t record) {
    for (const Signal& s : signals) {
        for (std::size_t i = record * s.per_record; i < (record + 1) * s.per_record; ++i) {
            if (is_valid(s, i)) return true;
        }
    }
    return false;
}

// Runs of missing samples of any channel within one record.
std::vector<Missing> missing_in(const std::vector<Signal>& signals, std::size_t record) {
    std::vector<Missing> out;
    for (const Signal& s : signals) {
        const std::size_t end = (record + 1) * s.per_record;
        for (std::size_t i = record * s.per_record; i < end; ++i) {
            if (is_valid(s, i)) continue;
            const std::size_t begin = i;
            while (i < end && !is_valid(s, i)) ++i;
            const Missing run{time_of(begin, s.channel.rate), time_of(i - begin, s.channel.rate)};
            const bool known = std::any_of(out.begin(), out.end(), [&](const Missing& m) {
                return std::abs(m.time_s - run.time_s) < 1e-9 && std::abs(m.length_s - run.length_s) < 1e-9;
            });
            if (!known) out.push_back(run);
        }
    }
    return out;
}

// One entry of an annotation list; without a text it stamps its record.
std::string entry(double onset_s, double duration_s, std::string_view text) {
    std::string out = exact_seconds(onset_s);
    if (out[0] != '-') out.insert(0, "+");
    if (duration_s > 0) out += '\x15' + exact_seconds(duration_s);
    out += '\x14';
    return out + edf_annotation_text(text) + '\x14' + '\0';
}

// In order of time, what is missing ahead of what was marked then: so read and written again they stand the same.
std::vector<Mark> all_marks(const Writer& writer, const std::vector<Signal>& signals, const std::vector<Record>& records) {
    std::vector<Mark> marks;
    for (const Record& record : records) {
        for (const Missing& run : missing_in(signals, record.number))
            marks.push_back({run.time_s, run.length_s, "no data"});
    }
    marks.insert(marks.end(), writer.recording.marks.begin(), writer.recording.marks.end());
    std::stable_sort(marks.begin(), marks.end(), [](const Mark& x, const Mark& y) { return x.time_s < y.time_s; });
    return marks;
}

// Records in order; marks in the record of their time, or in the last one before it.
std::vector<Record> laid_out(const Writer& writer, const std::vector<Signal>& signals, double record_s,
                             double clock_s) {
    std::vector<Record> records;
    for (std::size_t number = 0; number < record_count(signals); ++number) {
        if (has_data(signals, number))
            records.push_back({number, entry(clock_s + static_cast<double>(number) * record_s, 0, "")});
    }
    if (records.empty()) writer.refuse("", "no valid sample in the whole recording");
    const auto is_before = [&](double time_s, const Record& record) {
        return time_s + 1e-9 < static_cast<double>(record.number) * record_s;
    };
    for (const Mark& mark : all_marks(writer, signals, records)) {
        auto after = std::upper_bound(records.begin(), records.end(), mark.time_s, is_before);
        if (after != records.begin()) --after;
        after->annotations += entry(clock_s + mark.time_s, mark.duration_s, mark.text);
    }
    return records;
}

struct StartFields {
    std::string date = "01.01.85", time = "00.00.00", plus = "X";  // removed
    double clock_s = 0.0;                                          // of the first sample after that second
};

StartFields start_fields(const std::optional<CivilTime>& start) {
    using namespace std::chrono;
    static constexpr std::array kMonths = {"JAN", "FEB", "MAR", "APR", "MAY", "JUN",
                                           "JUL", "AUG", "SEP", "OCT", "NOV", "DEC"};
    StartFields fields;
    if (!start) return fields;
    const auto day_point = floor<days>(start->local);
    const year_month_day date{day_point};
    const int year = static_cast<int>(date.year());
    if (year < 1985 || year > 2084) return fields;
    const hh_mm_ss clock{start->local - day_point};
    const unsigned month = static_cast<unsigned>(date.month()), day = static_cast<unsigned>(date.day());
    fields.date = fmt::format("{:02}.{:02}.{:02}", day, month, year % 100);
    fields.time =
        fmt::format("{:02}.{:02}.{:02}", clock.hours().count(), clock.minutes().count(), clock.seconds().count());
    fields.plus = fmt::format("{:02}-{}-{:04}", day, kMonths[month - 1], year);
    fields.clock_s = static_cast<double>(clock.subseconds().count()) / 1000;
    return fields;
}

struct Layout {
    double record_s;
    std::size_t records;
    std::size_t annotation_bytes;
    bool interrupted;
};

// Column after column, each over all signals, as the format wants it.
std::string signal_headers(const Writer& writer, const std::vector<Signal>& signals, const Layout& layout) {
    std::string out;
    const auto column = [&](std::size_t width, auto of_signal, std::string_view of_annotations) {
        for (const Signal& signal : signals) out += padded(of_signal(signal), width);
        out += padded(of_annotations, width);
    };
    const auto blank = [](const Signal&) { return std::string(); };
    column(
        16, [](const Signal& s) { return s.label; }, "EDF Annotations");
    column(80, blank, "");
    column(
        8, [](const Signal& s) { return s.unit; }, "");
    column(
        8, [](const Signal& s) { return s.scale.physical_min; }, "-1");
    column(
        8, [](const Signal& s) { return s.scale.physical_max; }, "1");
    column(
        8, [](const Signal&) { return number_text(kDigitalMin); }, number_text(kDigitalMin));
    column(
        8, [](const Signal&) { return number_text(kDigitalMax); }, number_text(kDigitalMax));
    column(
        80, [&](const Signal& s) { return writer.ascii("prefilter", s.channel.prefilter, 80); }, "");
    column(
        8, [](const Signal& s) { return fmt::format("{}", s.per_record); },
        fmt::format("{}", layout.annotation_bytes / 2));
    column(32, blank, "");
    return out;
}

std::string file_header(const Writer& writer, const StartFields& start, std::size_t signals, const Layout& layout) {
    const Recording& recording = writer.recording;
    std::string person = recording.person.empty() ? "X" : writer.ascii("person", recording.person, 60);
    std::replace(person.begin(), person.end(), ' ', '_');
    const std::string equipment = recording.format == FileFormat::simulated ? "simulated" : "X";
    std::string out = padded("0", 8);
    out += padded(person + " X X X", 80);
    out += padded(fmt::format("Startdate {} X X {}", start.plus, equipment), 80);
    out += start.date + start.time;
    out += padded(fmt::format("{}", 256 * (signals + 2)), 8);
    out += padded(layout.interrupted ? "EDF+D" : "EDF+C", 44);
    out += padded(fmt::format("{}", layout.records), 8);
    out += padded(number_text(layout.record_s), 8);
    out += padded(fmt::format("{}", signals + 1), 4);
    return out;
}

void append_record(std::string& out, const std::vector<Signal>& signals, const Record& record,
                   std::size_t annotation_bytes) {
    for (const Signal& s : signals) {
        for (std::size_t i = record.number * s.per_record; i < (record.number + 1) * s.per_record; ++i) {
            const auto bits =
                static_cast<std::uint16_t>(is_valid(s, i) ? s.scale.digital(s.channel.samples[i]) : kDigitalMin);
            out += static_cast<char>(bits & 0xFF);
            out += static_cast<char>(bits >> 8);
        }
    }
    out += record.annotations;
    out.append(annotation_bytes - record.annotations.size(), '\0');
}

std::vector<Signal> signals_of(const Writer& writer, double record_s) {
    std::vector<Signal> signals;
    for (const Channel& channel : writer.recording.channels) {
        const auto per_record = static_cast<std::size_t>(std::llround(channel.rate.value * record_s));
        const std::string unit = channel.kind == ChannelKind::other ? writer.ascii("unit", channel.unit, 8) : "uV";
        signals.push_back(
            {channel, scale_of(writer, channel), writer.label(channel), unit, per_record});
    }
    return signals;
}

// One record of no length with every event in it: without ordinary signals a record needs none (EDF+, from memory).
std::string annotations_alone(const Writer& writer) {
    const StartFields start = start_fields(writer.recording.start);
    Record record{0, entry(start.clock_s, 0, "")};
    for (const Mark& mark : writer.recording.marks)
        record.annotations += entry(start.clock_s + mark.time_s, mark.duration_s, mark.text);
    const std::size_t bytes = record.annotations.size() + record.annotations.size() % 2;
    const Layout layout{0.0, 1, bytes, false};
    std::string out = file_header(writer, start, 0, layout) + signal_headers(writer, {}, layout);
    append_record(out, {}, record, bytes);
    return out;
}

}  // namespace

std::string events_edf(const SessionScore& score) {
    Recording events;
    events.source = score.recording.source;
    events.format = score.recording.format;
    events.person = score.recording.person;
    events.start = score.recording.start;
    events.marks = scored_events(score);
    return annotations_alone(Writer{events});
}

std::string recording_edf(const Recording& recording) {
    const Writer writer{recording};
    const double record_s = record_length(writer);
    const std::vector<Signal> signals = signals_of(writer, record_s);
    const StartFields start = start_fields(recording.start);
    const std::vector<Record> records = laid_out(writer, signals, record_s, start.clock_s);

    std::size_t annotation_bytes = 16;
    for (const Record& record : records) annotation_bytes = std::max(annotation_bytes, record.annotations.size());
    annotation_bytes += annotation_bytes % 2;
    const bool interrupted = records.size() != records.back().number + 1;
    const Layout layout{record_s, records.size(), annotation_bytes, interrupted};

    std::string out = file_header(writer, start, signals.size(), layout) + signal_headers(writer, signals, layout);
    std::size_t record_bytes = annotation_bytes;
    for (const Signal& signal : signals) record_bytes += 2 * signal.per_record;
    out.reserve(out.size() + records.size() * record_bytes);
    for (const Record& record : records) append_record(out, signals, record, annotation_bytes);
    return out;
}

}  // namespace tracehold
