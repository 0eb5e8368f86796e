#include "tracehold/measures/absent_contractions.hpp"

#include <algorithm>

namespace tracehold {
namespace {

template <typename Counts>
std::size_t lacking(const Counts& counts) {
    const std::size_t counted = counts.done + counts.missed + counts.unusable;
    return counts.planned > counted ? counts.planned - counted : 0;
}

}  // namespace

std::size_t not_counted(const SessionScore& score) { return lacking(score); }
std::size_t not_counted(const StepScore& step) { return lacking(step); }

std::size_t dropped_by_hand(const SessionScore& score) {
    return static_cast<std::size_t>(std::count_if(score.corrections.begin(), score.corrections.end(), [](const Correction& correction) {
        return correction.action == CorrectionAction::drop_cycle;
    }));
}

std::size_t left_out_by_hand(const SessionScore& score) { return std::min(lacking(score), dropped_by_hand(score)); }

std::size_t unrecorded(const SessionScore& score) { return lacking(score) - left_out_by_hand(score); }

}  // namespace tracehold
