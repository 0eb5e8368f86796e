#pragma once
#include <cstddef>
#include <optional>
#include <span>

namespace tracehold {

// What a list of values comes to. sd with n - 1; cv_pct = 100 sd / |mean|; the interval is that of the mean by
// Student's t. Always true: n counts the values; a field is empty where n (or a mean of 0, for cv_pct) does not allow
// it.
struct Summary {
    std::size_t n = 0;
    std::optional<double> mean, sd, cv_pct, min, max;
    std::optional<double> ci95_low, ci95_high;  // of the mean, Student t, n - 1 degrees of freedom
    bool operator==(const Summary&) const = default;
};

// In: finite values, any order. Edges: n = 0 all empty; n = 1 no sd, no cv, no interval.
Summary summarise(std::span<const double> values);

// Quantile by linear interpolation between order statistics (Hyndman & Fan 1996, type 7).
// In: not empty, finite, 0 <= p <= 1; any order.
double quantile(std::span<const double> values, double p);
double median(std::span<const double> values);

// The same without a copy: the values come out in another order.
double quantile_in_place(std::span<double> values, double p);
double quantile_in_place(std::span<float> values, double p);

// What stands at that place in the order of the values, from 0. In: finite, any order, more than `rank`; quick where they are many.
float value_of_rank(std::span<const float> values, std::size_t rank);

}  // namespace tracehold
