#pragma once
// The trace as energies over time and frequency: what the likelihoods of this room are made of.
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// What a block sees of the activity around its centre, in hops: the squared sine window over (-1, 1), or, where slope is
// above 0, an exported amplitude's window of `box`, blurred by `slope` to each side.
struct BlockView {
    double box = 0.0;
    double slope = 0.0;
    double reach() const { return slope > 0.0 ? 0.5 * box + slope : 1.0; }
    // Blocks before the one of an onset that see it already.
    double ahead() const { return std::ceil(reach()) - 1.0; }
    bool operator==(const BlockView&) const = default;
};

// Always true: energy holds size() * bins values, zero where the block is not valid. Block b is centred at origin_s + b
// * hop_s.
struct BlockEnergies {
    double hop_s = 0.01;
    double origin_s = 0.0;
    std::size_t bins = 0;
    std::vector<float> energy;  // [block][bin], the mean of the squared cosine and sine coefficient
    std::vector<unsigned char> valid;
    BlockView view = {};
    double degrees = 1.0;  // of freedom: what the energy of one bin of one block counts for in a likelihood

    std::size_t size() const { return valid.size(); }
    std::span<const float> at(std::size_t block) const { return {energy.data() + block * bins, bins}; }
};

// In: a band-passed trace, NaN = masked; the band low_hz..high_hz. Out: energies of the bins centred in the band, hop
// about 10 ms. Edges: a block that touches a masked sample or leaves the trace is not valid; no bin in the band gives
// bins = 0.
BlockEnergies block_energies(std::span<const float> uv, Hertz rate, double low_hz, double high_hz);

enum class Order { forward, backward };

// Such blocks, which it refers to, in their order or in the opposite one, so that an end is looked for as a beginning.
class OrderedBlocks {
public:
    OrderedBlocks(const BlockEnergies& blocks, Order order = Order::forward)
        : hop_s(blocks.hop_s), bins(blocks.bins), degrees(blocks.degrees), blocks_(blocks), order_(order) {}

    bool is_valid(std::size_t block) const { return blocks_.valid[place(block)] != 0; }
    std::span<const float> at(std::size_t block) const { return blocks_.at(place(block)); }

    const double hop_s;
    const std::size_t bins;
    const double degrees;

private:
    std::size_t place(std::size_t block) const { return order_ == Order::forward ? block : blocks_.size() - 1 - block; }

    const BlockEnergies& blocks_;
    Order order_;
};

}  // namespace tracehold
