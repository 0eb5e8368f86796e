#pragma once
#include "tracehold/plan/plan.hpp"
#include "tracehold/report/language.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// The sheet a person takes home: the plan in plain words, how a session goes, when to stop and call, and a diary to
// fill in. In: a plan; its threshold is shown in µV only where it is one number. Out: fixed sentences plus the plan's
// figures.
Report compose_home_sheet(const Plan& plan, Language language = Language::en);

}  // namespace tracehold
