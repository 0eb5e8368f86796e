#include "tracehold/report/figure_data.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace tracehold {
namespace {

struct Extremes {
    float low = std::numeric_limits<float>::quiet_NaN();
    float high = std::numeric_limits<float>::quiet_NaN();
};

Extremes extremes_of(std::span<const float> stretch) {
    Extremes found;
    for (const float value : stretch) {
        if (std::isnan(found.high) || value > found.high) found.high = value;
        if (std::isnan(found.low) || value < found.low) found.low = value;
    }
    return found;
}

}  // namespace

PeakTrace keep_peaks(std::span<const float> samples, Hertz rate, std::size_t max_values) {
    assert(max_values >= 1);
    const std::size_t stretch = std::max<std::size_t>(1, (samples.size() + max_values - 1) / max_values);
    PeakTrace trace{time_of(stretch, rate), {}, {}};
    for (std::size_t begin = 0; begin < samples.size(); begin += stretch) {
        const Extremes found = extremes_of(samples.subspan(begin, std::min(stretch, samples.size() - begin)));
        trace.y.push_back(found.high);
        trace.low.push_back(found.low);
    }
    return trace;
}

}  // namespace tracehold
