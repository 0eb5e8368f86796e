#pragma once
// Gaussian noise with an EMG-like spectrum of known shape, for the proof of standard errors: an autoregression of order
// 2 with poles r exp(+-i theta), scaled to a variance of 1.
#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

namespace tracehold::test {

struct EmgNoise {
    double rate_hz = 1000.0;
    double peak_hz = 80.0;
    double pole = 0.75;

    double theta() const { return 2.0 * std::numbers::pi * peak_hz / rate_hz; }
    double a1() const { return 2.0 * pole * std::cos(theta()); }
    double a2() const { return -pole * pole; }

    // One-sided density for an innovation of variance 1, up to a factor.
    double density(double f) const {
        const std::complex<double> z = std::polar(1.0, -2.0 * std::numbers::pi * f / rate_hz);
        return 1.0 / std::norm(1.0 - a1() * z - a2() * z * z);
    }

    // (int G)^2 / int G^2 by the midpoint rule.
    double bandwidth_hz() const {
        double sum = 0.0, squares = 0.0;
        const double step = 0.05;
        for (double f = step / 2; f < rate_hz / 2; f += step) {
            sum += density(f) * step;
            squares += density(f) * density(f) * step;
        }
        return sum * sum / squares;
    }

    double median_hz(double low, double high) const {
        double total = 0.0, below = 0.0;
        const double step = 0.05;
        for (double f = low + step / 2; f < high; f += step) total += density(f);
        double f = low + step / 2;
        for (; below < total / 2; f += step) below += density(f);
        return f - step / 2;
    }
};

// Box-Muller on raw 64-bit numbers: the same on every standard library.
class NormalStream {
public:
    explicit NormalStream(std::uint64_t seed) : bits_(seed) {}
    double next() {
        const double u = (static_cast<double>(bits_() >> 11) + 0.5) * 0x1p-53;
        const double v = (static_cast<double>(bits_() >> 11) + 0.5) * 0x1p-53;
        return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
    }

private:
    std::mt19937_64 bits_;
};

// Variance 1.
inline std::vector<double> unit_noise(const EmgNoise& shape, std::size_t size, NormalStream& stream) {
    const double a1 = shape.a1(), a2 = shape.a2();
    const double variance = (1.0 - a2) / ((1.0 + a2) * ((1.0 - a2) * (1.0 - a2) - a1 * a1));
    std::vector<double> x(size);
    double before = 0.0, two_before = 0.0;
    for (int warm_up = 0; warm_up < 200; ++warm_up) {
        const double now = a1 * before + a2 * two_before + stream.next();
        two_before = before, before = now;
    }
    for (double& value : x) {
        value = a1 * before + a2 * two_before + stream.next();
        two_before = before, before = value;
        value /= std::sqrt(variance);
    }
    return x;
}

// Centred moving RMS over `width` samples, cut at the ends.
inline std::vector<float> rms_over(const std::vector<double>& x, std::size_t width) {
    std::vector<double> sums(x.size() + 1, 0.0);
    for (std::size_t i = 0; i < x.size(); ++i) sums[i + 1] = sums[i] + x[i] * x[i];
    std::vector<float> rms(x.size());
    for (std::size_t i = 0; i < x.size(); ++i) {
        const std::size_t begin = i >= width / 2 ? i - width / 2 : 0;
        const std::size_t end = std::min(x.size(), i + width / 2 + 1);
        rms[i] = static_cast<float>(std::sqrt((sums[end] - sums[begin]) / static_cast<double>(end - begin)));
    }
    return rms;
}

}  // namespace tracehold::test
