#include "support/shaped_noise.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <unsupported/Eigen/FFT>

namespace tracehold::testing {

std::vector<float> white_noise(std::size_t size, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto uniform = [&] { return (static_cast<double>(random() >> 11) + 0.5) / 9007199254740992.0; };
    std::vector<float> out(size);
    for (float& v : out) {
        const double radius = std::sqrt(-2.0 * std::log(uniform()));
        v = static_cast<float>(radius * std::cos(2.0 * std::numbers::pi * uniform()));
    }
    return out;
}

std::vector<float> shaped_noise(std::size_t size, double rate_hz, std::uint64_t seed,
                                const std::function<double(double)>& density) {
    const auto white = white_noise(size, seed);
    const std::vector<double> flat(white.begin(), white.end());
    std::vector<std::complex<double>> bins;
    Eigen::FFT<double> fft;
    fft.fwd(bins, flat);
    for (std::size_t k = 0; k < size; ++k) {
        const double hz = static_cast<double>(std::min(k, size - k)) * rate_hz / static_cast<double>(size);
        bins[k] *= std::sqrt(density(hz) * rate_hz / 2.0);  // white noise of variance 1 has density 2 / rate
    }
    std::vector<std::complex<double>> shaped;
    fft.inv(shaped, bins);
    std::vector<float> out;
    for (const auto& v : shaped) out.push_back(static_cast<float>(v.real()));
    return out;
}

double muscle_density(double hz) {
    constexpr double kLow = 60.0, kHigh = 120.0;
    const double f2 = hz * hz, h2 = kHigh * kHigh;
    return h2 * h2 * f2 / ((f2 + kLow * kLow) * (f2 + h2) * (f2 + h2));
}

std::vector<float> muscle_noise(std::size_t size, double rate_hz, std::uint64_t seed, double rms_uv) {
    auto out = shaped_noise(size, rate_hz, seed, muscle_density);
    const double scale = rms_uv / rms(out);
    for (float& v : out) v = static_cast<float>(v * scale);
    return out;
}

double rms(const std::vector<float>& values, std::size_t begin, std::size_t end) {
    double sum = 0.0;
    std::size_t valid = 0;
    for (std::size_t i = begin; i < std::min(end, values.size()); ++i) {
        if (std::isnan(values[i])) continue;
        sum += static_cast<double>(values[i]) * values[i];
        ++valid;
    }
    return valid == 0 ? 0.0 : std::sqrt(sum / static_cast<double>(valid));
}

}  // namespace tracehold::testing
