#pragma once
#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/language.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// For the one who referred, half a page: what was recorded, was it done, what changed beyond measurement error, what is
// asked, limits. A single session never shows a change; its means stand there to be compared with later ones.
Report compose_referrer_report(const SessionScore& score, Language language = Language::en);

// At most three questions of the course. Those of the built-in table are in the language of the page; those of a
// service's own table stay in their words, which the page says.
Report compose_referrer_report(const Course& course, Language language = Language::en);

}  // namespace tracehold
