#include "tracehold/envelope/levels.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/core/many_values.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kFloorShare = 0.05;      // 5th percentile: below every rest, above single odd seconds; our choice
constexpr double kValidShare = 0.7;       // of a second; as for every measure
constexpr double kBaselineShare = 0.10;   // lower decile
constexpr double kBaselineHalf_s = 15.0;  // 30 s hold a rest of any usual plan; our choice

TRACEHOLD_WIDE ValidSum sum_of(std::span<const float> uv) { return sum_of_valid(uv, [](auto&) {}); }

double lowest(std::span<const float> uv) {
    double low = 0.0;
    bool any = false;
    for (const float v : uv) {
        if (std::isnan(v) || (any && v >= low)) continue;
        low = v;
        any = true;
    }
    return low;
}

float lower_decile(std::span<const float> uv) {
    std::vector<double> valid;
    for (const float v : uv) {
        if (!std::isnan(v)) valid.push_back(v);
    }
    return valid.empty() ? std::nanf("") : static_cast<float>(quantile(valid, kBaselineShare));
}

// Between two knots; a knot without a value leaves the other's.
float between(float a, float b, double share) {
    if (std::isnan(a)) return b;
    if (std::isnan(b)) return a;
    return static_cast<float>(a + share * (static_cast<double>(b) - a));
}

}  // namespace

double noise_floor(std::span<const float> envelope_uv, Hertz rate) {
    std::vector<double> means;
    for (std::size_t second = 0;; ++second) {
        const double begin_s = static_cast<double>(second);
        const SampleRange range = samples_in({begin_s, begin_s + 1.0}, rate, envelope_uv.size());
        if (range.end == envelope_uv.size() && static_cast<double>(range.size()) < rate.value - 1.0) break;
        if (range.empty()) {
            if (range.begin >= envelope_uv.size()) break;
            continue;  // less than one sample a second
        }
        const ValidSum sum = sum_of(envelope_uv.subspan(range.begin, range.size()));
        if (sum.valid >= kValidShare * static_cast<double>(range.size())) means.push_back(sum.mean());
    }
    return means.empty() ? lowest(envelope_uv) : quantile(means, kFloorShare);
}

std::vector<float> running_lower_decile(std::span<const float> envelope_uv, Hertz rate) {
    std::vector<float> knots;
    const double length_s = time_of(envelope_uv.size(), rate);
    for (double at_s = 0.0; at_s < length_s + 1.0; at_s += 1.0) {
        const SampleRange near = samples_in({at_s - kBaselineHalf_s, at_s + kBaselineHalf_s}, rate, envelope_uv.size());
        knots.push_back(lower_decile(envelope_uv.subspan(near.begin, near.size())));
    }
    std::vector<float> out(envelope_uv.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double at_s = time_of(i, rate);
        const auto knot = static_cast<std::size_t>(at_s);
        out[i] = between(knots[knot], knots[std::min(knot + 1, knots.size() - 1)], at_s - static_cast<double>(knot));
    }
    return out;
}

}  // namespace tracehold
