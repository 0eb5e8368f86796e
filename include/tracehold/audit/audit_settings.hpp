#pragma once
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "tracehold/statistics/xmr_chart.hpp"

namespace tracehold {

// others: the output leaves the care team; small counts are suppressed.
enum class Audience { team, others };
std::string_view to_string(Audience audience);  // "team", "public"

// months are always looked at as well, except for others beside a named column (its groups might be made of months,
// and then the two tables would give each other's hidden cells away).
enum class Grouping { none, month, site, column };
std::string_view to_string(Grouping grouping);

// Where a service sets no target of its own. Our choice: common in trials of training.
inline constexpr double kAdherenceAtLeast_pct = 80.0;

struct AuditSettings {
    Grouping by = Grouping::none;
    std::string column;  // name of the column of the sessions list; Grouping::column only
    Audience audience = Audience::team;
    std::size_t min_cell = 5;  // for others counts of 1 up to one below are suppressed. Source: common practice of
                               // health agencies. For all, months that count fewer are on no chart
    std::optional<std::chrono::sys_days> from, to;  // both counted; recordings of other days are left out
    std::optional<std::chrono::sys_days> today;     // a later day is a wrong clock, and no end of anything
    std::optional<double> adherence_at_least_pct;  // the service's own; empty: kAdherenceAtLeast_pct
    std::optional<double> rest_below_uv;  // the service's own; empty: that of each person's own plan, if it has one
    std::optional<double> review_within_days;  // the service's own; empty: only the median time is told
    XmrSettings xmr;
};

}  // namespace tracehold
