#include "clean/line_blocks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>


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

// One harmonic of the blocks that were taken. Scaled up for samples that are missing; nothing where too many are.
void add_line(const BlockSpectra& spectra, std::span<const double> squares, std::size_t blocks, std::size_t bin, std::vector<LineBin>& lines) {
    std::array<double, BlockSpectra::kMost> noise{};
    int count = 0;
    for (int away = kNearest; away <= kFarthest; ++away) {
        for (const std::ptrdiff_t near :
             {static_cast<std::ptrdiff_t>(bin) - away, static_cast<std::ptrdiff_t>(bin) + away}) {
            if (near < 1 || near >= static_cast<std::ptrdiff_t>(spectra.bins())) continue;
            const double* of_blocks = &squares[static_cast<std::size_t>(near) * noise.size()];
            for (std::size_t b = 0; b < noise.size(); ++b) noise[b] += of_blocks[b];
            ++count;
        }
    }
    for (std::size_t b = 0; b < blocks; ++b) {
        const double seen = spectra.seen(b), scale = seen < kValidShare ? 0.0 : 1.0 / seen;
        const double variance = count == 0 ? 0.0 : scale * scale * noise[b] / count;
        lines.push_back({std::complex<float>(scale * spectra.bin(b, bin)), static_cast<float>(variance)});
    }
}

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

std::vector<LineBlocks> empty_line_blocks(std::size_t size, Hertz rate, std::span<const double> bases_hz, Hertz highest) {
    std::vector<LineBlocks> out;
    for (const double base_hz : bases_hz) out.push_back(empty_blocks(rate, base_hz, highest, size));
    return out;
}

void add_blocks(const BlockSpectra& spectra, std::span<const double> squares, std::size_t blocks, std::vector<LineBlocks>& out) {
    for (LineBlocks& lines : out) {
        for (std::size_t h = 0; h < lines.bins.size() && lines.blocks > 0; ++h)
            add_line(spectra, squares, blocks, bin_of(lines.nominal_hz[h], lines.length, lines.rate), lines.bins[h]);
    }
}

std::vector<LineBlocks> line_blocks(std::span<const float> uv, Hertz rate, std::span<const double> bases_hz, Hertz highest) {
    std::vector<LineBlocks> out = empty_line_blocks(uv.size(), rate, bases_hz, highest);
    const auto begins = begins_of_blocks(uv.size(), out.front().length, out.front().hop);
    BlockSpectra& spectra = block_spectra(out.front().length);
    take_all(spectra, uv, begins, [&](auto& some) { add_blocks(spectra, spectra.squares(), some.size(), out); });
    return out;
}

}  // namespace tracehold
