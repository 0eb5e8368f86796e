#pragma once
// Quantiles and tails of the distributions used here. Both tails keep their relative accuracy (about 1e-12).
namespace tracehold {

// The z that bounds the middle 95 % of a standard normal.
inline constexpr double kZ95 = 1.959963984540054;

double normal_cdf(double z);
double normal_quantile(double p);  // 0 < p < 1

double student_t_cdf(double t, double degrees);       // degrees > 0
double student_t_quantile(double p, double degrees);  // 0 < p < 1, degrees > 0

// Regularised incomplete beta function I_x(a, b). In: a, b > 0, 0 <= x <= 1.
double incomplete_beta(double a, double b, double x);

}  // namespace tracehold
