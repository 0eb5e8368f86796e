#pragma once
#include <span>

#include "clean/line_blocks.hpp"
#include "clean/ranges.hpp"

namespace tracehold {

// Where mains hum is still a fifth of the power and more: it came so briefly, or under muscle so loud, that its course could
// not be followed. In: uv after removal, NaN where masked, and its line_blocks for kMains_hz; open_hum: where more of it is masked
// already, which hum at its ends and less than a second of anything in between belong to. Out: the looks that show it, with half a look on
// either side, which may hold where it begins or ends.
Ranges find_left_hum(std::span<const float> uv, std::span<const LineBlocks> at_50_and_60, const Ranges& open_hum);

}  // namespace tracehold
