#include "clean/rectified.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace tracehold {
namespace {

constexpr double kBeside_s = 0.25;  // shorter than any contraction, so that a rise or fall has rest on one side
constexpr double kLoud = 0.5;
constexpr double kNearZero = 0.1;
constexpr std::size_t kFewestLoud = 100;

}  // namespace

double share_near_zero(std::span<const float> uv, Hertz rate, double loud_uv) {
    const auto beside = static_cast<std::size_t>(std::lround(kBeside_s * rate.value));
    if (beside < 2) return 0.0;
    std::vector<double> sums{0.0};  // of all before; what is masked makes its neighbourhood quiet
    for (const float v : uv) sums.push_back(sums.back() + (std::isfinite(v) ? static_cast<double>(v) : 0.0));
    const auto mean = [&](std::size_t begin) { return (sums[begin + beside] - sums[begin]) / static_cast<double>(beside); };
    std::size_t loud = 0, near_zero = 0;
    for (std::size_t i = beside; i + beside < uv.size(); ++i) {
        const double least = std::min(mean(i - beside), mean(i + 1));
        if (!std::isfinite(uv[i]) || !(least > kLoud * loud_uv)) continue;
        ++loud;
        near_zero += static_cast<double>(uv[i]) < kNearZero * least;
    }
    return loud < kFewestLoud ? 0.0 : static_cast<double>(near_zero) / static_cast<double>(loud);
}

}  // namespace tracehold
