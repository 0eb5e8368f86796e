#pragma once
// Numbers that know their unit, for function borders. Inside arrays the name carries it: _uv, _s, _hz, _pct.
#include <compare>
#include <cstddef>

namespace tracehold {

template <class Unit>
struct Quantity {
    double value = 0.0;

    constexpr Quantity() = default;
    constexpr explicit Quantity(double v) : value(v) {}
    constexpr auto operator<=>(const Quantity&) const = default;
    constexpr Quantity operator+(Quantity o) const { return Quantity{value + o.value}; }
    constexpr Quantity operator-(Quantity o) const { return Quantity{value - o.value}; }
    constexpr Quantity operator*(double k) const { return Quantity{value * k}; }
    constexpr Quantity operator/(double k) const { return Quantity{value / k}; }
};

using Hertz = Quantity<struct HertzUnit>;
using Seconds = Quantity<struct SecondsUnit>;
using Microvolts = Quantity<struct MicrovoltsUnit>;
using Percent = Quantity<struct PercentUnit>;

// A half-open stretch of time [begin_s, end_s), seconds from the start of the recording.
struct TimeSpan {
    double begin_s = 0.0;
    double end_s = 0.0;
    constexpr double length_s() const { return end_s - begin_s; }
    bool operator==(const TimeSpan&) const = default;
};

// A half-open stretch of samples [begin, end).
struct SampleRange {
    std::size_t begin = 0;
    std::size_t end = 0;
    constexpr std::size_t size() const { return end - begin; }
    constexpr bool empty() const { return end <= begin; }
    bool operator==(const SampleRange&) const = default;
};

// The one place where sample numbers and times meet. Sample i stands at i / rate.
double time_of(std::size_t index, Hertz rate);

// The samples whose times lie in [span), cut to [0, size). A sample within 1 ns of a border counts as on it,
// so that spans computed as sums of decimals meet without a lost or doubled sample.
SampleRange samples_in(TimeSpan span, Hertz rate, std::size_t size);

}  // namespace tracehold
