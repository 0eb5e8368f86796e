#include "tracehold/report/figure_data.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace tracehold {
namespace {

float peak(std::span<const float> stretch) {
    float largest = std::numeric_limits<float>::quiet_NaN();
    for (const float value : stretch) {
        if (std::isnan(largest) || value > largest) largest = value;
    }
    return largest;
}

}  // namespace

PeakTrace keep_peaks(std::span<const float> samples, Hertz rate, std::size_t max_values) {
    assert(max_values >= 1);
    const std::size_t stretch = std::max<std::size_t>(1, (samples.size() + max_values - 1) / max_values);
    PeakTrace trace{time_of(stretch, rate), {}};
    for (std::size_t begin = 0; begin < samples.size(); begin += stretch) {
        trace.y.push_back(peak(samples.subspan(begin, std::min(stretch, samples.size() - begin))));
    }
    return trace;
}

}  // namespace tracehold
