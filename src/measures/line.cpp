#include "measures/line.hpp"

#include <cassert>
#include <cmath>
#include <numeric>
#include <vector>

namespace tracehold {
namespace {

double mean_of_all(std::span<const double> values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

}  // namespace

std::optional<Line> line_through(std::span<const double> times, std::span<const double> values) {
    assert(times.size() == values.size());
    if (times.size() < 2) return std::nullopt;
    const double mean_time = mean_of_all(times);
    Line line{.mean = mean_of_all(values), .n = times.size()};
    double time_squares = 0.0, products = 0.0;
    for (std::size_t i = 0; i < times.size(); ++i) {
        time_squares += (times[i] - mean_time) * (times[i] - mean_time);
        products += (times[i] - mean_time) * (values[i] - line.mean);
    }
    if (!(time_squares > 0.0)) return std::nullopt;
    line.slope = products / time_squares;
    line.start = line.mean - line.slope * mean_time;
    double squares = 0.0;
    for (std::size_t i = 0; i < times.size(); ++i) squares += std::pow(values[i] - line.at(times[i]), 2);
    if (times.size() > 2) line.residual_sd = std::sqrt(squares / static_cast<double>(times.size() - 2));
    return line;
}

std::optional<Line> line_through(const Envelope& envelope, TimeSpan span) {
    const SampleRange samples = samples_in(span, envelope.rate, envelope.uv.size());
    std::vector<double> times, values;
    for (std::size_t i = samples.begin; i < samples.end; ++i) {
        if (!std::isfinite(envelope.uv[i])) continue;
        times.push_back(time_of(i, envelope.rate) - span.begin_s);
        values.push_back(envelope.uv[i]);
    }
    return line_through(times, values);
}

}  // namespace tracehold
