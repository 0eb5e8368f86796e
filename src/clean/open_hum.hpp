#pragma once
#include <span>
#include <vector>

#include "clean/line_blocks.hpp"
#include "clean/ranges.hpp"

namespace tracehold {

// Stretches in which an electrode or the reference is off: mains fills the trace and stands far above the rest of the
// recording. In: band-passed trace before removal of mains, NaN where masked. A hum that is everywhere alike is not
// found here.
// at_50_and_60: line_blocks of uv for kMains_hz. rest_uv: its resting level.
Ranges find_open_hum(std::span<const float> uv, Hertz rate, std::span<const LineBlocks> at_50_and_60, double rest_uv);
Ranges find_open_hum(std::span<const float> uv, Hertz rate, Hertz highest);

// Mean square of the trace in each block, whatever makes it.
std::vector<double> block_powers(std::span<const float> uv, const LineBlocks& blocks);

// Mean square of the hum in each block.
std::vector<double> hum_powers(const LineBlocks& blocks);

// Of each block: power of the trace with mains in it, of mains, and of the trace without it.
struct HumPowers {
    std::vector<double> before, hum, left;
};

// Does mains come and go, and nothing else? rest_uv: resting level without mains. Then what stands out from rest is mains
// alone, with nothing beneath it.
bool hum_stands_alone(const HumPowers& powers, double rest_uv);

// Stretches in which mains, at whatever height, stands over less than the muscle's rest: an electrode that is off there.
// Hum that a muscle at rest or at work is seen beneath, or that is everywhere alike, is not found. The resting level is that
// of the stretches without such hum, at least a tenth of the recording. In: blocks and size of that trace. Out: its samples.
Ranges find_silent_hum(const HumPowers& powers, const LineBlocks& blocks, std::size_t size);

}  // namespace tracehold
