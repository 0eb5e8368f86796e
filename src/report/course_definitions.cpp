#include "report/course_definitions.hpp"
#include "report/en/course.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <utility>

#include "tracehold/course/course_measures.hpp"
#include "tracehold/course/course_terms.hpp"
#include "tracehold/report/session_terms.hpp"

namespace tracehold {
namespace {

// The columns of a table of changes, and of what statements rest on where there are any; an anchor is the key of its term.
constexpr std::array kColumns = {kFirstDays, kNowDays, kChange, kNeeded, kStatement};
constexpr std::array kEvidence = {kSlope, kP, kAccountedP, kSem, kMdc95};

void define(std::vector<Definition>& definitions, std::span<const char* const> keys) {
    for (const char* key : keys) {
        const CourseTerm& term = *find_course_term(key);
        definitions.push_back({key, std::string(term.title), "", std::string(term.definition), std::string(term.edges), std::string(term.source)});
    }
}

// The columns of the table of steps.
constexpr std::array kCounted = {"done", "missed", "unusable"};

bool is_shown(const Course& course, std::string_view key) {
    return std::any_of(course.phases.begin(), course.phases.end(), [&](const Phase& phase) {
        return std::any_of(phase.measures.begin(), phase.measures.end(), [&](const MeasureChange& change) {
            return change.key == key && (change.primary || change.change);
        });
    });
}

bool compares_rests(const Course& course) {
    return std::any_of(course.phases.begin(), course.phases.end(), [](const Phase& phase) { return phase.contraction == StepKind::rest; });
}

}  // namespace

Section course_definitions(const Course& course) {
    if (course.phases.empty()) return {};
    Definitions definitions;
    define(definitions.items, kColumns);
    if (course.tested_measures > 0) define(definitions.items, kEvidence);
    for (const CourseMeasure& measure : course_measures()) {
        if (!is_shown(course, measure.key)) continue;
        definitions.items.push_back({std::string(measure.key), std::string(measure.title), std::string(measure.unit),
                                     std::string(measure.definition), measure.key == "rest_mean_uv" && compares_rests(course) ? words::kRestMeanOfSteps : "",
                                     std::string(measure.source)});
    }
    for (Definition& term : session_terms()) {
        const auto is_counted = [&](const char* status) { return term.anchor == status; };
        if (std::any_of(kCounted.begin(), kCounted.end(), is_counted)) definitions.items.push_back(std::move(term));
    }
    return {words::kDefinitions, {std::move(definitions)}};
}

}  // namespace tracehold
