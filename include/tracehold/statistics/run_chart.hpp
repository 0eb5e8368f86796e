#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <string>

namespace tracehold {

// Values in order of time around their median: does chance alone explain how they run?
// Always true: useful counts the points that are not on the median; without a verdict reason says why.
struct RunChart {
    std::size_t n = 0, useful = 0;
    double median = 0.0;
    std::size_t longest_run = 0;  // useful points in a row on one side
    std::size_t crossings = 0;    // of the median, between neighbouring useful points
    std::optional<std::size_t> longest_allowed, fewest_crossings;
    std::optional<bool> long_run, few_crossings;  // the signals
    std::string reason;
    bool operator==(const RunChart&) const = default;
};

// Below this many useful points no verdict: the rules then hardly ever signal. Source: as run_chart, its smallest n.
inline constexpr std::size_t kRunChartPoints = 10;

// Signals: a run longer than round(log2 useful + 3); fewer crossings than the 5 % quantile of Binomial(useful - 1, 1/2).
// In: finite. Edges: no values, all 0. Points are taken as independent.
// Source: Anhoej & Olesen, PLoS ONE 2014 (both rules; it finds 'k rising points' next to useless, so there is none).
RunChart run_chart(std::span<const double> values);

}  // namespace tracehold
