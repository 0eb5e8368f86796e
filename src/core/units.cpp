#include "tracehold/core/units.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {

double time_of(std::size_t index, Hertz rate) { return static_cast<double>(index) / rate.value; }

SampleRange samples_in(TimeSpan span, Hertz rate, std::size_t size) {
    constexpr double kBorder_s = 1e-9;
    const auto first_at_or_after = [&](double time_s) {
        const double index = std::ceil((time_s - kBorder_s) * rate.value);
        return static_cast<std::size_t>(std::clamp(index, 0.0, static_cast<double>(size)));
    };
    const std::size_t begin = first_at_or_after(span.begin_s);
    return {begin, std::max(begin, first_at_or_after(span.end_s))};
}

}  // namespace tracehold
