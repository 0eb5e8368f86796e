#pragma once
// The verb of this room: from a scored session to a Report.
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// For the clinician, in the order of her questions: did it happen, can it be trusted, what did the muscle do; then
// contraction by contraction, the signal, corrections, definitions of what was shown, settings, limits and cautions.
// envelope may be null (a score read back from a file): then there is no figure.
// Edges: a measure that is null is shown as a dash with its reason under the table; no cycles give no tables.
// spectrum: as spectrum_figure made it while the trace was at hand; may be null.
Report compose_session_report(const SessionScore& score, const Envelope* envelope, const Figure* spectrum = nullptr);

}  // namespace tracehold
