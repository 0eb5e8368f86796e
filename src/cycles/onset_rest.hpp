#pragma once
// What rest looks like in a session, block by block.
#include <cstddef>
#include <span>
#include <vector>

#include "cycles/mdct.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// Blocks [begin, end).
struct BlockRange {
    std::size_t begin = 0;
    std::size_t end = 0;
    std::size_t size() const { return end > begin ? end - begin : 0; }
    bool operator==(const BlockRange&) const = default;
};
BlockRange mirrored(BlockRange range, std::size_t blocks);

// Energies of rest as the whole session shows them.
struct SessionRest {
    std::vector<double> level;           // mean energy per bin, bursts left out, above zero
    std::vector<double> weight;          // a block's degrees of freedom, less for bins whose rest has heavy tails (heart beats)
    std::vector<unsigned char> is_rest;  // blocks well away from all cue windows
};

// In: all energies and the cue windows in order. Edges: without a single valid block the level is empty.
SessionRest session_rest(const BlockEnergies& energies, std::span<const TimeSpan> windows);

// Energies of blocks in units of rest.
class RelativeEnergy {
public:
    RelativeEnergy(std::span<const double> level, std::span<const double> weight);
    explicit RelativeEnergy(const SessionRest& rest) : RelativeEnergy(rest.level, rest.weight) {}

    // The weighted mean of a block's bins: 1 on average at rest.
    double of(std::span<const float> energy) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < energy.size(); ++k) sum += share_[k] * static_cast<double>(energy[k]);
        return sum;
    }
    // True for a block whose energy is far above rest in a way that chance does not do: a burst or a beat.
    bool stands_out(std::span<const float> energy) const { return of(energy) > limit_; }

private:
    std::vector<double> share_;  // of each bin, over its level
    double limit_;
};

// Mean energy per bin over the valid blocks of a range; zero where there is none.
std::vector<double> mean_energy(const BlockEnergies& energies, BlockRange range);

// Rest near a cue in units of the session's, 0.2 to 5: bursts left out, so an early onset does little. 1 where there is
// too little.
double local_rest(const BlockEnergies& energies, const SessionRest& rest, BlockRange range);

}  // namespace tracehold
