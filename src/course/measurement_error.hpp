#pragma once
// How much two ends of a course may differ without anything having changed.
//
// Two blocks of days are compared. Their spread from day to day, s, comes from both, freed of what neighbouring days
// share: s^2 = (SS1 + SS2) / ((n1 - F1) + (n2 - F2)), F = mean_variance_factor. The 95 % half-width of the difference
// is t(n1 + n2 - 2) s sqrt(F1 / n1 + F2 / n2). It covers electrode, placement and day; it does not cover a drift that
// lasts for weeks (a worn sensor, another gain), which no repeat within a block can show.
#include <optional>
#include <span>

#include "course/day_values.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold {

// Published within-session figures for pelvic-floor surface EMG: standard error of measurement 7.5 to 15.7 %, minimal
// difference 21 to 44 % (figures as quoted in the project's definitions; the papers were not re-read).
inline constexpr double kPublishedLeast_pct = 21.0;  // no claim on an amplitude below this, however steady the person
inline constexpr double kPublishedMost_pct = 44.0;   // taken where the person's own repeats are too few

// No claim on a time below this: methods place an onset 15 to 30 ms off (Kowalski et al. 2021, not re-read), and
// 1.96 sqrt(2) 30 ms = 83 ms.
inline constexpr double kLeastTimeChange_s = 0.1;

// All on the scale of DayValue::scaled.
struct BlockComparison {
    double difference = 0.0;           // current less baseline
    std::optional<double> half_width;  // of its 95 % interval; empty below 3 days in either block
    std::optional<double> sem;         // of one session: SD of the baseline's sessions; empty on a single day
    std::optional<double> needed;      // what the difference has to exceed; empty where nobody knows
    bool own = false;                  // needed comes from the person's own repeats
};

// baseline and current: neither empty. correlation: from one day to the next.
struct Blocks {
    std::span<const DayValue> baseline, current;
    double correlation = 0.0;
};
BlockComparison compare_blocks(const Blocks& blocks, const CourseMeasure& measure);

}  // namespace tracehold
