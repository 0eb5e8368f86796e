#pragma once
// Sessions of neighbouring days resemble each other; taken as independent they would prove too much.
#include <optional>
#include <span>

#include "course/day_values.hpp"
#include "tracehold/statistics/theil_sen.hpp"

namespace tracehold {

// Correlation from one day to the next; over d days it is this to the power of d. Never taken as less than 0.3 (our
// choice, no source): a higher value widens every interval and lengthens the least course.
inline constexpr double kLeastDayCorrelation = 0.3;

// As the days themselves show it about their straight line, and one standard error more, where there are at least 20
// pairs of neighbours; at most 0.9.
double day_correlation(std::span<const DayValue> days);
// The same with the line through them, where it is known already.
double day_correlation(std::span<const DayValue> days, const std::optional<TheilSen>& line);

// How many times larger the variance of the mean of values on these days is than that of independent ones. In: days in order. Out: 1
// for one.
double mean_variance_factor(std::span<const double> days, double correlation);

// The same for the statistic S of Mann and Kendall. In: days in order. Out: 1 below 3 days.
// Source: Hamed & Rao 1998 (from memory), with the correlation of each pair by its distance in days.
double trend_variance_factor(std::span<const double> days, double correlation);

}  // namespace tracehold
