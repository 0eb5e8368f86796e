#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold {

// Which patterns count as a signal. Each set is named wherever it is used.
enum class XmrRules {
    shewhart,          // one point beyond a limit. Source: Shewhart 1931
    western_electric,  // that; 2 of 3 beyond 2/3 of a limit; 4 of 5 beyond 1/3; 8 in a row on one side.
                       // Source: Western Electric handbook 1956 (memory)
};
std::string_view to_string(XmrRules rules);
std::string_view describe(XmrRules rules);  // one line for the foot of a chart

struct XmrSettings {
    XmrRules rules = XmrRules::western_electric;
    std::optional<std::size_t> baseline;  // the first points, whose limits are frozen; empty: all
    double limit_factor = 2.66;           // 3 / 1.128 rounded as in the tables; of the mean moving range
    double range_factor = 3.268;          // D4 of pairs, as in the tables
};

// A point (index into the values) and the rule it completes.
struct XmrSignal {
    std::size_t point = 0;
    std::string_view rule;  // "beyond_limit", "two_of_three", "four_of_five", "eight_in_a_row", "moving_range"
    bool operator==(const XmrSignal&) const = default;
};

// Individuals with their moving ranges (differences of neighbours without sign; never the plain SD).
// Always true: signals in order of point; without a verdict there are none and reason says why.
struct XmrChart {
    XmrRules rules = XmrRules::western_electric;
    std::size_t n = 0, baseline = 0;
    double mean = 0.0, mean_range = 0.0;  // of the baseline
    double low = 0.0, high = 0.0, range_limit = 0.0;
    std::vector<XmrSignal> signals;
    std::string reason;
    bool operator==(const XmrChart&) const = default;
};

// Below this many points in the baseline the limits are too loose to judge by. Source: common teaching (12, better 20).
inline constexpr std::size_t kXmrPoints = 12;

// In: finite, in order of time. Out: empty below 2 points in the baseline. Edges: a baseline that never varies has
// limits on the mean and gives no verdict. Points are taken as independent.
std::optional<XmrChart> xmr_chart(std::span<const double> values, const XmrSettings& settings = {});

}  // namespace tracehold
