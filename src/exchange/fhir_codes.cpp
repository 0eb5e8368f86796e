#include "exchange/fhir_codes.hpp"

#include <fmt/format.h>

#include "tracehold/core/version.hpp"
#include "tracehold/course/course_terms.hpp"
#include "tracehold/exchange/write_fhir.hpp"

namespace tracehold {
namespace fhir {
namespace {

Json entry(const Code& code, std::string_view definition, std::string_view ucum) {
    Json json{{"code", code.code}, {"display", code.display}, {"definition", definition}};
    if (!ucum.empty()) json["property"] = Json::array({{{"code", "ucum"}, {"valueString", ucum}}});
    return json;
}

void add_measure(Json& list, const Measure& measure) {
    list.push_back(entry(mean_of(measure),
                         fmt::format("Mean over the done contractions of the kind named by measures_over: {} {}",
                                     measure.definition, measure.edges),
                         measure.ucum));
    list.push_back(entry(
        sd_of(measure),
        fmt::format("Standard deviation of {} between these contractions, n - 1 in the denominator.", measure.key),
        measure.ucum));
    list.push_back(entry(count_of(measure), fmt::format("How many contractions have a value of {}.", measure.key), ""));
}

void add_session_codes(Json& list) {
    list.push_back(entry(
        kSession,
        "One recording of pelvic-floor contractions, measured by this program; one component for each number.", ""));
    list.push_back(entry(kSessionReport, "What a session came to, for a clinician to read and sign.", ""));
    list.push_back(entry(kUsable, "False where the signal was rejected: then no number is given.", ""));
    list.push_back(entry(kMuscleSeen, "False where the signal was rejected, or nothing shows that the electrode saw the muscle.", ""));
    list.push_back(
        entry(kPlanned, "Contractions that the plan asks for; without a plan the cues in the recording.", ""));
    list.push_back(entry(kDone, "Planned contractions in which a contraction was found.", ""));
    list.push_back(entry(kMissed, "Planned contractions in which none was found.", ""));
    list.push_back(entry(kExtra, "Contractions found outside every work window.", ""));
    list.push_back(entry(kUnusable, "Planned contractions whose signal holds too little that can be measured.", ""));
    list.push_back(entry(kNotRecorded, "Planned contractions that have no place in the recording.", ""));
    list.push_back(entry(kLeftOutByHand, "Planned contractions that a correction by hand left out.", ""));
    list.push_back(
        entry(kOver, "hold, rapid or endurance: holds where there are any, else rapid, else endurance.", ""));
    list.push_back(entry(kNoiseFloor,
                         "5th percentile of the 1-s means of the envelope over the whole recording, before anything is subtracted. A muscle that never rests is in it.",
                         "uV"));
    list.push_back(entry(kReference, "Highest best second of the done contractions.", "uV"));
    list.push_back(entry(kThreshold, "Amplitude above which a contraction counts as reached, by the plan.", "uV"));
    list.push_back(
        entry(kLocalTime, "Wall clock at the start of the recording; its offset from UTC is not known.", ""));
    list.push_back(entry(kDayOffset,
                         "Whole days from that person's first recording to this one, which stand for the date where "
                         "identities are hidden.",
                         "d"));
}

// What a session or file was worth to a course.
void add_course_counts(Json& list) {
    list.push_back(entry(kSessionsHeld, "Training sessions recorded, from the first to the last day.", ""));
    list.push_back(entry(kSessionsAfterPlan, "Of the sessions held those after the weeks of the plan: neither prescribed nor counted as done of those prescribed.", "{count}"));
    list.push_back(entry(kSessionsPrescribed,
                         "Training sessions that the dose of the plans in force asks for over the same days, within the "
                         "weeks of the plans; a part week counts the days it has.",
                         "{count}"));
    list.push_back(entry(kContractionsPrescribed, "Contractions in the prescribed sessions.", "{count}"));
    list.push_back(
        entry(kContractionsPlaced, "Contractions done, missed or unusable: those with a place in a recording.", ""));
    list.push_back(entry(kContractionsCounting, "Contractions done on a signal that could be scored.", ""));
    list.push_back(entry(kSessionsFound, "Sessions handed in: used, rejected and left out together.", ""));
    list.push_back(entry(kSessionsUsed, "Sessions with a date, counted once, on a usable signal.", ""));
    list.push_back(
        entry(kSessionsRejected, "Sessions with a date, counted once, whose signal was rejected or shows no muscle: no value.", ""));
    list.push_back(entry(kSessionsLeftOut,
                         "Sessions without part in the course: recorded twice, without a date, of another plan.", ""));
    list.push_back(entry(kFilesRefused, "Inputs that gave no session at all; whose they are is not known.", ""));
}

void add_course_codes(Json& list) {
    list.push_back(
        entry(kCourseReport, "What weeks of one person's sessions came to, for a clinician to read and sign.", ""));
    list.push_back(entry(kAdherence, find_course_term("adherence_pct")->definition, "%"));
    add_course_counts(list);
    list.push_back(entry(kPhase,
                         "Number, from 1, of a stretch of sessions that may be compared: same purpose, posture, "
                         "channel, processing, kind of contraction and lengths.",
                         ""));
    list.push_back(entry(kPurpose, "training or assessment, by the plan.", ""));
    list.push_back(entry(kPosture, "Posture in which all sessions of the phase were recorded.", ""));
    list.push_back(entry(kChannel, "Channel that all sessions of the phase were scored from.", ""));
    list.push_back(entry(kContraction, "hold, rapid or endurance: what the values are means of.", ""));
    list.push_back(entry(kLengths, "How long the contractions and their rests are asked to last, by the plan.", ""));
    list.push_back(entry(kStep, "Step of the plan that the values are of; assessments only.", ""));
    list.push_back(entry(kSessionValues, "Sessions of the phase that have a value of the measure.", ""));
    list.push_back(entry(kTested,
                         "True where the change was tested, and accounted for with all that were. False of measures that are described only, "
                         "and of too few days with a value.",
                         ""));
    list.push_back(entry(kRelative,
                         "True: change, error and slope are percent of the value before. False: they are differences "
                         "in the unit of the measure, percentage points where that is percent.",
                         ""));
    list.push_back(entry(kChangeInterval, "95 % interval of the change, from this person's own repeats.", ""));
    list.push_back(entry(kSlopeInterval, "95 % interval of the slope.", ""));
    list.push_back(entry(kErrorSource, "own_repeats or published: what decided the measurement error.", ""));
}

// "" where the unit is that of the measure, or there is none.
std::string_view ucum_of(const CourseTerm& term) {
    if (term.unit == "%") return "%";
    if (term.unit == "days") return "d";
    return term.key == "p" || term.key == "p_adjusted" ? "1" : "";
}

void add_term(Json& list, const CourseTerm& term) {
    const std::string edges = term.edges.empty() ? "" : fmt::format(" {}", term.edges);
    list.push_back(
        entry(of_term(term.key), fmt::format("{}{} Source: {}.", term.definition, edges, term.source), ucum_of(term)));
}

void add_course_measure(Json& list, const CourseMeasure& measure) {
    list.push_back(entry(over_a_course(measure),
                         fmt::format("Whether {} changed over a phase of a course by more than measurement error "
                                     "explains. Values are session means: {}",
                                     measure.key, measure.definition),
                         measure.ucum));
}

Json concepts() {
    Json list = Json::array();
    add_session_codes(list);
    for (const Measure& measure : measure_list()) add_measure(list, measure);
    add_course_codes(list);
    for (const CourseTerm& term : course_terms()) add_term(list, term);
    for (const CourseMeasure& measure : course_measures()) add_course_measure(list, measure);
    return list;
}

}  // namespace

Code of_term(std::string_view key) { return {std::string(key), std::string(find_course_term(key)->title)}; }
Code over_a_course(const CourseMeasure& measure) {
    return {fmt::format("{}.course", measure.key), fmt::format("{}, over a course", measure.title)};
}
Code mean_of(const Measure& measure) { return {std::string(measure.key), std::string(measure.title)}; }
Code sd_of(const Measure& measure) {
    return {fmt::format("{}.sd", measure.key), fmt::format("{}, standard deviation", measure.title)};
}
Code count_of(const Measure& measure) {
    return {fmt::format("{}.n", measure.key), fmt::format("{}, number of contractions", measure.title)};
}

}  // namespace fhir

std::string fhir_code_system_json() {
    const Json concepts = fhir::concepts();
    const Json json{
        {"resourceType", "CodeSystem"},
        {"id", fhir::uuid_of("CodeSystem", kMeasuresVersion)},
        {"url", fhir::kCodes},
        {"version", kMeasuresVersion},
        {"name", "TraceholdCodes"},
        {"title", "Numbers of sessions of pelvic-floor contractions, and of a course of them"},
        {"status", "active"},
        {"experimental", false},
        {"description",
         "Codes of the numbers that tracehold writes. Its version is that of the definitions: it is raised whenever a "
         "definition changes what a number means."},
        {"caseSensitive", true},
        {"content", "complete"},
        {"count", concepts.size()},
        {"property",
         Json::array({{{"code", "ucum"}, {"description", "Unit of the value, as a UCUM code"}, {"type", "string"}}})},
        {"concept", concepts}};
    return written(json, 2);
}

}  // namespace tracehold
