#include "tracehold/measures/possible_range.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace tracehold {
namespace {

// Times from a cue may lie before it; the others compare two levels.
constexpr std::array<std::string_view, 6> kDifferences = {"lift_uv",   "reaction_s", "time_to_hold_s",
                                                          "release_s", "fade_pct",   "median_frequency_slope_pct_per_s"};

PossibleRange range_of_unit(const Measure& measure) {
    if (measure.form == MeasureForm::yes_no) return {0.0, 1.0};
    if (measure.key == "coactivity_correlation") return {-1.0, 1.0};
    if (measure.key == "above_threshold_pct") return {0.0, 100.0};
    if (measure.unit == "µV") return kPossibleMicrovolts;
    if (measure.unit == "s") return kPossibleSeconds;
    return measure.unit == "Hz" ? kPossibleHertz : kPossibleRatio;
}

}  // namespace

PossibleRange possible_range(const Measure& measure) {
    const PossibleRange range = range_of_unit(measure);
    const bool difference = std::find(kDifferences.begin(), kDifferences.end(), measure.key) != kDifferences.end();
    return difference ? PossibleRange{-range.high, range.high} : range;
}

}  // namespace tracehold
