#include "support/onset_cells.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <map>
#include <numbers>
#include <random>
#include <span>
#include <utility>

namespace tracehold::testing {

// Rest and activity are Gaussian with the spectrum k fh^4 f^2 / ((f^2 + fl^2)(f^2 + fh^2)^2), fl = 60 Hz, fh = 120 Hz
// (form: Shwedyk 1977, Stulen & De Luca 1981, from memory), independent of each other; a white floor lies under rest.
// Activity is multiplied by the amplitude profile, all is added and band-passed 20-450 Hz with the magnitude of a
// fourth-order Butterworth run forward and backward.

namespace {

using Complex = std::complex<double>;
constexpr double kPi = std::numbers::pi;
constexpr double kRest_uv = 2.0;
constexpr double kFloor_uv = 0.7;

// Halves first, so that short stretches are finished while they are in the cache.
void join_halves(std::span<Complex> x, std::span<const Complex> root) {
    if (x.size() < 2) return;
    const std::size_t half = x.size() / 2;
    join_halves(x.first(half), root);
    join_halves(x.last(half), root);
    for (std::size_t k = 0; k < half; ++k) {
        const double wr = root[half + k].real(), wi = root[half + k].imag();
        const double br = x[k + half].real(), bi = x[k + half].imag(), ur = x[k].real(), ui = x[k].imag();
        const double vr = wr * br - wi * bi, vi = wr * bi + wi * br;
        x[k] = {ur + vr, ui + vi};
        x[k + half] = {ur - vr, ui - vi};
    }
}

// Sessions are made by the thousand, most of one length: what rests on it alone is kept, and made where it is still empty.
template <class Key, class Make>
const auto& kept(const Key& key, const Make& make) {
    thread_local std::map<Key, decltype(make())> all;
    auto& values = all[key];
    if (values.empty()) values = make();
    return values;
}

// Those of a stretch of 2 m values at m .. 2 m - 1.
const std::vector<Complex>& roots(std::size_t n, bool inverse) {
    return kept(std::pair(n, inverse), [&] {
        std::vector<Complex> root(n);
        for (std::size_t m = 1; m < n; m *= 2)
            for (std::size_t k = 0; k < m; ++k)
                root[m + k] =
                    std::polar(1.0, (inverse ? 1.0 : -1.0) * kPi * static_cast<double>(k) / static_cast<double>(m));
        return root;
    });
}

void fft(std::vector<Complex>& x, bool inverse) {
    const std::size_t n = x.size();
    for (std::size_t i = 1, j = 0; i < n; ++i) {
        std::size_t bit = n >> 1;
        for (; j & bit; bit >>= 1) j ^= bit;
        j ^= bit;
        if (i < j) std::swap(x[i], x[j]);
    }
    join_halves(x, roots(n, inverse));
    if (inverse)
        for (Complex& value : x) value /= static_cast<double>(n);
}

struct Source {
    std::mt19937_64 engine;
    double uniform() { return (static_cast<double>(engine() >> 11) + 0.5) * 0x1.0p-53; }
    double between(double low, double high) { return low + (high - low) * uniform(); }
    Complex normal_pair() {
        const double turn = 2.0 * kPi * uniform();  // in this order, which that of a call's arguments would leave open
        return std::polar(std::sqrt(-2.0 * std::log(uniform())), turn);
    }
};

double frequency(std::size_t i, std::size_t n, double rate) {
    return static_cast<double>(std::min(i, n - i)) * rate / static_cast<double>(n);
}

double emg_power(double f) {
    const double l = 60.0 * 60.0, h = 120.0 * 120.0, f2 = f * f;
    return f2 / ((f2 + l) * (f2 + h) * (f2 + h));
}

// Two independent noises of RMS 1 with the EMG spectrum, in the real and the imaginary part.
std::vector<Complex> emg_pair(std::size_t n, double rate, Source& source) {
    const std::vector<double>& sizes = kept(std::pair(n, rate), [&] {
        std::vector<double> of_bins(n);
        double power = 0.0;
        for (std::size_t i = 0; i < n; ++i) power += emg_power(frequency(i, n, rate));
        for (std::size_t i = 0; i < n; ++i) of_bins[i] = std::sqrt(emg_power(frequency(i, n, rate)) / power);
        return of_bins;
    });
    std::vector<Complex> x(n);
    for (std::size_t i = 0; i < n; ++i) x[i] = source.normal_pair() * sizes[i] * static_cast<double>(n);
    fft(x, true);
    return x;
}

double eighth(double x) {
    const double x4 = x * x * x * x;
    return x4 * x4;
}

void band_pass(std::vector<double>& uv, double rate, std::size_t n) {
    const double corner = std::pow(std::sqrt(2.0) - 1.0, 1.0 / 8.0);  // keeps the double pass at -3 dB in the corner
    const double low = 20.0 * corner, high = std::min(450.0, 0.45 * rate) / corner;
    const std::vector<double>& gains = kept(std::pair(n, rate), [&] {
        std::vector<double> of_bins(n);
        for (std::size_t i = 1; i < n; ++i) {
            const double f = frequency(i, n, rate);
            of_bins[i] = 1.0 / ((1.0 + eighth(low / f)) * (1.0 + eighth(f / high)));
        }
        return of_bins;
    });
    std::vector<Complex> x(n);
    std::copy(uv.begin(), uv.end(), x.begin());
    fft(x, false);
    for (std::size_t i = 0; i < n; ++i) x[i] *= gains[i];
    fft(x, true);
    for (std::size_t i = 0; i < uv.size(); ++i) uv[i] = x[i].real();
}

struct Timeline {
    double onset, rise_end, fall_begin, offset;
};

double profile(const OnsetCell& cell, const Timeline& t, double time) {
    const double rise = t.rise_end - t.onset, fall = t.offset - t.fall_begin;
    if (time < t.onset || time >= t.offset) return 0.0;
    double a = 1.0;
    if (time < t.rise_end) a = cell_amplitude(cell.shape, (time - t.onset) / rise);
    if (time > t.fall_begin) a = std::min(a, cell_amplitude(cell.fall_shape.value_or(cell.shape), (t.offset - time) / fall));
    if (cell.faults.falling_plateau) {
        const double x = time - t.onset;
        a *= (1.0 - 0.06 * x) * (1.0 + 0.15 * std::sin(2.0 * kPi * 2.0 * x));
    }
    return a;
}

// Of the activity to be added, where the amplitude goes from rest to plateau by s: (r + (1 - r) s)^2 = r^2 + (1 - r^2) a^2.
double added_to_rest(const OnsetCell& cell, double s) {
    const double activity = std::pow(10.0, cell.snr_db / 20.0), r = 1.0 / std::sqrt(1.0 + activity * activity);
    return std::sqrt((2.0 * r * s + (1.0 - r) * s * s) / (1.0 + r));
}

double creep_at(const OnsetCell& cell, const Timeline& t, double time) {
    constexpr double kOver_s = 1.5;
    const double away = time < t.onset ? t.onset - time : time > t.offset ? time - t.offset : 0.0;
    return 1.0 + cell.faults.creep * std::max(0.0, 1.0 - away / kOver_s);
}

double beat_at(double since) {  // a biphasic wave of about 60 ms
    const double x = since / 0.012;
    return (1.0 - x * x) * std::exp(-0.5 * x * x);
}

void add_faults(std::vector<double>& uv, const OnsetCell& cell, Source& source) {
    const double hum_phase = source.between(0.0, 2.0 * kPi);
    for (std::size_t i = 0; i < uv.size(); ++i) {
        const double t = static_cast<double>(i) / cell.rate_hz;
        if (cell.faults.hum_uv > 0.0)
            uv[i] += cell.faults.hum_uv * std::sqrt(2.0) *
                     (std::sin(2.0 * kPi * 50.0 * t + hum_phase) + std::sin(2.0 * kPi * 150.0 * t) / 3.0);
    }
    if (cell.faults.beats_uv <= 0.0) return;
    for (double beat = 0.3; beat < static_cast<double>(uv.size()) / cell.rate_hz;
         beat += (1.0 + source.between(-0.05, 0.05)) / 1.1)
        for (double t = beat - 0.06; t < beat + 0.06; t += 1.0 / cell.rate_hz) {
            const auto i = static_cast<std::size_t>(std::max(0.0, t * cell.rate_hz));
            if (i < uv.size()) uv[i] += cell.faults.beats_uv * beat_at(t - beat);
        }
}

Timeline make_timeline(const OnsetCell& cell, const TimeSpan& window, Source& source) {
    Timeline t{};
    t.onset = window.begin_s + source.between(cell.reaction_low_s, cell.reaction_high_s);
    t.rise_end = t.onset + cell.ramp_s * source.between(0.7, 1.3);
    t.fall_begin = std::max(t.rise_end + 0.05, window.end_s + source.between(0.1, 0.45));
    t.offset = t.fall_begin + cell.ramp_s * source.between(0.7, 1.3);
    return t;
}

// The share of a rise at which a fifth of its height is reached; every shape only grows.
double share_at_a_fifth(CellShape shape) {
    double low = 0.0, high = 1.0;
    for (int halving = 0; halving < 40; ++halving) {
        const double middle = 0.5 * (low + high);
        (cell_amplitude(shape, middle) < 0.2 ? low : high) = middle;
    }
    return high;
}

void mask(std::vector<float>& uv, double from_s, double length_s, double rate) {
    const SampleRange range = samples_in({from_s, from_s + length_s}, Hertz{rate}, uv.size());
    for (std::size_t i = range.begin; i < range.end; ++i) uv[i] = std::numeric_limits<float>::quiet_NaN();
}

}  // namespace

double cell_amplitude(CellShape shape, double u) {
    u = std::clamp(u, 0.0, 1.0);
    switch (shape) {
        case CellShape::linear: return u;
        case CellShape::cosine: return 0.5 - 0.5 * std::cos(kPi * u);
        case CellShape::exponential: return (1.0 - std::exp(-4.0 * u)) / (1.0 - std::exp(-4.0));
        case CellShape::quadratic: return u * u;
    }
    return u;
}

OnsetSession make_onset_session(const OnsetCell& cell, int contractions, std::uint64_t seed) {
    Source source{std::mt19937_64{seed}};
    OnsetSession out;
    std::vector<Timeline> times;
    const double rise_share = share_at_a_fifth(cell.shape), fall_share = share_at_a_fifth(cell.fall_shape.value_or(cell.shape));
    double at = 4.0;
    for (int k = 0; k < contractions; ++k, at += cell.work_s + cell.rest_s) {
        out.windows.push_back({at, at + cell.work_s});
        times.push_back(make_timeline(cell, out.windows.back(), source));
        const Timeline& t = times.back();
        out.onset_s.push_back(t.onset);
        out.offset_s.push_back(t.offset);
        out.rise_20_s.push_back(t.onset + rise_share * (t.rise_end - t.onset));
        out.fall_20_s.push_back(t.offset - fall_share * (t.offset - t.fall_begin));
        out.performed.push_back(!(cell.faults.missed && k % 4 == 2));
    }
    const auto samples = static_cast<std::size_t>(std::max(at, at - cell.rest_s + 4.0) * cell.rate_hz);
    std::size_t n = 1;
    while (n < samples) n <<= 1;
    const std::vector<Complex> noise = emg_pair(n, cell.rate_hz, source);
    const double activity_uv = kRest_uv * std::pow(10.0, cell.snr_db / 20.0);
    const double rest_uv = std::sqrt(kRest_uv * kRest_uv - kFloor_uv * kFloor_uv);
    std::vector<double> uv(samples);
    std::size_t k = 0;
    for (std::size_t i = 0; i < samples; ++i) {
        const double t = static_cast<double>(i) / cell.rate_hz;
        while (k + 1 < times.size() && t > 0.5 * (times[k].offset + times[k + 1].onset)) ++k;
        double a = out.performed[k] ? profile(cell, times[k], t) : 0.0;
        if (cell.from_rest) a = added_to_rest(cell, a);
        if (cell.faults.bursts && k % 3 == 0 && t > times[k].onset - 1.2 && t < times[k].onset - 1.05) a = 1.0;
        const double creep = cell.faults.creep > 0.0 ? creep_at(cell, times[k], t) : 1.0;
        uv[i] = activity_uv * a * noise[i].imag() + creep * rest_uv * noise[i].real() +
                kFloor_uv * source.normal_pair().real();
    }
    add_faults(uv, cell, source);
    band_pass(uv, cell.rate_hz, n);
    out.clean.rate = Hertz{cell.rate_hz};
    out.clean.low_hz = 20.0;
    out.clean.high_hz = std::min(450.0, 0.45 * cell.rate_hz);
    out.clean.uv.assign(uv.begin(), uv.end());
    for (std::size_t i = 0; cell.faults.masked && i < times.size(); i += 2) {
        mask(out.clean.uv, times[i].onset - 0.1 + source.between(-0.1, 0.3), 0.06, cell.rate_hz);
        mask(out.clean.uv, times[i].offset - 0.1 + source.between(-0.3, 0.1), 0.06, cell.rate_hz);
    }
    return out;
}

}  // namespace tracehold::testing
