#pragma once
// How far repeated measurements of the same thing agree.
#include <cstddef>
#include <optional>
#include <span>

namespace tracehold {

// A full table: one row a target (person, site), one column a judge (rater, session). values row by row.
// In: values.size() == targets * judges, finite.
struct Ratings {
    std::span<const double> values;
    std::size_t targets = 0;
    std::size_t judges = 0;
};

// The six intraclass correlations of Shrout & Fleiss 1979. First number: 1 each target has its own judges, 2 the same
// judges drawn from many, 3 these judges only. Second: one judge, or the mean of all k.
struct IntraclassCorrelations {
    double icc_1_1 = 0.0, icc_2_1 = 0.0, icc_3_1 = 0.0;
    double icc_1_k = 0.0, icc_2_k = 0.0, icc_3_k = 0.0;
    bool operator==(const IntraclassCorrelations&) const = default;
};

// Out: empty below 2 targets or 2 judges, or where a form's denominator is 0 (nothing varies). May be negative.
std::optional<IntraclassCorrelations> intraclass_correlations(const Ratings& ratings);

// Standard error of measurement: root of the error mean square of the two-way table (differences between judges taken
// out). Unit of the values. Out: empty below 2 targets or 2 judges. Source: Weir 2005.
std::optional<double> standard_error_of_measurement(const Ratings& ratings);

// The smallest change that is beyond measurement error with 95 % confidence: 1.96 sqrt(2) sem. Source: Weir 2005.
double minimal_detectable_change_95(double sem);

// Differences a - b of paired measurements: their mean, and where 95 % of them lie if they are normally distributed.
struct BlandAltman {
    std::size_t n = 0;
    double bias = 0.0;
    double sd = 0.0;                                   // of the differences, n - 1
    double lower = 0.0, upper = 0.0;                   // limits of agreement, bias -+ 1.96 sd
    double bias_ci95_low = 0.0, bias_ci95_high = 0.0;  // Student t, sd / sqrt(n)
    double limit_error = 0.0;                          // standard error of each limit, sd sqrt(3 / n)
    bool operator==(const BlandAltman&) const = default;
};

// In: a and b of one length, finite. Out: empty below 2 pairs. Source: Bland & Altman 1986.
std::optional<BlandAltman> bland_altman(std::span<const double> a, std::span<const double> b);

}  // namespace tracehold
