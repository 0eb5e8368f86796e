#include "course/measurement_error.hpp"

#include <algorithm>
#include <cmath>

#include "course/neighbouring_days.hpp"
#include "tracehold/statistics/distributions.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLeastDays = 3;

struct Spread {
    double squares = 0.0;  // sum of squared deviations from the block's mean
    double n = 0.0;
    double factor = 1.0;  // of the variance of its mean
};

Spread spread_of(std::span<const DayValue> days, double correlation) {
    const auto values = scaled_of(days);
    const Summary summary = summarise(values);
    Spread spread{.n = static_cast<double>(days.size()), .factor = mean_variance_factor(times_of(days), correlation)};
    if (summary.sd) spread.squares = *summary.sd * *summary.sd * (spread.n - 1.0);
    return spread;
}

std::optional<double> half_width_of(const Blocks& blocks) {
    if (std::min(blocks.baseline.size(), blocks.current.size()) < kLeastDays) return std::nullopt;
    const Spread a = spread_of(blocks.baseline, blocks.correlation), b = spread_of(blocks.current, blocks.correlation);
    const double variance = (a.squares + b.squares) / (a.n - a.factor + b.n - b.factor);
    const double error = std::sqrt(variance * (a.factor / a.n + b.factor / b.n));
    return student_t_quantile(0.975, a.n + b.n - 2.0) * error;
}

std::optional<double> session_error(std::span<const DayValue> baseline) {
    if (baseline.size() < 2) return std::nullopt;
    std::vector<double> values;
    for (const DayValue& day : baseline) values.insert(values.end(), day.values.begin(), day.values.end());
    return summarise(values).sd;
}

double least_needed(const CourseMeasure& measure) {
    if (measure.log_scale) return std::log1p(kPublishedLeast_pct / 100.0);
    return measure.unit == "s" ? kLeastTimeChange_s : 0.0;
}

}  // namespace

BlockComparison compare_blocks(const Blocks& blocks, const CourseMeasure& measure) {
    BlockComparison out;
    out.difference = *summarise(scaled_of(blocks.current)).mean - *summarise(scaled_of(blocks.baseline)).mean;
    out.half_width = half_width_of(blocks);
    out.sem = session_error(blocks.baseline);
    if (out.half_width) {
        const double least = least_needed(measure);
        out.own = *out.half_width >= least;
        out.needed = std::max(*out.half_width, least);
    } else if (measure.log_scale) {
        out.needed = std::log1p(kPublishedMost_pct / 100.0);
    }
    return out;
}

}  // namespace tracehold
