// Fifty tiny files of other people, each with one defect or edge: read with exactly these notes, or refused for this
// reason.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;

namespace {

// found: the notes' codes in order, each once, without start_removed, taken_as_envelope and taken_as_raw, which nearly all of these
// slow files with a removed date get; or the kind of the refusal. marks, gaps: how many.
struct Expected {
    const char* file;
    const char* found;
    std::size_t marks = 0;
    std::size_t gaps = 0;
};

constexpr Expected kTable[] = {
    {"annotations-at-edges.edf", "marks_outside", 3},
    {"annotations-bad-timekeeping.edf", "annotation_unreadable record_time_lost", 1},
    {"annotations-front-loaded.edf", "", 3},
    {"annotations-only.edf", "unsupported"},
    {"annotations.edf", "", 3},
    {"ascending-rates.edf", ""},
    {"biosemi-plus.bdf", "", 1, 1},
    {"biosemi-rate.edf", ""},
    {"biosemi.bdf", ""},
    {"comma-decimal.edf", "decimal_comma"},
    {"contiguous-fractional.edf", ""},
    {"continuous-liar-from-zero.edf", "malformed"},
    {"continuous-liar.edf", "record_times_jump", 0, 1},
    {"control-labels.edf", "control_characters"},
    {"degenerate-range.edf", "scale_unusable"},
    {"discontinuous.edf", "", 0, 1},
    {"exponent-time.edf", "unsupported"},
    {"far-origin-collapsed.edf", "annotation_unreadable record_time_lost"},
    {"far-origin-negative.edf", "annotation_unreadable record_time_lost"},
    {"far-origin.edf", "annotation_unreadable record_time_lost"},
    {"fractional-recdur.edf", ""},
    {"fractional-start-d.edf", "", 1},
    {"fractional-start.edf", "", 1},
    {"fractional-tie.edf", ""},
    {"label-suffix-collision.edf", "duplicate_label"},
    {"late-start.edf", "first_record_off", 1},
    {"latin1-labels.edf", "header_not_ascii", 1},
    {"long-stream.edf", ""},
    {"lost-timekeeping-d.edf", "decimal_comma", 3},
    {"lost-timekeeping.edf", "decimal_comma", 3},
    {"magnetometer.edf", ""},
    {"many-rates.edf", ""},
    {"mixed-rates.edf", ""},
    {"negative-origin.edf", "first_record_off"},
    {"quirky-labels.edf", "duplicate_label polarity_reversed"},
    {"rate-decimal-collision.edf", "unsupported"},
    {"rate-slug-collision.edf", "unsupported"},
    {"records-backwards.edf", "first_record_off records_overlap"},
    {"records-overlapping.edf", "malformed"},
    {"repeating-fast.edf", "unsupported"},
    {"reversed-bounds.edf", "polarity_reversed scale_unusable"},
    {"rounding-bound.edf", ""},
    {"single-rate-empty-channel.edf", "signal_without_samples"},
    {"sub-nanosecond.edf", "unsupported"},
    {"tiny.edf", ""},
    {"truncated.edf", "record_count_wrong"},
    {"two-annotation-channels.edf", "annotation_unreadable", 6},
    {"unknown-records.edf", "record_count_unknown"},
    {"unprintable-step.bdf", "malformed"},
    {"zero-first-annotation.edf", "signal_without_samples records_apart_alike", 1, 2},
};

std::string bytes_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::string telling_codes(const Recording& recording) {
    std::set<std::string> seen{"start_removed", "taken_as_envelope", "taken_as_raw"};
    std::string out;
    for (const Note& note : recording.notes) {
        if (seen.insert(note.code).second) out += (out.empty() ? "" : " ") + note.code;
    }
    return out;
}

}  // namespace

TEST_CASE("every edge file is read with the right notes or refused with the right reason") {
    const char* root = std::getenv("TRACEHOLD_OPEN_RECORDINGS");
    if (!root) {
        MESSAGE("skipped: no open recordings");
        return;
    }
    const std::filesystem::path folder = std::filesystem::path{root} / "edf" / "edge";
    for (const Expected& expected : kTable) {
        CAPTURE(expected.file);
        const std::string bytes = bytes_of(folder / expected.file);
        CHECK(looks_like_edf(bytes));
        try {
            const Recording recording = read_edf(bytes, expected.file);
            CHECK(telling_codes(recording) == expected.found);
            CHECK(recording.marks.size() == expected.marks);
            CHECK(recording.gaps.size() == expected.gaps);
        } catch (const Error& error) {
            CHECK(std::string{to_string(error.kind)} == expected.found);
        }
    }
    const auto files =
        std::distance(std::filesystem::directory_iterator{folder}, std::filesystem::directory_iterator{});
    CHECK(files == std::distance(std::begin(kTable), std::end(kTable)));
}
