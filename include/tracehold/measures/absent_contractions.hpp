#pragma once
#include <cstddef>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// Of the planned contractions, those that are neither done, missed nor unusable: they have no place in the recording, or were left
// out by hand. planned = done + missed + unusable + not_counted, and not_counted = unrecorded + left_out_by_hand.
std::size_t not_counted(const SessionScore& score);
std::size_t not_counted(const StepScore& step);

// Contractions that corrections left out, planned or extra.
std::size_t dropped_by_hand(const SessionScore& score);

// A contraction that was left out is gone from the score: that an extra one was is told only where nothing planned is lacking.
std::size_t left_out_by_hand(const SessionScore& score);
std::size_t unrecorded(const SessionScore& score);

}  // namespace tracehold
