#include "read/edf_timeline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// Our choice: stamps printed to the millisecond may be 1 ms apart from the true ones; no pause of a recorder is that
// short.
constexpr double kStampRounding_s = 2e-3;
// Our choice: a gap may cost 128 MiB (9 hours of one signal at 1 kHz) or four times the data, whichever is more; beyond
// that the file is several recordings in one, or damaged.
constexpr double kMaxGapSamples = 32.0 * 1024 * 1024;
constexpr double kMaxGapShare = 4.0;
constexpr double kDriftTold_s = 0.02;            // our choice: twice the 10 ms to which times are quoted
constexpr double kDriftDoubted_s = 0.1;          // our choice: windows of work and rest moved by that change their measures
constexpr double kDrift = 1e-3;                  // of a record's length: clocks of recorders and computers differ by less
constexpr double kFollowed = 0.05;               // of a record's length
constexpr std::size_t kFewestStamps = 3;
constexpr double kMaxLength_s = 31.0 * 86400.0;  // as for the records themselves

double rate_of(const EdfSignal& signal, const EdfHeader& header) {
    return signal.is_annotations ? 0.0 : static_cast<double>(signal.samples) / header.record_s;
}

double tolerance_s(const EdfHeader& header) {
    double fastest = 0.0;
    for (const EdfSignal& signal : header.signals) fastest = std::max(fastest, rate_of(signal, header));
    return std::max(0.5 / fastest, kStampRounding_s);
}

std::string record_place(const EdfHeader& header, std::size_t record) {
    return fmt::format("byte {}, record {}", header.header_bytes + record * header.record_bytes, record + 1);
}

std::string seconds_text(double seconds) { return fixed_text(seconds, std::abs(seconds) < 100.0 ? 3 : 0) + " s"; }

// The first readable stamp, brought back to the first record.
double origin_of(const EdfHeader& header, std::span<const std::optional<double>> onsets) {
    for (std::size_t i = 0; i < onsets.size(); ++i) {
        if (onsets[i]) return *onsets[i] - static_cast<double>(i) * header.record_s;
    }
    return 0.0;
}

void note_stamps(const EdfHeader& header, std::span<const std::optional<double>> onsets, double origin_s,
                 EdfNotes& notes) {
    const auto lost = std::count(onsets.begin(), onsets.end(), std::nullopt);
    if (lost > 0) {
        const auto first = std::find(onsets.begin(), onsets.end(), std::nullopt) - onsets.begin();
        notes.add("record_time_lost", record_place(header, static_cast<std::size_t>(first)),
                  fmt::format("{} of {} records have no readable time stamp: taken to follow the one ahead directly",
                              lost, onsets.size()),
                  header.is_discontinuous());
    }
    if (onsets.empty() && header.is_plus()) {
        notes.add("record_times_missing", "",
                  "no annotation signal, so no record times: the records are taken to follow each other directly",
                  header.is_discontinuous());
    }
    if (origin_s < 0.0 || origin_s >= 1.0) {
        notes.add(
            "first_record_off", record_place(header, 0),
            fmt::format("the first record is stamped {} from the header's start, not within its first second: the "
                        "start {}",
                        seconds_text(origin_s),
                        std::abs(origin_s) <= kMaxStartShift_s ? "is moved by that" : "is taken as unknown"));
    }
}

void check_gaps(const EdfHeader& header, const EdfTimeline& timeline, const std::string& source) {
    const double data_s = static_cast<double>(header.records) * header.record_s;
    const double gap_s = timeline.length_s - data_s;
    double per_second = 0.0;
    for (const EdfSignal& signal : header.signals) per_second += rate_of(signal, header);
    const bool small = gap_s * per_second <= std::max(kMaxGapSamples, kMaxGapShare * data_s * per_second);
    if ((small && timeline.length_s <= kMaxLength_s) || timeline.gaps.empty()) return;
    const auto shorter = [](const TimeSpan& a, const TimeSpan& b) { return a.length_s() < b.length_s(); };
    const auto longest = std::max_element(timeline.gaps.begin(), timeline.gaps.end(), shorter);
    const auto run = timeline.runs[static_cast<std::size_t>(longest - timeline.gaps.begin()) + 1];
    throw Error{
        ErrorKind::unsupported, source, record_place(header, run.first_record),
        fmt::format("a gap too long for one recording: saw {} between records {} and {}, expected a shorter one",
                    seconds_text(longest->length_s()), run.first_record, run.first_record + 1),
        "split the file at its gaps and give the parts"};
}

// Lays one record after the other; clock_s turns stamps into times from the first record.
struct Layout {
    const EdfHeader& header;
    EdfNotes& notes;
    double tolerance;
    double clock_s;
    double drift_s = 0.0;
    EdfTimeline out{};

    void add(std::size_t record, std::optional<double> onset) {
        EdfRun& run = out.runs.back();
        const double expected = run.start_s + static_cast<double>(run.records) * header.record_s;
        const double late = onset ? *onset + clock_s - expected : 0.0;
        if (late > tolerance) {
            out.gaps.push_back({expected, expected + late});
            out.runs.push_back({record, 1, expected + late});
            return;
        }
        clock_s -= late;
        if (late >= -tolerance) {
            drift_s += late;
        } else {
            notes.add("records_overlap", record_place(header, record),
                      fmt::format("record {} is stamped {} before the end of the one ahead: put right behind it, marks "
                                  "from here on may be off by that",
                                  record + 1, seconds_text(-late)),
                      true);
        }
        ++run.records;
    }
};

// The even step that all stamps keep to within rounding; empty if they don't, or are too few.
std::optional<double> step_of_stamps(const EdfHeader& header, std::span<const std::optional<double>> onsets) {
    std::vector<std::size_t> readable;
    for (std::size_t i = 0; i < onsets.size(); ++i) {
        if (onsets[i]) readable.push_back(i);
    }
    if (readable.size() < kFewestStamps) return std::nullopt;
    const std::size_t first = readable.front(), last = readable.back();
    const double step = (*onsets[last] - *onsets[first]) / static_cast<double>(last - first);
    const auto on_line = [&](std::size_t i) {
        return std::abs(*onsets[i] - *onsets[first] - step * static_cast<double>(i - first)) <= tolerance_s(header);
    };
    const bool even = step > 0.0 && std::all_of(readable.begin(), readable.end(), on_line);
    return even ? std::optional(step) : std::nullopt;
}

}  // namespace

double stamped_record_s(const EdfHeader& header, std::span<const std::optional<double>> onsets, const std::string& source,
                        EdfNotes& notes) {
    const auto step = step_of_stamps(header, onsets);
    const double differs = step ? std::abs(*step - header.record_s) / header.record_s : 0.0;
    if (differs <= kDrift * (1.0 + 1e-9)) return header.record_s;
    const std::string place = "byte 244, record duration";
    const std::string both = fmt::format("saw {} s in the header and {} s from each record's time to the next throughout",
                                         number_text(header.record_s), number_text(std::round(*step * 1e6) / 1e6));
    if (header.is_discontinuous() && *step > header.record_s) {
        notes.add("records_apart_alike", place,
                  "every record is followed by a gap of the same length, as when the record duration is wrong: " + both, true);
        return header.record_s;
    }
    if (differs > kFollowed) {
        throw Error{ErrorKind::malformed, source, place, "two record durations, so the sampling rate is unknown: " + both + ", expected one",
                    "export the recording again"};
    }
    notes.add("record_duration_wrong", place, "two record durations: " + both + "; the times were followed", true);
    return *step;
}

EdfTimeline lay_out_edf_records(const EdfHeader& header, std::span<const std::optional<double>> onsets,
                                const std::string& source, EdfNotes& notes) {
    const double origin_s = origin_of(header, onsets);
    note_stamps(header, onsets, origin_s, notes);
    Layout layout{header, notes, tolerance_s(header), -origin_s};
    EdfTimeline& out = layout.out;
    out.origin_s = origin_s;
    out.runs.push_back({0, onsets.empty() ? header.records : 1, 0.0});
    for (std::size_t i = 1; i < onsets.size(); ++i) layout.add(i, onsets[i]);
    out.length_s = out.runs.back().start_s + static_cast<double>(out.runs.back().records) * header.record_s;
    check_gaps(header, out, source);
    if (std::abs(layout.drift_s) > kDriftTold_s) {
        notes.add("record_times_drift", record_place(header, 0),
                  fmt::format("the record times drift by {} against the sampling rate: marks may be off by that",
                              seconds_text(layout.drift_s)),
                  std::abs(layout.drift_s) > kDriftDoubted_s);
    }
    if (!out.gaps.empty() && !header.is_discontinuous()) {
        notes.add("record_times_jump", record_place(header, out.runs[1].first_record),
                  fmt::format(
                      "the file says it is continuous, but its record times leave {} of its {} records apart from the "
                      "one ahead: read as discontinuous",
                      out.gaps.size(), header.records),
                  true);
    }
    return out;
}

std::vector<std::size_t> edf_run_begins(const EdfHeader& header, const EdfTimeline& timeline, const EdfSignal& signal) {
    std::vector<std::size_t> begins;
    std::size_t end = 0;
    for (const EdfRun& run : timeline.runs) {
        const double at = std::round(run.start_s * rate_of(signal, header));
        begins.push_back(std::max(end, static_cast<std::size_t>(at)));
        end = begins.back() + run.records * signal.samples;
    }
    begins.push_back(end);
    return begins;
}

}  // namespace tracehold
