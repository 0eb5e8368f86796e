#pragma once
// Gaussian noise with the spectrum of surface EMG.
#include <cstddef>
#include <functional>
#include <vector>

#include "simulate/random_stream.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// The band in which every amplitude of this room is meant.
inline constexpr double kBandLow_hz = 20.0;
inline constexpr double kBandHigh_hz = 450.0;
double band_high_hz(double rate_hz);  // or half the rate

// P(f) = fh^4 f^2 / ((f^2 + fl^2)(f^2 + fh^2)^2). Source: Shwedyk, Balasubramanian & Scott 1977; Stulen & De Luca 1981.
struct EmgSpectrum {
    double low_hz = 60.0;
    double high_hz = 120.0;
    double density(double f_hz) const;
    double power(double from_hz, double to_hz) const;  // integral of density, Simpson's rule, relative error below 1e-6
    bool operator==(const EmgSpectrum&) const = default;
};

// Response of the filter that turns white noise of variance 1 into noise of this spectrum, with RMS 1 in the band.
std::vector<double> emg_filter(const EmgSpectrum& spectrum, double rate_hz);

// size samples with RMS 1 in the band. scale_at(time_s): the factor by which both frequencies are scaled at that time,
// looked at every 16 ms and rounded to 0.5 %; empty = always 1.
std::vector<double> emg_noise(RandomStream stream, const EmgSpectrum& spectrum, Hertz rate, std::size_t size,
                              const std::function<double(double)>& scale_at = {});

// White noise with RMS 1 in the band.
std::vector<double> white_noise(RandomStream stream, Hertz rate, std::size_t size);

}  // namespace tracehold
