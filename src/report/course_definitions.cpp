#include "report/course_definitions.hpp"

#include <algorithm>

#include "tracehold/course/course_measures.hpp"

namespace tracehold {
namespace {

constexpr const char* kOurChoice = "our choice";

std::vector<Definition> columns() {
    return {
        {kFirstDays, "First", "",
         "Mean over the first days of the phase: those within 14 days of its start, at least 3 and at most half of "
         "all. Every day weighs the same. Amplitudes are compared as logarithms, so that theirs is the geometric mean.",
         "", kOurChoice},
        {kNowDays, "Now", "", "The same over the last days.", "", kOurChoice},
        {kChange, "Change", "", "Now against first: percent for amplitudes, else in the unit of the measure.", "",
         "definition"},
        {kNeeded, "Needed", "",
         "What a change has to exceed: the 95 % half-width of the difference of the two blocks, from how this "
         "person's days differ within them.",
         "Never less than 21 % of an amplitude or 0.1 s. With fewer than 3 days in a block, 44 % of an amplitude, and "
         "nothing is said of other measures.",
         "published within-session figures for pelvic-floor surface EMG; Kowalski et al. 2021 for times"},
        {kStatement, "Statement", "",
         "More or less: the change is beyond what is needed, the days follow its direction by the test of Mann and "
         "Kendall, allowing for neighbouring days that resemble each other, and p is at most 0.05 after the account "
         "for all tested measures. Whether more is wanted is the clinician's to say.",
         "Not enough: fewer than 6 days with a value, or no measurement error is known.",
         "Mann 1945, Kendall 1975; Hamed & Rao 1998; Holm 1979"},
    };
}

bool is_shown(const Course& course, std::string_view key) {
    return std::any_of(course.phases.begin(), course.phases.end(), [&](const Phase& phase) {
        return std::any_of(phase.measures.begin(), phase.measures.end(), [&](const MeasureChange& change) {
            return change.key == key && (change.primary || change.change);
        });
    });
}

}  // namespace

Section course_definitions(const Course& course) {
    if (course.phases.empty()) return {};
    Definitions definitions{columns()};
    for (const CourseMeasure& measure : course_measures()) {
        if (!is_shown(course, measure.key)) continue;
        definitions.items.push_back({std::string(measure.key), std::string(measure.title), std::string(measure.unit),
                                     std::string(measure.definition), "", std::string(measure.source)});
    }
    return {"How the numbers are defined", {std::move(definitions)}};
}

}  // namespace tracehold
