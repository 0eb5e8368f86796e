#include "simulate/exported_envelope.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "simulate/muscle_noise.hpp"
#include "simulate/plain_math.hpp"

namespace tracehold {
namespace {

constexpr double kWindow_s = 0.25;  // our choice: a usual length for amplitudes shown to people

// A windowed-sinc band-pass (Hamming, 0.2 s long: edges about 16 Hz wide), symmetric.
std::vector<double> band_pass(Hertz rate) {
    const int half = static_cast<int>(0.1 * rate.value);
    const double low = kBandLow_hz / rate.value, high = band_high_hz(rate.value) / rate.value;
    std::vector<double> taps;
    for (int k = -half; k <= half; ++k) {
        const double window = 0.54 + 0.46 * plain::cos_turns(k / (2.0 * half));
        const double turns = std::numbers::pi * k;
        const double sinc =
            k == 0 ? 2 * (high - low) : (plain::sin_turns(high * k) - plain::sin_turns(low * k)) / turns;
        taps.push_back(window * sinc);
    }
    return taps;
}

std::vector<double> filtered(const std::vector<double>& trace, const std::vector<double>& taps) {
    const std::size_t half = taps.size() / 2;
    std::vector<double> padded(trace.size() + 2 * half, 0.0), out(trace.size(), 0.0);
    std::copy(trace.begin(), trace.end(), padded.begin() + static_cast<std::ptrdiff_t>(half));
    for (std::size_t k = 0; k < taps.size(); ++k) {
        for (std::size_t n = 0; n < out.size(); ++n) out[n] += taps[k] * padded[n + k];
    }
    return out;
}

}  // namespace

std::vector<double> exported_envelope(std::vector<double> trace, Hertz rate, Hertz envelope_rate) {
    std::vector<bool> missing(trace.size());
    for (std::size_t i = 0; i < trace.size(); ++i) {
        missing[i] = std::isnan(trace[i]);
        if (missing[i]) trace[i] = 0.0;
    }
    std::vector<double> sums{0.0};
    for (const double x : filtered(trace, band_pass(rate))) sums.push_back(sums.back() + x * x);

    const double duration_s = time_of(trace.size(), rate);
    std::vector<double> out(static_cast<std::size_t>(std::floor(duration_s * envelope_rate.value + 1e-9)));
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = time_of(i, envelope_rate);
        const SampleRange window = samples_in({t - kWindow_s / 2, t + kWindow_s / 2}, rate, trace.size());
        const std::size_t middle = std::min(trace.size() - 1, samples_in({t, t}, rate, trace.size()).begin);
        const double power = (sums[window.end] - sums[window.begin]) / static_cast<double>(window.size());
        out[i] = missing[middle] ? std::nan("") : std::sqrt(std::max(0.0, power));
    }
    return out;
}

}  // namespace tracehold
