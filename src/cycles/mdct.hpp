#pragma once
// The trace as energies over time and frequency: what the likelihoods of this room are made of.
#include <cstddef>
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// Blocks of 2 * hop samples, one every hop samples, seen through a sine window. Each row of a basis holds, for one
// sample of the block, the windowed cosines (or sines) of the bins [first_bin, first_bin + bins).
struct MdctBasis {
    std::size_t hop = 0;
    std::size_t first_bin = 0;
    std::size_t bins = 0;
    std::vector<double> cosine;  // [2 * hop][bins], orthonormal over all blocks and the bins 0..hop-1
    std::vector<double> sine;    // the same a quarter period on
};
MdctBasis make_mdct_basis(std::size_t hop, std::size_t first_bin, std::size_t bins);

// Always true: energy holds size() * bins values, zero where the block is not valid. Block b is centred at origin_s + b
// * hop_s.
struct BlockEnergies {
    double hop_s = 0.01;
    double origin_s = 0.0;
    std::size_t bins = 0;
    std::vector<float> energy;  // [block][bin], the mean of the squared cosine and sine coefficient
    std::vector<unsigned char> valid;

    std::size_t size() const { return valid.size(); }
    std::span<const float> at(std::size_t block) const { return {energy.data() + block * bins, bins}; }
};

// In: a band-passed trace, NaN = masked; the band low_hz..high_hz. Out: energies of the bins centred in the band, hop
// about 10 ms. Edges: a block that touches a masked sample or leaves the trace is not valid; no bin in the band gives
// bins = 0.
BlockEnergies block_energies(std::span<const float> uv, Hertz rate, double low_hz, double high_hz);

// The same blocks in opposite order, so that an end is looked for as a beginning.
BlockEnergies reversed(const BlockEnergies& blocks);

}  // namespace tracehold
