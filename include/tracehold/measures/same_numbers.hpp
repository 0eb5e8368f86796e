#pragma once
#include <cstdint>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// Equal for two sessions whose every measure of every contraction is the same to the last digit, as only the same samples
// give, whatever the recordings are called and dated; else different but for one chance in 10^19. 0: fewer than 8 numbers were
// measured, which nothing can be said of. Results of one recording by other settings differ.
std::uint64_t mark_of_numbers(const SessionScore& score);

}  // namespace tracehold
