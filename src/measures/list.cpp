#include <algorithm>
#include <array>

#include "measures/families.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {

std::span<const Measure> measure_list() {
    static const std::array list{
        work_mean(),
        hold_mean(),
        rest_mean(),
        peak(),
        best_second(),
        lift(),
        area(),
        reaction(),
        time_to_hold(),
        release(),
        above_threshold(),
        reached_threshold(),
        fade(),
        steadiness(),
        median_frequency(),
        median_frequency_slope(),
        endurance(),
        endurance_censored(),
        stray(),
        coactivity(),
        coactivity_correlation(),
    };
    return list;
}

std::optional<std::size_t> measure_index(std::string_view key) {
    const auto list = measure_list();
    const auto found =
        std::find_if(list.begin(), list.end(), [&](const Measure& measure) { return measure.key == key; });
    if (found == list.end()) return std::nullopt;
    return static_cast<std::size_t>(found - list.begin());
}

}  // namespace tracehold
