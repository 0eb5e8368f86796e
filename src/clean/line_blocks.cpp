#include "clean/line_blocks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "clean/block_transform.hpp"
#include "tracehold/core/many_values.hpp"

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

// The spectra of neighbouring blocks, as many at once as the transform takes.
class BlockSpectra {
public:
    explicit BlockSpectra(std::size_t length) : window_(length), transform_(length) {
        for (std::size_t i = 0; i < length; ++i) whole_ += window_[i] = hann(i, length);
    }

    // Blocks of uv that start `hop` apart.
    void take(std::span<const float> uv, std::size_t hop, std::size_t blocks) {
        std::array<const float*, BlockTransform::kMostBlocks> starts;
        for (std::size_t b = 0; b < blocks; ++b) starts[b] = uv.data() + b * hop;
        transform_.put_windowed(std::span(starts).first(blocks), {}, window_);
        for (std::size_t b = 0; b < blocks; ++b) {
            const auto block = uv.subspan(b * hop, window_.size());
            const double seen = any_missing(block) ? put_valid(block, b) : whole_;
            scale_[b] = seen < kValidShare * whole_ ? 0.0 : whole_ / seen;
        }
        transform_.run();
    }

    // Of the blocks that were taken. Scaled up for samples that are missing; nothing where too many are.
    void add_lines(std::size_t bin, std::size_t blocks, std::vector<LineBin>& lines) const {
        std::array<double, BlockTransform::kMostBlocks> noise{};
        int count = 0;
        for (int away = kNearest; away <= kFarthest; ++away) {
            for (const std::ptrdiff_t near :
                 {static_cast<std::ptrdiff_t>(bin) - away, static_cast<std::ptrdiff_t>(bin) + away}) {
                if (near < 1 || near > static_cast<std::ptrdiff_t>(window_.size() / 2)) continue;
                const auto squares = transform_.squares(static_cast<std::size_t>(near));
                for (std::size_t b = 0; b < noise.size(); ++b) noise[b] += squares[b];
                ++count;
            }
        }
        for (std::size_t b = 0; b < blocks; ++b) {
            const double scale = scale_[b], variance = count == 0 ? 0.0 : scale * scale * noise[b] / count;
            lines.push_back({std::complex<float>(scale * transform_.bin(b, bin)), static_cast<float>(variance)});
        }
    }

private:
    // Out: how much of the window was seen.
    double put_valid(std::span<const float> block, std::size_t b) {
        double* place = transform_.first(b);
        double seen = 0.0;
        for (std::size_t i = 0; i < block.size(); ++i, place += transform_.stride()) {
            const bool valid = !std::isnan(block[i]);
            *place = valid ? block[i] * window_[i] : 0.0;
            seen += valid ? window_[i] : 0.0;
        }
        return seen;
    }

    std::vector<double> window_;
    double whole_ = 0.0;  // sum of the window
    BlockTransform transform_;
    std::array<double, BlockTransform::kMostBlocks> scale_{};
};

LineBlocks empty_blocks(Hertz rate, double base_hz, Hertz highest, std::size_t size) {
    LineBlocks out;
    out.rate = rate;
    out.length = block_length(rate);
    out.hop = out.length / 2;
    for (double hz = base_hz; hz <= highest.value; hz += base_hz) out.nominal_hz.push_back(hz);
    out.bins.resize(out.nominal_hz.size());
    if (size >= out.length && !out.nominal_hz.empty()) out.blocks = (size - out.length) / out.hop + 1;
    return out;
}

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

Complex LineBlocks::amplitude(std::size_t harmonic, std::size_t block, double frequency_hz, Complex gain) const {
    const double turns = frequency_hz * static_cast<double>(block * hop) / rate.value;
    const double phase = 2.0 * std::numbers::pi * (turns - std::floor(turns));
    return 2.0 * Complex(bins[harmonic][block].bin) * std::polar(1.0, -phase) / gain;
}

std::vector<LineBlocks> line_blocks(std::span<const float> uv, Hertz rate, std::span<const double> bases_hz, Hertz highest) {
    std::vector<LineBlocks> out;
    std::size_t blocks = 0;
    for (const double base_hz : bases_hz) {
        out.push_back(empty_blocks(rate, base_hz, highest, uv.size()));
        blocks = std::max(blocks, out.back().blocks);
    }
    BlockSpectra spectra(block_length(rate));
    for (std::size_t first = 0; first < blocks; first += BlockTransform::kMostBlocks) {
        const std::size_t count = std::min(BlockTransform::kMostBlocks, blocks - first), hop = out.front().hop;
        spectra.take(uv.subspan(first * hop), hop, count);
        for (LineBlocks& lines : out) {
            for (std::size_t h = 0; h < lines.bins.size() && lines.blocks > 0; ++h) {
                const std::size_t bin = bin_of(lines.nominal_hz[h], lines.length, rate);
                spectra.add_lines(bin, count, lines.bins[h]);
            }
        }
    }
    return out;
}

}  // namespace tracehold
