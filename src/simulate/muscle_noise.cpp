// White Gaussian noise through a finite filter with |H(f)|^2 = P(f).
// P is the squared response of the analogue filter H(f) = jf / ((jf + fl)(jf + fh)^2), which forgets within 1.5 / fl
// seconds. Its response is sampled in frequency up to half the rate, so nothing is folded back, and brought to time by
// an inverse transform; a delay of less than one sample makes H real at half the rate, which keeps the cut-off from
// ringing. A spectrum that changes with time switches between such filters; steps of 0.5 % are far below what a
// spectrum can show. Limits: fl >= 5 Hz; the density is within 0.5 % of P from 20 to 450 Hz at 2 kHz.
#include "simulate/muscle_noise.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <map>

#include "simulate/plain_math.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLead = 24;  // samples before the response begins: what the cut at half the rate rings ahead

std::complex<double> analogue_response(const EmgSpectrum& s, double f_hz) {
    const std::complex<double> jf(0.0, f_hz);
    const auto divisor = (jf + s.low_hz) * (jf + s.high_hz) * (jf + s.high_hz);
    return jf * std::conj(divisor) / std::norm(divisor);
}

std::size_t response_size(const EmgSpectrum& s, double rate_hz) {
    return kLead + static_cast<std::size_t>(1.5 * rate_hz / s.low_hz) + 8;
}

// y[n] += h[k] w[n + k] with h reversed: sums of one y[n] run in the order of k, whatever the width of the machine's
// vectors.
void filter_block(const std::vector<double>& h, const double* w, double* y, std::size_t count) {
    for (std::size_t k = 0; k < h.size(); ++k) {
        const double gain = h[h.size() - 1 - k];
        for (std::size_t n = 0; n < count; ++n) y[n] += gain * w[n + k];
    }
}

EmgSpectrum scaled(const EmgSpectrum& s, double factor) { return {s.low_hz * factor, s.high_hz * factor}; }

constexpr double kScaleStep = 0.005;
int scale_step(double factor) { return static_cast<int>(std::lround(factor / kScaleStep)); }

}  // namespace

double band_high_hz(double rate_hz) { return std::min(kBandHigh_hz, rate_hz / 2); }

double EmgSpectrum::density(double f) const {
    const double h2 = high_hz * high_hz, f2 = f * f;
    return h2 * h2 * f2 / ((f2 + low_hz * low_hz) * (f2 + h2) * (f2 + h2));
}

double EmgSpectrum::power(double from_hz, double to_hz) const {
    constexpr int kIntervals = 400;
    const double step = (to_hz - from_hz) / kIntervals;
    double sum = density(from_hz) + density(to_hz);
    for (int i = 1; i < kIntervals; ++i) sum += (i % 2 == 1 ? 4 : 2) * density(from_hz + i * step);
    return sum * step / 3;
}

std::vector<double> emg_filter(const EmgSpectrum& s, double rate_hz) {
    const std::size_t taps = response_size(s, rate_hz);
    const std::size_t half = 2 * taps;  // bins from 0 to half the rate; twice the taps, so that nothing wraps onto them
    const auto at_end = analogue_response(s, rate_hz / 2);
    // The angle is taken once a filter, by the C library, and rounded to where libraries cannot differ.
    const double turns = std::round(std::arg(-at_end) / 6.283185307179586 * 1e9) / 1e9;

    std::vector<std::complex<double>> bins(half + 1);
    for (std::size_t i = 1; i <= half; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(half);
        const std::complex<double> turn(plain::cos_turns(-turns * share), plain::sin_turns(-turns * share));
        bins[i] = analogue_response(s, share * rate_hz / 2) * turn;
    }
    // |H|^2 = P / fh^4; white noise of variance 1 has the density 2 / rate.
    const double h2 = s.high_hz * s.high_hz;
    const double in_band = s.power(kBandLow_hz, band_high_hz(rate_hz)) / (h2 * h2);
    const double gain = std::sqrt(rate_hz / 2 / in_band) / static_cast<double>(half);

    std::vector<double> wave(2 * half);
    for (std::size_t i = 0; i < wave.size(); ++i) {
        wave[i] = plain::cos_turns(static_cast<double>(i) / static_cast<double>(wave.size()));
    }
    std::vector<double> response(taps);
    for (std::size_t n = 0; n < taps; ++n) {
        const std::size_t time = n + wave.size() - kLead;
        double sum = bins[half].real() / 2 * wave[(half * time) % wave.size()];
        for (std::size_t i = 1; i < half; ++i) {
            const std::size_t turn = (i * time) % wave.size();
            const double sine = wave[(turn + wave.size() - half / 2) % wave.size()];
            sum += bins[i].real() * wave[turn] - bins[i].imag() * sine;
        }
        response[n] = gain * sum;
    }
    return response;
}

std::vector<double> emg_noise(RandomStream stream, const EmgSpectrum& spectrum, Hertz rate, std::size_t size,
                              const std::function<double(double)>& scale_at) {
    const std::size_t block = std::max<std::size_t>(1, static_cast<std::size_t>(0.016 * rate.value));
    const auto factor = [&](std::size_t begin) { return scale_at ? scale_at(time_of(begin, rate)) : 1.0; };

    std::map<int, std::vector<double>> filters;
    std::size_t longest = 0;
    for (std::size_t begin = 0; begin < size; begin += block) {
        const int step = scale_step(factor(begin));
        auto& filter = filters[step];
        if (filter.empty()) filter = emg_filter(scaled(spectrum, step * kScaleStep), rate.value);
        longest = std::max(longest, filter.size());
    }
    std::vector<double> white(size + longest);
    for (double& w : white) w = stream.normal();

    std::vector<double> out(size, 0.0);
    for (std::size_t begin = 0; begin < size; begin += block) {
        const auto& filter = filters[scale_step(factor(begin))];
        filter_block(filter, white.data() + begin + longest - filter.size(), out.data() + begin,
                     std::min(block, size - begin));
    }
    return out;
}

std::vector<double> white_noise(RandomStream stream, Hertz rate, std::size_t size) {
    const double scale = std::sqrt(rate.value / 2 / (band_high_hz(rate.value) - kBandLow_hz));
    std::vector<double> out(size);
    for (double& x : out) x = scale * stream.normal();
    return out;
}

}  // namespace tracehold
