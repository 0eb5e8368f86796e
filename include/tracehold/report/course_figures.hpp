#pragma once
// What a page draws of a course, as data. Empty where there is nothing to draw.
#include <optional>

#include "tracehold/course/course.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

// A chart for each primary measure over real dates: every session, the mean of the first and of the last days, and
// around the first the band that a change has to leave. A trend is drawn only where the statement is more or less.
std::optional<Figure> phase_figure(const Phase& phase);

// The sessions of each day, week by week, with what was planned. Days before the first session and after the last one
// are empty.
Calendar calendar_of(const Course& course);

// One session as it is laid over another. References must outlive the call only.
struct SessionTrace {
    const SessionScore& score;
    const Envelope& envelope;
};

// The contractions of the earlier session's main kind, before and after: the median of each with the middle half of its
// contractions. Empty where either has fewer than three of that kind.
std::optional<Figure> before_after_figure(const SessionTrace& before, const SessionTrace& after);

}  // namespace tracehold
