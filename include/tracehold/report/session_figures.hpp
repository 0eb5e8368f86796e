#pragma once
// What a page draws of a session beside its envelope, as data. Empty where there is nothing to draw.
#include <optional>

#include "tracehold/clean/clean.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

// All done contractions laid over each other from their cue on, a chart for each kind, with their median where there
// are three or more. Where no cue is known they are laid together at their start. In: the envelope of that score.
std::optional<Figure> overlay_figure(const SessionScore& score, const Envelope& envelope);

// A small chart for each measure of the table of contractions: its values in order with their 95 % intervals (1.96
// standard errors), targets, and a mark where there is none. Zero is always on the vertical axis, for all are amounts.
std::optional<Figure> measures_figure(const SessionScore& score);

// The spectrum of the cleaned trace while working and while resting, with the lines where mains hum would stand and
// what was found there. Empty for envelopes and where neither work nor rest holds half a second of valid signal.
std::optional<Figure> spectrum_figure(const SessionScore& score, const CleanRecording& clean);

}  // namespace tracehold
