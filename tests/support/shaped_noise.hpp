#pragma once
// Noise with known properties, the same on every run.
#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace tracehold::testing {

// Gaussian, mean 0, standard deviation 1.
std::vector<float> white_noise(std::size_t size, std::uint64_t seed);

// Gaussian noise whose one-sided power density is `density(f)` in uV^2 per Hz, exact at the bins of the whole length.
std::vector<float> shaped_noise(std::size_t size, double rate_hz, std::uint64_t seed,
                                const std::function<double(double)>& density);

// The form that simulated surface EMG has: k fh^4 f^2 / ((f^2 + fl^2) (f^2 + fh^2)^2), fl = 60 Hz, fh = 120 Hz, k = 1.
// Source of the form: Shwedyk 1977, Stulen & De Luca 1981.
double muscle_density(double hz);

// Shaped like that, with this RMS from 0 to half the rate.
std::vector<float> muscle_noise(std::size_t size, double rate_hz, std::uint64_t seed, double rms_uv);

double rms(const std::vector<float>& values, std::size_t begin = 0, std::size_t end = static_cast<std::size_t>(-1));

}  // namespace tracehold::testing
