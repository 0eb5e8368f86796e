#pragma once
// What the installed program proves of itself: published and closed-form values, and recordings whose truth is known.
#include <vector>

#include "tracehold/exchange/write_validation.hpp"

namespace tracehold {

// Statistics and filters against literature and closed forms. No files, no clock.
std::vector<SelfCheck> published_checks();

// Simulated recordings, written as EDF+ or CSV in memory, read back and scored by the whole line.
std::vector<SelfCheck> recording_checks();

}  // namespace tracehold
