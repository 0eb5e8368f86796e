#include "clean/line_blocks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <unsupported/Eigen/FFT>

namespace tracehold {
namespace {

using Complex = std::complex<double>;
constexpr double kBlock_s =
    0.5;  // bins of 2 Hz: long enough to part a line from muscle, short enough to follow its wobble; our choice
constexpr double kValidShare = 0.75;
constexpr int kNearest = 3,
              kFarthest =
                  7;  // bins on either side that tell the noise: beyond the window's main lobe, before the next line

bool only_small_factors(std::size_t n) {
    for (const std::size_t factor : {2, 3, 5}) {
        while (n % factor == 0) n /= factor;
    }
    return n == 1;
}

std::size_t block_length(Hertz rate) {
    auto length = static_cast<std::size_t>(std::max(16.0, kBlock_s * rate.value));
    while (length % 2 != 0 || !only_small_factors(length)) --length;
    return length;
}

// Periodic Hann.
double hann(std::size_t i, std::size_t size) {
    return 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(size));
}

// sum exp(i angle n), n = 0 .. size-1
Complex geometric(double angle, std::size_t size) {
    const auto n = static_cast<double>(size);
    const double half = std::sin(angle / 2);
    if (std::abs(half) < 1e-12) return n;
    return std::sin(n * angle / 2) / half * std::polar(1.0, (n - 1) * angle / 2);
}

std::size_t bin_of(double frequency_hz, std::size_t length, Hertz rate) {
    return static_cast<std::size_t>(std::lround(frequency_hz * static_cast<double>(length) / rate.value));
}

class BlockSpectrum {
public:
    explicit BlockSpectrum(std::size_t length) : window_(length), samples_(length) {
        for (std::size_t i = 0; i < length; ++i) window_[i] = hann(i, length);
        fft_.SetFlag(Eigen::FFT<double>::HalfSpectrum);
    }

    // False where too little is valid. Scaled up for what is missing.
    bool take(std::span<const float> block) {
        double seen = 0.0;
        for (std::size_t i = 0; i < block.size(); ++i) {
            const bool valid = !std::isnan(block[i]);
            samples_[i] = valid ? block[i] * window_[i] : 0.0;
            if (valid) seen += window_[i];
        }
        const double all = static_cast<double>(block.size()) / 2;
        if (seen < kValidShare * all) return false;
        scale_ = all / seen;
        fft_.fwd(bins_, samples_);
        return true;
    }

    LineBin line(std::size_t bin) const {
        double noise = 0.0;
        int count = 0;
        for (int away = kNearest; away <= kFarthest; ++away) {
            for (const std::ptrdiff_t near :
                 {static_cast<std::ptrdiff_t>(bin) - away, static_cast<std::ptrdiff_t>(bin) + away}) {
                if (near < 1 || near >= static_cast<std::ptrdiff_t>(bins_.size())) continue;
                noise += std::norm(bins_[static_cast<std::size_t>(near)]);
                ++count;
            }
        }
        const Complex value = scale_ * bins_[bin];
        const double variance = count == 0 ? 0.0 : scale_ * scale_ * noise / count;
        return {std::complex<float>(value), static_cast<float>(variance)};
    }

private:
    std::vector<double> window_, samples_;
    std::vector<Complex> bins_;
    Eigen::FFT<double> fft_;
    double scale_ = 1.0;
};

}  // namespace

// sum over the window of exp(2 pi i (f / fs - k / L) n): three geometric sums, for the Hann window is three
// exponentials.
Complex LineBlocks::window_gain(std::size_t harmonic, double frequency_hz) const {
    const double per_bin = 2.0 * std::numbers::pi / static_cast<double>(length);
    const double angle = 2.0 * std::numbers::pi * frequency_hz / rate.value -
                         per_bin * static_cast<double>(bin_of(nominal_hz[harmonic], length, rate));
    return 0.5 * geometric(angle, length) -
           0.25 * (geometric(angle + per_bin, length) + geometric(angle - per_bin, length));
}

Complex LineBlocks::amplitude(std::size_t harmonic, std::size_t block, double frequency_hz) const {
    const double turns = frequency_hz * static_cast<double>(block * hop) / rate.value;
    const double phase = 2.0 * std::numbers::pi * (turns - std::floor(turns));
    return 2.0 * Complex(bins[harmonic][block].bin) * std::polar(1.0, -phase) / window_gain(harmonic, frequency_hz);
}

double LineBlocks::variance(std::size_t harmonic, std::size_t block, double frequency_hz) const {
    return 4.0 * bins[harmonic][block].noise / std::norm(window_gain(harmonic, frequency_hz));
}

LineBlocks line_blocks(std::span<const float> uv, Hertz rate, Hertz base, Hertz highest) {
    LineBlocks out;
    out.rate = rate;
    out.length = block_length(rate);
    out.hop = out.length / 2;
    for (double hz = base.value; hz <= highest.value; hz += base.value) out.nominal_hz.push_back(hz);
    out.bins.resize(out.nominal_hz.size());
    if (uv.size() < out.length || out.nominal_hz.empty()) return out;
    out.blocks = (uv.size() - out.length) / out.hop + 1;
    BlockSpectrum spectrum(out.length);
    for (std::size_t b = 0; b < out.blocks; ++b) {
        const bool usable = spectrum.take(uv.subspan(b * out.hop, out.length));
        for (std::size_t h = 0; h < out.bins.size(); ++h) {
            out.bins[h].push_back(usable ? spectrum.line(bin_of(out.nominal_hz[h], out.length, rate)) : LineBin{});
        }
    }
    return out;
}

}  // namespace tracehold
