#pragma once
// Can work be told from rest in this session at all?
#include <cmath>
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// 'low_contrast' (caution) where the hold levels of the done and missed cycles are under 1.5 times their rest levels, medians;
// and where some are called missed while those found are under 2 times theirs.
// 'no_usable_cycle' (reject) where there are cycles and each has too little valid signal.
// Empty where neither holds, and where there are no cycles. let_go_late: there is a finding 'late_release', which says as well
// as the electrode could why work does not stand out.
std::optional<Finding> contrast_finding(std::span<const CycleView> views, bool let_go_late = false);

// 'muscle_not_seen' (caution) where no contraction was found at all, or work reads under 1.1 times rest, so that what was
// found may be chance: there may have been none, or none could be seen. 'muscle_seen_in_part' (caution) where work reads under
// 1.1 times rest and yet a contraction or more stand out clearly. Where hum is nine tenths of the power besides
// (hum_share, 0..1), an electrode that is off is as likely: then 'reference_off' (reject). Empty where the electrode saw the
// muscle: let_go_late, and work reads several times the quietest level of the recording. 'too_short' (reject) where nothing was
// found in less than 5 s.
struct WhatElse {
    double hum_share = 0.0;
    bool let_go_late = false;
    double quietest_uv = 0.0;
    double recorded_s = INFINITY;
};
std::optional<Finding> unseen_finding(std::span<const CycleView> views, const WhatElse& what);

}  // namespace tracehold
