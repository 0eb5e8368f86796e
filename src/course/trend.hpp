#pragma once
// Whether the days go up or down, and how steeply, without taking neighbouring days as independent.
#include <optional>
#include <span>
#include <vector>

#include "course/day_values.hpp"
#include "tracehold/statistics/theil_sen.hpp"

namespace tracehold {

// Per day, on the scale of DayValue::scaled. The interval is widened, and p raised, by the correlation of
// neighbouring days; p is never below the exact one.
struct Trend {
    double slope = 0.0;
    std::optional<double> low{}, high{};
    std::optional<double> p{};  // two-sided; empty below 4 days
};

// correlation: from one day to the next. Out: empty below 2 days.
std::optional<Trend> trend_of(std::span<const DayValue> days, double correlation);
// The same with the line through them, where it is known already.
std::optional<Trend> trend_of(std::span<const DayValue> days, double correlation, const std::optional<TheilSen>& line);

// Holm's step-down: p-values multiplied so that one limit holds for all of them together. Same order as given.
// Source: Holm 1979.
std::vector<double> adjust_together(std::span<const double> p);

}  // namespace tracehold
