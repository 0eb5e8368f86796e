#pragma once
// The two levels between which a contraction rises and falls.
#include <string>

#include "tracehold/core/units.hpp"

namespace tracehold {

struct CleanRecording;
struct CycleView;

// Always true: reason is empty exactly if hold_uv > rest_uv by enough to time a crossing.
struct Levels {
    double rest_uv = 0.0;  // L0
    double hold_uv = 0.0;  // H
    std::string reason;
    double at(double share) const { return rest_uv + share * (hold_uv - rest_uv); }
};

// Refused where H - L0 is under three of its standard errors (our choice: such a difference comes by chance 1 time in
// 700), or not above 0 where no errors are known.
Levels levels_of(const CycleView& view);

// Whether the recording begins within this contraction: a cue in its first 0.1 s (our choice: a recorder's first rows), no onset,
// and the envelope is halfway up at its first valid sample. Its length and what is counted from its cue are then not known.
bool begun_before(const CycleView& view);

// Why no level of that span may be given: the recorder's limits cut off more than 2 % of it, so that it reads 2 % too low and more;
// empty where one may.
std::string why_cut_off(const CleanRecording& clean, TimeSpan span);

// Why no resting level may be given of this recording (its finding 'rest_unreadable'); empty where one may.
std::string why_no_rest(const CleanRecording& clean);

}  // namespace tracehold
