#include "measures/line.hpp"

#include <cassert>
#include <cmath>
#include <vector>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

// The sum of term(i) over all i < size; term(i, sum) adds four neighbours to four sums side by side, or one to one.
template <class Term>
[[gnu::always_inline]] inline double sum_of(std::size_t size, Term term) {
    FourDoubles sums{};
    std::size_t i = 0;
    for (; i + 4 <= size; i += 4) term([i](const double* values) -> const FourInArray& { return four_at(values + i); }, sums);
    double sum = (sums[0] + sums[1]) + (sums[2] + sums[3]);
    for (; i < size; ++i) term([i](const double* values) -> const double& { return values[i]; }, sum);
    return sum;
}

TRACEHOLD_WIDE std::optional<Line> fit(const double* times, const double* values, std::size_t size) {
    const double n = static_cast<double>(size);
    const double mean_time = sum_of(size, [&](auto at, auto& sum) { sum += at(times); }) / n;
    Line line{.mean = sum_of(size, [&](auto at, auto& sum) { sum += at(values); }) / n, .n = size};
    const double time_squares = sum_of(size, [&](auto at, auto& sum) { sum += (at(times) - mean_time) * (at(times) - mean_time); });
    const double products = sum_of(size, [&](auto at, auto& sum) { sum += (at(times) - mean_time) * (at(values) - line.mean); });
    if (!(time_squares > 0.0)) return std::nullopt;
    line.slope = products / time_squares;
    line.start = line.mean - line.slope * mean_time;
    const double squares = sum_of(size, [&](auto at, auto& sum) {
        const auto residual = at(values) - (line.start + line.slope * at(times));
        sum += residual * residual;
    });
    if (size > 2) line.residual_sd = std::sqrt(squares / (n - 2.0));
    return line;
}

}  // namespace

std::optional<Line> line_through(std::span<const double> times, std::span<const double> values) {
    assert(times.size() == values.size());
    if (times.size() < 2) return std::nullopt;
    return fit(times.data(), values.data(), times.size());
}

std::optional<Line> line_through(const Envelope& envelope, TimeSpan span) {
    const SampleRange samples = samples_in(span, envelope.rate, envelope.uv.size());
    const auto uv = std::span(envelope.uv).subspan(samples.begin, samples.size());
    std::vector<double> times(uv.size()), values(uv.begin(), uv.end());
    const double rate = envelope.rate.value;
    for (std::size_t i = 0; i < uv.size(); ++i) times[i] = static_cast<double>(samples.begin + i) / rate - span.begin_s;
    std::size_t valid = uv.size();
    if (any_of_many(uv, [](float e) { return e - e != 0.0F; })) {  // not finite
        valid = 0;
        for (std::size_t i = 0; i < uv.size(); ++i) {
            times[valid] = times[i], values[valid] = values[i];
            valid += std::isfinite(uv[i]) ? 1 : 0;
        }
    }
    return line_through(std::span(times).first(valid), std::span(values).first(valid));
}

}  // namespace tracehold
