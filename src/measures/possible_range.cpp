#include "tracehold/measures/possible_range.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// An onset may lie before its cue, what is looked for from a cue on does not; the others compare two levels.
constexpr std::array<std::string_view, 3> kDifferences = {"lift_uv", "reaction_s", "median_frequency_slope_pct_per_s"};

PossibleRange range_of_unit(const Measure& measure) {
    if (measure.form == MeasureForm::yes_no) return {0.0, 1.0};
    if (measure.key == "coactivity_correlation") return {-1.0, 1.0};
    if (measure.key == "above_threshold_pct") return {0.0, 100.0};
    if (measure.key == "fade_pct") return {-100.0, 100.0};  // from all gone to doubled: beyond these it is none
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

bool is_possible_limit(const Target& target, const Measure& measure) {
    const PossibleRange range = possible_range(measure);
    const double limit = target.below ? *target.below : target.above.value_or(range.low);
    return limit >= range.low && limit <= range.high;
}

void require_possible_targets(const Plan& plan) {
    std::vector<std::string_view> keys;
    for (const Measure& measure : measure_list()) keys.push_back(measure.key);
    for (const Target& target : plan.targets) {
        const std::string& key = target.measure;
        const auto refuse = [&](const std::string& message, const std::string& hint) {
            throw Error(ErrorKind::bad_setting, plan.source, "/targets/" + shown(key), message, hint);
        };
        const auto index = measure_index(key);
        if (!index) {
            refuse(fmt::format("a target names no measure: saw '{}', expected a key of the list of measures{}", shown(key),
                               did_you_mean(key, keys)),
                   "'tracehold explain' lists the keys");
        } else if (!is_possible_limit(target, measure_list()[*index])) {
            const PossibleRange range = possible_range(measure_list()[*index]);
            refuse(fmt::format("a target that cannot be: saw {}, expected a number from {} to {}",
                               number_text(target.below ? *target.below : *target.above), number_text(range.low),
                               number_text(range.high)),
                   "");
        }
    }
}

}  // namespace tracehold
