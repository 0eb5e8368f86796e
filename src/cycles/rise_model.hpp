#pragma once
// A rise of muscle activity, from nothing to the plateau, and how likely each rise makes the energies that were seen.
// Times are in hops of the blocks: block b covers (b - 1, b + 1), or what its view reaches. A fall is a rise in reversed blocks.
#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "cycles/mdct.hpp"

namespace tracehold {

// exponential: fast at first; growing: its mirror image, as of a fall that decays.
enum class RiseShape { linear, cosine, exponential, quadratic, growing };

inline constexpr std::array kRiseShapes{RiseShape::linear, RiseShape::cosine, RiseShape::exponential, RiseShape::quadratic,
                                        RiseShape::growing};

// What a rise does: its shape, and whether that shape is of the activity that is added to rest (powers add, as those of two
// muscles do), or of the amplitude that is seen (from rest to plateau: steeper at its beginning).
struct RiseKind {
    RiseShape shape = RiseShape::linear;
    bool from_rest = false;
};
inline constexpr std::array kRiseKinds{RiseKind{RiseShape::linear},       RiseKind{RiseShape::cosine},
                                       RiseKind{RiseShape::exponential},  RiseKind{RiseShape::quadratic},
                                       RiseKind{RiseShape::linear, true}, RiseKind{RiseShape::cosine, true},
                                       RiseKind{RiseShape::exponential, true}, RiseKind{RiseShape::growing, true}};
inline constexpr std::size_t kKinds = kRiseKinds.size();
inline constexpr std::size_t kLinear = 0;  // of kRiseKinds: the plain one, which every pass weighs
inline constexpr std::array<std::size_t, kKinds> kAllKinds = [] {
    std::array<std::size_t, kKinds> kinds{};
    for (std::size_t k = 0; k < kKinds; ++k) kinds[k] = k;
    return kinds;
}();

// Amplitude at a share u of the rise: 0 for u <= 0, 1 for u >= 1.
double rise_amplitude(RiseShape shape, double u);
// The share of the rise at which the amplitude passes a fifth of the plateau.
double share_at_a_fifth(RiseShape shape);

// The lengths of rise that are told apart, in seconds, the first 0 (abrupt), the others growing.
std::span<const double> rise_lengths_s();

inline constexpr int kLevels = 96;
// Share of the plateau's amplitude at a level, 0 .. kLevels - 1; finer where small.
double level_amplitude(int level);

// One length of rise as the levels of the blocks it touches: for an onset at b + ahead + i / phases, ahead as the view has
// it (0 for the sine window), the blocks b, b + 1, ... stand at levels[i]. All blocks before are at level 0, all after at kLevels - 1.
struct Ramp {
    double length = 0.0;  // hops
    std::vector<std::vector<unsigned char>> levels;
    int phases() const { return static_cast<int>(levels.size()); }
};
// The ramps of one shape as the blocks see them, before anything is known of rest: what every session shares.
struct SeenRamp {
    struct Block {
        double amplitude = 0.0, power = 0.0;  // means of the shape and of its square
    };
    double length = 0.0;                     // hops
    std::vector<std::vector<Block>> blocks;  // as Ramp::levels
};
std::vector<SeenRamp> see_ramps(RiseShape shape, double hop_s, BlockView view = {});
// rest_share: amplitude of rest over that of the plateau where the shape goes from rest to plateau; 0 where it is of the
// activity alone.
std::vector<Ramp> make_ramps(std::span<const SeenRamp> seen, double rest_share = 0.0);

// Rest and activity of one side of one contraction.
struct SideLevels {
    std::vector<double> rest;      // per bin
    std::vector<double> activity;  // plateau less rest, per bin
    std::vector<double> creep;     // a unit of creep, per bin
    std::vector<double> weight;    // what a bin counts for, 0..1
    double anchor = 0.0;  // hops; creep at a block is creep_level + creep_slope * min(block - anchor, creep_until)
    double creep_level = 0.0;
    double creep_slope = 0.0;  // per hop
    double creep_until = 0.0;  // hops
};

// Log likelihood of each block at each level, less that at level 0.
struct LevelTable {
    std::size_t first = 0;   // block of column 0
    std::size_t blocks = 0;  // columns; behind them zeros up to stride
    std::size_t stride = 0;
    std::vector<float> gain;          // [level][stride]
    std::vector<float> plateau_from;  // sum of the highest level over the columns from here on
    std::vector<float> best_before;   // [band of levels][stride + 1]: of the largest gain in the band, the sum over the columns before
};
// In: blocks [first, end). padding: columns of zeros behind, at least the longest ramp; kStartsAtOnce more are added. old: a table
// that is done with, whose memory is taken over.
LevelTable make_level_table(const OrderedBlocks& energies, const SideLevels& levels, std::size_t first, std::size_t end,
                            std::size_t padding, LevelTable old = {});

// Log likelihood of an onset at table.first + ahead + i + phase / phases, for i = begin .. begin + out.size() - 1, against
// rest throughout; gives back the largest.
float onset_log_likelihood(const LevelTable& table, const Ramp& ramp, int phase, std::span<float> out, std::size_t begin = 0);

// What none of the starts exceeds, whatever its phase, but for a rounding below 0.1: bounds[c] is for the kStartsAtOnce from
// i = c * kStartsAtOnce on.
inline constexpr std::size_t kStartsAtOnce = 32;
void bound_log_likelihood(const LevelTable& table, const Ramp& ramp, std::span<float> bounds);

}  // namespace tracehold
