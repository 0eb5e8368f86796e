#pragma once
// Contractions laid over each other.
#include <optional>
#include <vector>

#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

// times: from the cue, rising, one distance apart; lines[i][k]: the highest value of contraction i between times[k] and
// the next, NaN where masked, outside the recording or in the next work window. work_s: median length of the work
// windows.
struct Overlay {
    std::vector<float> times;
    std::vector<std::vector<float>> lines;
    double work_s = 0.0;
};

// Of the done contractions of one kind. Edges: none gives no lines.
Overlay lay_over(const SessionScore& score, const Envelope& envelope, StepKind kind);

// At each time the value that a share of the contractions does not exceed; NaN where fewer than half are known.
std::vector<float> share_line(const Overlay& overlay, double share);

}  // namespace tracehold
