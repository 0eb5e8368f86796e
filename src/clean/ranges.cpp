#include "clean/ranges.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/many_values.hpp"

namespace tracehold {

Ranges widened(Ranges ranges, std::size_t margin, std::size_t size) {
    std::sort(ranges.begin(), ranges.end(), [](SampleRange a, SampleRange b) { return a.begin < b.begin; });
    Ranges out;
    for (const SampleRange range : ranges) {
        const SampleRange grown{range.begin - std::min(range.begin, margin), std::min(range.end + margin, size)};
        if (!out.empty() && grown.begin <= out.back().end) {
            out.back().end = std::max(out.back().end, grown.end);
        } else {
            out.push_back(grown);
        }
    }
    return out;
}

Ranges missing_runs(std::span<const float> uv) {
    Ranges out;
    std::size_t end = 0;
    for (const SampleRange run : valid_runs(uv)) {
        if (run.begin > end) out.push_back({end, run.begin});
        end = run.end;
    }
    if (end < uv.size()) out.push_back({end, uv.size()});
    return out;
}

Ranges not_finite(std::span<const float> samples) {
    constexpr std::size_t kAtOnce = 256;  // most are finite, and so many are told faster than one by one
    const auto is_odd = [](float v) { return v - v != 0.0F; };
    Ranges out;
    for (std::size_t begin = 0; begin < samples.size(); begin += kAtOnce) {
        const auto some = samples.subspan(begin, std::min(kAtOnce, samples.size() - begin));
        if (!any_of_many(some, is_odd)) continue;
        for (const SampleRange run : ranges_where(some.size(), [&](std::size_t i) { return is_odd(some[i]); }))
            out.push_back({begin + run.begin, begin + run.end});
    }
    return widened(std::move(out), 0, samples.size());
}

void mask(std::span<float> uv, const Ranges& ranges) {
    for (const SampleRange range : ranges) {
        std::fill(uv.begin() + static_cast<std::ptrdiff_t>(range.begin),
                  uv.begin() + static_cast<std::ptrdiff_t>(range.end), std::nanf(""));
    }
}

std::vector<TimeSpan> as_times(const Ranges& ranges, Hertz rate) {
    std::vector<TimeSpan> spans;
    for (const SampleRange range : ranges) spans.push_back({time_of(range.begin, rate), time_of(range.end, rate)});
    return spans;
}

double seconds_in(const Ranges& ranges, Hertz rate) {
    std::size_t samples = 0;
    for (const SampleRange range : ranges) samples += range.size();
    return time_of(samples, rate);
}

}  // namespace tracehold
