#pragma once
// What a trace holds at each mains frequency and its multiples, block by block.
#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "clean/block_spectra.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// One harmonic in one block. noise: variance that everything else in the trace gives the bin, from the bins around it;
// 0 = block not usable.
struct LineBin {
    std::complex<float> bin;
    float noise = 0.0F;
};

// Blocks of about half a second under a Hann window, half overlapping; block b starts at sample b * hop.
struct LineBlocks {
    Hertz rate{1.0};
    std::size_t length = 0;
    std::size_t hop = 0;
    std::size_t blocks = 0;
    std::vector<double> nominal_hz;          // of each harmonic
    std::vector<std::vector<LineBin>> bins;  // [harmonic][block]

    double hop_s() const { return static_cast<double>(hop) / rate.value; }
    double centre_s(std::size_t block) const {
        return (static_cast<double>(block * hop) + static_cast<double>(length) / 2) / rate.value;
    }

    // What the window makes of exp(2 pi i frequency t) in the bin of a harmonic.
    std::complex<double> window_gain(std::size_t harmonic, double frequency_hz) const;

    // The amplitude A of Re(A exp(2 pi i frequency t)), t = seconds from the start, that explains the bin.
    // gain: window_gain of the harmonic at that frequency.
    std::complex<double> amplitude(std::size_t harmonic, std::size_t block, double frequency_hz,
                                   std::complex<double> gain) const;
    // |A|^2, which no frequency but that of the gain matters for.
    double power(std::size_t harmonic, std::size_t block, std::complex<double> gain) const {
        return 4.0 * std::norm(std::complex<double>(bins[harmonic][block].bin)) / std::norm(gain);
    }
    // Variance of that amplitude by all that is not the line.
    double variance(std::size_t harmonic, std::size_t block, std::complex<double> gain) const {
        return 4.0 * bins[harmonic][block].noise / std::norm(gain);
    }
};

// For each base its harmonics 1, 2, ... up to `highest`, all from one spectrum a block. In: band-passed trace, NaN where
// masked; a block with less than three quarters valid is not usable, in others masked samples count as 0. Empty (blocks
// = 0) where the trace is shorter than a block.
std::vector<LineBlocks> line_blocks(std::span<const float> uv, Hertz rate, std::span<const double> bases_hz, Hertz highest);

// The same in two steps, for whoever takes more from those spectra than lines: begins_of_blocks(size, length, hop) are added in
// their order. squares: of the spectra; blocks: how many they are of.
std::vector<LineBlocks> empty_line_blocks(std::size_t size, Hertz rate, std::span<const double> bases_hz, Hertz highest);
void add_blocks(const BlockSpectra& spectra, std::span<const double> squares, std::size_t blocks, std::vector<LineBlocks>& out);

inline constexpr std::array kMains_hz{50.0, 60.0};

}  // namespace tracehold
