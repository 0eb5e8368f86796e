#include "clean/flattened.hpp"

#include <cmath>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLeastBlocks = 10;

TRACEHOLD_WIDE double mean_fourth_power(std::span<const float> part) {
    return sum_of_valid(part, [](auto& v) { v *= v, v *= v; }).mean();
}

}  // namespace

Peakedness peakedness(std::span<const float> uv, std::span<const HalfSecond> loud, std::size_t samples) {
    std::vector<double> values;
    for (const HalfSecond& half : loud) values.push_back(mean_fourth_power(uv.subspan(half.begin, samples)) / (half.power * half.power));
    if (values.size() < kLeastBlocks) return {};
    const Summary summary = summarise(values);
    return {*summary.mean, *summary.sd / std::sqrt(static_cast<double>(summary.n))};
}

}  // namespace tracehold
