#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/measures/possible_range.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/report/compose_home_sheet.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

void refuse_assessment(const Plan& plan) {
    if (purpose_of(plan) != PlanPurpose::assessment) return;
    throw Error(ErrorKind::wrong_use, plan.source, "/purpose", "a home sheet is of a training plan: saw an assessment, which is done at a visit",
                "name the plan that the person trains by at home");
}

// Doubts about the plan are the clinician's: they go to standard error and not on the sheet that a person takes home. A
// line that nobody reaches is no doubt: the person would try for it every day.
void doubt(const Plan& plan) {
    for (const Note& note : check_plan(plan)) {
        if (note.code == "threshold_above_reference") {
            throw Error(ErrorKind::bad_setting, plan.source, note.place, note.text, "'tracehold plan threshold' sets one from a reference recording");
        }
        say_note(plan.source, note);
    }
}

}  // namespace

ExitStatus plan_sheet_command(const Options& options) {
    const Plan plan = read_plan_file(options.inputs.at(0));
    refuse_assessment(plan);
    require_possible_targets(plan);
    doubt(plan);
    const Report sheet = compose_home_sheet(plan, options.language);
    switch (options.formats[0]) {
        case Format::md: write_output(options.out, render_markdown(sheet)); break;
        case Format::html: write_output(options.out, render_html(sheet, {.paper = options.paper, .large_type = true})); break;
        default: write_output(options.out, render_text(sheet));
    }
    return ExitStatus::done;
}

}  // namespace tracehold
