#pragma once
// A plain estimate of a spectrum: 1-s segments, Hann, Fourier sums term by term.
#include <cmath>
#include <numbers>
#include <vector>

namespace tracehold::testing {

// Density in steps of 1 Hz, 0 .. highest_hz, of samples at a whole rate.
inline std::vector<double> spectrum_of(const std::vector<double>& samples, int rate, int highest_hz) {
    std::vector<double> cosine, density(static_cast<std::size_t>(highest_hz) + 1, 0.0), window;
    for (int i = 0; i < rate; ++i) {
        cosine.push_back(std::cos(2 * std::numbers::pi * i / rate));
        window.push_back(std::sqrt(2.0 / 3) * (1 - cosine.back()));
    }
    const std::size_t segments = samples.size() / rate;
    for (std::size_t s = 0; s < segments; ++s) {
        for (int f = 0; f <= highest_hz; ++f) {
            double re = 0, im = 0;
            for (int i = 0; i < rate; ++i) {
                const double x = window[i] * samples[s * rate + i];
                const long long turn = static_cast<long long>(f) * i;
                re += x * cosine[turn % rate];
                im += x * cosine[(turn + rate / 4) % rate];
            }
            density[f] += (re * re + im * im) * 2 / (static_cast<double>(rate) * rate * static_cast<double>(segments));
        }
    }
    return density;
}

struct Middles {
    double power, median_hz, mean_hz;
};

// Of a density in steps of 1 Hz, over [from, to].
inline Middles middles_of(const std::vector<double>& density, int from, int to) {
    double power = 0, moment = 0;
    const auto strip = [&](int f) { return (density[f] + density[f + 1]) / 2; };
    for (int f = from; f < to; ++f) {
        power += strip(f);
        moment += strip(f) * (f + 0.5);
    }
    double sum = 0;
    int f = from;
    while (f < to && sum + strip(f) < power / 2) sum += strip(f++);
    return {power, f + (power / 2 - sum) / strip(f), moment / power};
}

}  // namespace tracehold::testing
