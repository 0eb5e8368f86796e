// Normal: the error function of the standard library; its inverse by a rational start and Halley's steps on it.
// Student t: half of the regularised incomplete beta function, which is computed as a continued fraction (Lentz's
// method; Abramowitz & Stegun 1964, 26.5.8 and 26.7.1); its inverse by Newton's steps kept inside a shrinking bracket.
// Limits: degrees up to about 1e8; tails below 1e-300 are 0.
#include "tracehold/statistics/distributions.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <utility>

namespace tracehold {
namespace {

double normal_density(double z) { return std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi); }

// Abramowitz & Stegun 1964, 26.2.23: within 4.5e-4, enough to start from. In: 0 < p <= 0.5.
double rough_lower_quantile(double p) {
    const double t = std::sqrt(-2.0 * std::log(p));
    const double top = 2.515517 + t * (0.802853 + t * 0.010328);
    const double bottom = 1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308));
    return -(t - top / bottom);
}

double lower_quantile(double p) {
    double z = rough_lower_quantile(p);
    for (int step = 0; step < 4; ++step) {
        const double density = normal_density(z);
        if (density == 0.0) break;
        const double u = (normal_cdf(z) - p) / density;
        z -= u / (1.0 + 0.5 * z * u);
    }
    return z;
}

// The continued fraction of I_x(a, b); converges fast for x < (a + 1) / (a + b + 2).
double beta_fraction(double a, double b, double x) {
    constexpr double kTiny = 1e-300;
    constexpr double kEnough = 1e-15;
    constexpr int kMostTerms = 100000;
    const auto safe = [](double value) { return std::abs(value) < kTiny ? kTiny : value; };
    double c = 1.0;
    double d = 1.0 / safe(1.0 - (a + b) * x / (a + 1.0));
    double result = d;
    for (int m = 1; m <= kMostTerms; ++m) {
        const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        d = 1.0 / safe(1.0 + even * d);
        c = safe(1.0 + even / c);
        result *= c * d;
        const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        d = 1.0 / safe(1.0 + odd * d);
        c = safe(1.0 + odd / c);
        result *= c * d;
        if (std::abs(c * d - 1.0) < kEnough) break;
    }
    return result;
}

// What log Gamma(x) has beyond (x - 1/2) log x - x + log(2 pi) / 2 (Stirling's series). In: x >= 10.
double stirling_rest(double x) {
    const double r = 1.0 / (x * x);
    return (1.0 / 12 - r * (1.0 / 360 - r * (1.0 / 1260 - r * (1.0 / 1680 - r / 1188)))) / x;
}

// Instead of std::lgamma, which writes a global sign. Below 10 by recurrence.
double log_gamma(double x) {
    double shift = 0.0;
    for (; x < 10.0; x += 1.0) shift -= std::log(x);
    return shift + (x - 0.5) * std::log(x) - x + 0.5 * std::log(2.0 * std::numbers::pi) + stirling_rest(x);
}

// log Gamma(a + b) - log Gamma(a) without the cancellation of two large numbers. In: a >= 10, b > 0.
double log_gamma_step(double a, double b) {
    return (a - 0.5) * std::log1p(b / a) + b * std::log(a + b) - b + stirling_rest(a + b) - stirling_rest(a);
}

double log_beta(double a, double b) {
    if (a < b) std::swap(a, b);
    return a < 10.0 ? log_gamma(a) + log_gamma(b) - log_gamma(a + b) : log_gamma(b) - log_gamma_step(a, b);
}

// I_x(a, b) with y = 1 - x given apart, since one of them may be too small to come from the other.
double beta_share(double a, double b, double x, double y) {
    if (x <= 0.0) return 0.0;
    if (y <= 0.0) return 1.0;
    const double log_x = x < 0.5 ? std::log(x) : std::log1p(-y);
    const double log_y = y < 0.5 ? std::log(y) : std::log1p(-x);
    const double front = std::exp(a * log_x + b * log_y - log_beta(a, b));
    if (x < (a + 1.0) / (a + b + 2.0)) return front * beta_fraction(a, b, x) / a;
    return 1.0 - front * beta_fraction(b, a, y) / b;
}

// P(T <= t) for t <= 0, with full relative accuracy.
double lower_t_tail(double t, double degrees) {
    const double sum = degrees + t * t;
    return 0.5 * beta_share(0.5 * degrees, 0.5, degrees / sum, t * t / sum);
}

double t_density(double t, double degrees) {
    return std::exp(-0.5 * (degrees + 1.0) * std::log1p(t * t / degrees) - 0.5 * std::log(degrees) -
                    log_beta(0.5 * degrees, 0.5));
}

// In: 0 < p < 0.5. Out: the negative t.
double lower_t_quantile(double p, double degrees) {
    double low = -1.0;
    while (lower_t_tail(low, degrees) > p && low > -1e300) low *= 2.0;
    double high = 0.0;
    double t = std::max(low, std::min(lower_quantile(p), -1e-12));
    for (int step = 0; step < 200; ++step) {
        const double excess = lower_t_tail(t, degrees) - p;
        (excess > 0.0 ? high : low) = t;
        const double newton = t - excess / t_density(t, degrees);
        const double next = newton > low && newton < high ? newton : 0.5 * (low + high);
        if (next == t || std::abs(next - t) <= 1e-15 * std::abs(t)) return next;
        t = next;
    }
    return t;
}

}  // namespace

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double normal_quantile(double p) {
    assert(p > 0.0 && p < 1.0);
    return p <= 0.5 ? lower_quantile(p) : -lower_quantile(1.0 - p);
}

double incomplete_beta(double a, double b, double x) { return beta_share(a, b, x, 1.0 - x); }

double student_t_cdf(double t, double degrees) {
    assert(degrees > 0.0);
    const double tail = lower_t_tail(t, degrees);
    return t <= 0.0 ? tail : 1.0 - tail;
}

double student_t_quantile(double p, double degrees) {
    assert(p > 0.0 && p < 1.0 && degrees > 0.0);
    if (p == 0.5) return 0.0;
    return p < 0.5 ? lower_t_quantile(p, degrees) : -lower_t_quantile(1.0 - p, degrees);
}

}  // namespace tracehold
