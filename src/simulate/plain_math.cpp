#include "simulate/plain_math.hpp"

#include <cmath>
#include <numbers>

namespace tracehold::plain {

// x = k ln 2 + r; the series of e^r for |r| <= 0.35.
double exp(double x) {
    const double k = std::floor(x / std::numbers::ln2 + 0.5);
    const double r = x - k * std::numbers::ln2;
    double sum = 1.0;
    for (int n = 16; n >= 1; --n) sum = 1.0 + sum * r / n;
    return std::ldexp(sum, static_cast<int>(k));
}

// x = m 2^k with m in [sqrt(1/2), sqrt(2)); log m = 2 atanh((m - 1) / (m + 1)), |argument| < 0.172.
double log(double x) {
    int k = 0;
    double m = std::frexp(x, &k);
    if (m < std::numbers::sqrt2 / 2) {
        m *= 2;
        --k;
    }
    const double z = (m - 1) / (m + 1), z2 = z * z;
    double sum = 0.0;
    for (int n = 21; n >= 1; n -= 2) sum = 1.0 / n + sum * z2;
    return k * std::numbers::ln2 + 2 * z * sum;
}

// Folded to a quarter turn, where the series of the sine has 10 terms.
double sin_turns(double x) {
    double y = x - std::floor(x + 0.5);  // [-1/2, 1/2)
    if (y > 0.25) y = 0.5 - y;
    if (y < -0.25) y = -0.5 - y;
    const double a = 2 * std::numbers::pi * y, a2 = a * a;
    double sum = 1.0;
    for (int n = 20; n >= 2; n -= 2) sum = 1.0 - sum * a2 / (n * (n + 1));
    return a * sum;
}

double cos_turns(double x) { return sin_turns(x + 0.25); }

}  // namespace tracehold::plain
