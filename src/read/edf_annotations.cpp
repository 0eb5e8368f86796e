#include "read/edf_annotations.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "read/edf_field.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

constexpr char kEndOfPart = '\x14';
constexpr char kDurationFollows = '\x15';
constexpr std::size_t kMaxMarks = 1'000'000;  // our choice: an hour at 300 a second; more is damage or an attack
constexpr double kMaxOnset_s =
    1e10;  // our choice: 300 years, so that stamps counted from 1970 pass; there a double still tells 2 us

// A second, as the specification writes it: digits with at most one point.
std::optional<double> seconds_of(std::string_view text, const std::string& place, EdfNotes& notes) {
    auto value = parse_number(text);
    if (!value && (value = number_with_comma(text))) {
        notes.add("decimal_comma", place,
                  fmt::format("time '{}' has a decimal comma: read as {}", shown(text), number_text(*value)));
    }
    return value && std::abs(*value) <= kMaxOnset_s ? value : std::nullopt;
}

std::optional<double> onset_of(std::string_view text, const std::string& place, EdfNotes& notes) {
    const auto onset = seconds_of(text, place, notes);
    if (onset && text[0] != '+' && text[0] != '-') {
        notes.add("annotation_sign_missing", place, fmt::format("onset '{}' has no sign: read as +", shown(text)));
    }
    return onset;
}

double duration_of(std::string_view text, const std::string& place, EdfNotes& notes) {
    const auto duration = seconds_of(text, place, notes);
    if (duration && *duration >= 0.0) return *duration;
    notes.add("annotation_duration_unreadable", place,
              fmt::format("duration '{}' is no time: taken as none", shown(text)));
    return 0.0;
}

std::string text_of(std::string_view raw, const std::string& place, EdfNotes& notes) {
    const bool utf8 = is_utf8(raw);
    if (!utf8)
        notes.add("annotation_not_utf8", place, fmt::format("text '{}' is not UTF-8: read as Latin-1", shown(raw)));
    const std::string whole = utf8 ? std::string{raw} : latin1_to_utf8(raw);
    std::string clean = without_controls(whole, "\t\r\n");
    if (clean != whole) {
        notes.add("control_characters", place,
                  fmt::format("text '{}' holds control characters: replaced by U+FFFD", shown(raw)));
    }
    return clean;
}

// What stands where the time stamp of a record begins; its sign where nothing stands at all, for some stamp the first record alone.
char begin_of(std::string_view block) { return block.find_first_not_of('\0') == std::string_view::npos ? '+' : block[0]; }

// What is collected over all records; first: the annotation signal whose first list stamps the record.
struct Collector {
    std::string_view bytes;
    const EdfHeader& header;
    EdfNotes& notes;
    EdfAnnotations found;
    std::size_t first;

    void read_block(std::size_t record, std::size_t signal);
    void read_tal(std::string_view tal, std::size_t byte, std::optional<double>* stamp);
};

void Collector::read_tal(std::string_view tal_bytes, std::size_t byte, std::optional<double>* stamp) {
    const std::string place = fmt::format("byte {}, annotation", byte);
    const auto tal = parse_edf_tal(tal_bytes, place, notes);
    if (!tal) {
        notes.add("annotation_unreadable", place,
                  fmt::format("{} bytes '{}' are no annotation list with a usable time: passed over", tal_bytes.size(),
                              shown(tal_bytes, 24)),
                  true);
        return;
    }
    if (stamp && !tal->texts.empty() && tal->texts[0].empty()) *stamp = tal->onset_s;
    for (const std::string& text : tal->texts) {
        if (text.empty()) continue;
        if (found.marks.size() >= kMaxMarks) {
            notes.add("too_many_annotations", place,
                      fmt::format("more than {} annotations: the rest is left out", kMaxMarks), true);
            return;
        }
        found.marks.push_back({tal->onset_s, tal->duration_s, text});
    }
}

void Collector::read_block(std::size_t record, std::size_t signal_index) {
    const EdfSignal& signal = header.signals[signal_index];
    const std::size_t begin = header.header_bytes + record * header.record_bytes + signal.record_byte;
    const std::string_view block = bytes.substr(begin, signal.samples * header.sample_bytes);
    bool stamps = signal_index == first;
    for (std::size_t at = 0; at < block.size();) {
        const std::size_t end = std::min(block.find('\0', at), block.size());
        if (end > at) {
            read_tal(block.substr(at, end - at), begin + at, stamps ? &found.onsets[record] : nullptr);
            stamps = false;
        }
        at = end + 1;
    }
    if (signal_index == first) found.begins[record] = begin_of(block);
}

}  // namespace

void refuse_out_of_step(const EdfHeader& header, const EdfAnnotations& annotations, const std::string& source) {
    constexpr std::ptrdiff_t kFewest = 3;   // our choices: fewer records are damage of their own ...
    constexpr double kNearlyAll = 0.8;      // ... and a sample may happen to look like a sign
    const auto& begins = annotations.begins;
    const auto is_unsigned = [](char c) { return c == ' ' || (c >= '0' && c <= '9'); };
    const bool without_signs = !begins.empty() && is_unsigned(begins[0]);  // the habit of a writer
    const auto is_off = [&](char c) { return c != '+' && c != '-' && !(without_signs && is_unsigned(c)); };
    const auto first = std::find_if(begins.begin(), begins.end(), is_off);
    const std::ptrdiff_t behind = begins.end() - first, wrong = std::count_if(first, begins.end(), is_off);
    if (wrong < kFewest || static_cast<double>(wrong) < kNearlyAll * static_cast<double>(behind)) return;
    const auto record = static_cast<std::size_t>(first - begins.begin());
    throw Error{ErrorKind::malformed, source, fmt::format("byte {}, record {}", header.header_bytes + record * header.record_bytes, record + 1),
                fmt::format("the records are out of step from here on: saw something else where the time stamps of {} of {} records are to begin, expected the "
                            "sign of one in each", wrong, behind),
                "bytes were lost or added, as when a file is copied as text: copy or export it again"};
}

std::optional<EdfTal> parse_edf_tal(std::string_view bytes, const std::string& place, EdfNotes& notes) {
    const std::size_t head_end = bytes.find(kEndOfPart);
    if (head_end == std::string_view::npos) return std::nullopt;
    const std::string_view head = bytes.substr(0, head_end);
    const std::size_t mark = head.find(kDurationFollows);
    const auto onset = onset_of(head.substr(0, mark), place, notes);
    if (!onset) return std::nullopt;
    EdfTal tal{*onset, 0.0, {}};
    if (mark != std::string_view::npos) tal.duration_s = duration_of(head.substr(mark + 1), place, notes);
    std::string_view rest = bytes.substr(head_end + 1);
    while (!rest.empty()) {
        const std::size_t end = rest.find(kEndOfPart);
        if (end == std::string_view::npos)
            notes.add("annotation_unterminated", place, "the last text has no end mark: kept");
        tal.texts.push_back(text_of(rest.substr(0, end), place, notes));
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    }
    return tal;
}

EdfAnnotations read_edf_annotations(std::string_view bytes, const EdfHeader& header, EdfNotes& notes) {
    std::vector<std::size_t> signals;
    for (std::size_t i = 0; i < header.signals.size(); ++i) {
        if (header.signals[i].is_annotations && header.signals[i].samples > 0) signals.push_back(i);
    }
    if (signals.empty()) return {};
    Collector collector{bytes, header, notes, {}, signals.front()};
    collector.found.onsets.resize(header.records);
    collector.found.begins.resize(header.records);
    for (std::size_t record = 0; record < header.records; ++record) {
        for (const std::size_t signal : signals) collector.read_block(record, signal);
    }
    return collector.found;
}

}  // namespace tracehold
