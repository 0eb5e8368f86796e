#include "clean/flattened.hpp"

#include <cmath>

#include "clean/frames.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLeastBlocks = 10;

double kurtosis_of(std::span<const float> part) {
    const double power = mean_power(part);
    double sum = 0.0;
    for (const float v : part) sum += std::pow(static_cast<double>(v) * v / power, 2.0);
    return sum / static_cast<double>(part.size());
}

}  // namespace

Peakedness loud_peakedness(std::span<const float> uv, Hertz rate, double loud_uv) {
    std::vector<double> values;
    for (const auto part : loud_half_seconds(uv, rate, loud_uv)) values.push_back(kurtosis_of(part));
    if (values.size() < kLeastBlocks) return {};
    const Summary summary = summarise(values);
    return {*summary.mean, *summary.sd / std::sqrt(static_cast<double>(summary.n))};
}

}  // namespace tracehold
