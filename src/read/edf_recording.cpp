// read_edf: header, record times, samples and marks of one EDF, EDF+, BDF or BDF+ file become one Recording.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <utility>

#include "read/edf_annotations.hpp"
#include "read/edf_channels.hpp"
#include "read/edf_header.hpp"
#include "read/edf_timeline.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

// From the header's start to the first sample.
void move_to_first_sample(std::vector<Mark>& marks, double origin_s) {
    for (Mark& mark : marks) mark.time_s -= origin_s;
    std::stable_sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; });
}

std::optional<CivilTime> moved(std::optional<CivilTime> start, double origin_s) {
    if (std::abs(origin_s) > kMaxStartShift_s) return std::nullopt;
    if (start) start->local += std::chrono::milliseconds{std::llround(origin_s * 1e3)};
    return start;
}

void note_marks_outside(const Recording& recording, EdfNotes& notes) {
    const double end_s = recording.duration_s();
    const auto outside = [&](const Mark& mark) { return mark.time_s < 0.0 || mark.time_s > end_s; };
    const auto count = std::count_if(recording.marks.begin(), recording.marks.end(), outside);
    if (count == 0) return;
    notes.add("marks_outside", "",
              fmt::format("{} of {} marks lie before the start or after the end at {} s: kept", count,
                          recording.marks.size(), fixed_text(end_s, 3)),
              count > 1 && 10 * static_cast<std::size_t>(count) >= recording.marks.size());
}

// As for a time column that says its unit: the file states its rates, and the rate that the user gave belongs to another file.
void check_rate_given(const Recording& recording, double given_hz, EdfNotes& notes) {
    constexpr double kWorthSaying = 1e-3;  // our choice, as for CSV
    const auto is_given = [&](const Channel& channel) {
        return std::abs(channel.rate.value - given_hz) <= kWorthSaying * channel.rate.value;
    };
    if (std::none_of(recording.channels.begin(), recording.channels.end(), is_given)) {
        throw Error{ErrorKind::bad_setting, recording.source, "",
                    fmt::format("the rate given is not that of the file: saw {} Hz, expected {} Hz as its header states",
                                number_text(given_hz), number_text(recording.channels.front().rate.value)),
                    "leave out --rate: it is for CSV files without a time column"};
    }
    notes.add("rate_not_used", "", "a rate was given, though the file states its own: the file's was used");
}

}  // namespace

bool looks_like_edf(std::string_view bytes) {
    const std::string_view head = bytes.substr(0, 256);
    if (head.substr(0, 8) ==
        "\xFF"
        "BIOSEMI")
        return true;
    // A table of numbers may begin with a nought and blanks as well, but has line ends.
    const bool nought = head.size() >= 8 && head[0] == '0' &&
                        head.substr(1, 7).find_first_not_of(std::string_view{" \0", 2}) == std::string_view::npos;
    return (nought && head.find_first_of("\r\n") == std::string_view::npos) || is_edf_but_for_version(bytes);
}

Recording read_edf(std::string_view bytes, const std::string& source, const ReadSettings& settings) {
    EdfNotes notes;
    EdfHeader header = read_edf_header(bytes, source, notes);
    EdfAnnotations annotations = read_edf_annotations(bytes, header, notes);
    refuse_out_of_step(header, annotations, source);
    header.record_s = stamped_record_s(header, annotations.onsets, source, notes);
    const EdfTimeline timeline = lay_out_edf_records(header, annotations.onsets, source, notes);
    Recording recording;
    recording.source = source;
    recording.format = header.format;
    recording.person = header.person;
    recording.start = moved(header.start, timeline.origin_s);
    recording.channels = read_edf_channels(bytes, source, header, timeline, settings, notes);
    recording.marks = std::move(annotations.marks);
    move_to_first_sample(recording.marks, timeline.origin_s);
    recording.gaps = timeline.gaps;
    note_marks_outside(recording, notes);
    if (settings.rate) check_rate_given(recording, settings.rate->value, notes);
    recording.notes = notes.take();
    return recording;
}

}  // namespace tracehold
