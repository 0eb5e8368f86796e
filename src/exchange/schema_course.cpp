#include "exchange/schema_course.hpp"

#include <fmt/format.h>

#include <string_view>
#include <vector>

#include "exchange/schema_parts.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold::schema {
namespace {

Json after_plan() {
    Json held = object_of({{"sessions", whole_from(0)}, {"contractions", whole_from(0)}, {"counting", whole_from(0)}});
    held["description"] = "those of the counts beside it that came outside of the weeks of a plan, after it or between two: neither prescribed nor done of those prescribed";
    return held;
}

Json week() {
    Json days = list_of(whole_from(0));
    days["minItems"] = days["maxItems"] = 7;
    return object_of({{"week", {{"type", "string"}, {"pattern", "^[0-9]{4}-W[0-9]{2}$"}}},
                      {"monday", date()},
                      {"planned_sessions", or_null(number_from(0.0))},
                      {"sessions", whole_from(0)},
                      {"planned_contractions", or_null(number_from(0.0))},
                      {"contractions", whole_from(0)},
                      {"counting", whole_from(0)},
                      {"days", days},
                      {"after_plan", after_plan()}},
                     {"after_plan"});
}

Json step_done() {
    Json not_counted = whole_from(0);
    not_counted["description"] = "planned without done, missed and unusable: not recorded, or left out by hand";
    return object_of({{"step", whole_from(1)},
                      {"step_name", filled_text()},
                      {"sessions", whole_from(1)},
                      {"planned", whole_from(0)},
                      {"done", whole_from(0)},
                      {"missed", whole_from(0)},
                      {"unusable", whole_from(0)},
                      {"not_counted", not_counted}},
                     {"not_counted"});
}

Json prescribed() {
    return object_of({{"weeks", number_from(0.0)},
                      {"last_day", date()},
                      {"last_session", date()},
                      {"counted_on", flag()},
                      {"silent_days", whole_from(0)},
                      {"last_recording", date()},
                      {"counted_to", date()}});
}

Json adherence() {
    Json planned = or_null(number_from(0.0));
    planned["description"] = "by the dose, with parts of sessions for part weeks; shares are of these";
    Json due = or_null(whole_from(0));
    due["description"] = "those of planned_sessions that are wholly due: what pages tell";
    Json within = or_null(whole_from(0));
    within["description"] = "those due in their week: more sessions in one week do not fill another; an audit counts these";
    Json of_training = or_null(whole_from(1));
    of_training["description"] = "over which the dose is counted, a part of one as a whole: what pages tell; without a dose from the first session to the last; 'weeks' lists the calendar's";
    Json counted = list_of(object_of({{"from", date()}, {"to", date()}}));
    counted["description"] = "days over which the dose is counted: one entry for each plan whose weeks follow on those of another; no plan asks for anything between them";
    return object_of({{"planned_sessions", planned},
                      {"sessions_due", due},
                      {"sessions", whole_from(0)},
                      {"planned_contractions", or_null(number_from(0.0))},
                      {"contractions", whole_from(0)},
                      {"counting", whole_from(0)},
                      {"undated_sessions", whole_from(0)},
                      {"longest_gap_days", number_from(0.0)},
                      {"reason", or_null(filled_text())},
                      {"weeks", list_of(week())},
                      {"without_plan", whole_from(0)},
                      {"steps", list_of(step_done())},
                      {"prescribed", or_null(prescribed())},
                      {"weeks_of_training", of_training},
                      {"sessions_within_dose", within},
                      {"impossible_dates", whole_from(0)},
                      {"other_plans", whole_from(0)},
                      {"after_plan", after_plan()},
                      {"counted", counted}},
                     {"after_plan", "counted"});
}

Json course_session() {
    return object_of({{"index", whole_from(1)},
                      {"source", text()},
                      {"date", date()},
                      {"since_first_days", number_from(0.0)},
                      {"usable", flag()},
                      {"planned", whole_from(0)},
                      {"contractions", whole_from(0)},
                      {"counting", whole_from(0)},
                      {"reason", or_null(filled_text())},
                      {"sha256", or_null(sha256())},
                      {"plan", or_null(filled_text())},
                      {"plan_sha256", or_null(sha256())},
                      {"corrections", whole_from(0)}});
}

Json block() {
    return object_of(
        {{"value", number()}, {"from", date()}, {"to", date()}, {"days", whole_from(1)}, {"sessions", whole_from(1)}});
}

Json plateau() {
    return object_of({{"from", date()},
                      {"to", date()},
                      {"sessions", whole_from(1)},
                      {"change", number()},
                      {"change_ci95", refer("interval")},
                      {"text", filled_text()}});
}

Json change() {
    const Json blocks = object_of({{"baseline", or_null(refer("block"))}, {"current", or_null(refer("block"))}});
    Json at_least = flag();
    at_least["description"] = "endurance that had not ended by the cue to relax: the value is a lower limit";
    const Json point = object_of({{"session", whole_from(1)}, {"value", number()}, {"compared", flag()}, {"at_least", at_least}}, {"at_least"});
    Json beyond = or_null(flag());
    beyond["description"] = "too few days for a statement: whether the change exceeds the published error; no claim";
    const Json probability = or_null(number_within(0.0, 1.0));
    return object_of({{"title", filled_text()},
                      {"unit", or_null(filled_text())},
                      {"primary", flag()},
                      {"n", whole_from(0)},
                      {"baseline", or_null(number())},
                      {"current", or_null(number())},
                      {"change_pct", or_null(number())},
                      {"mdc95_pct", or_null(number_from(0.0))},
                      {"change_unit", or_null(filled_text())},
                      {"relative", flag()},
                      {"change", or_null(number())},
                      {"change_ci95", or_null(refer("interval"))},
                      {"sem", or_null(number_from(0.0))},
                      {"mdc95", or_null(number_from(0.0))},
                      {"needed_rise", or_null(number_from(0.0))},
                      {"needed_fall", or_null(number_from(0.0))},
                      {"error_source", or_null(words_for(kErrorSources))},
                      {"beyond_published", beyond},
                      {"slope_per_week", or_null(number())},
                      {"slope_ci95", or_null(refer("interval"))},
                      {"p", probability},
                      {"p_adjusted", probability},
                      {"statement", or_null(words_for(kStatements))},
                      {"text", or_null(filled_text())},
                      {"reason", or_null(filled_text())},
                      {"plateau", or_null(refer("plateau"))},
                      {"blocks", blocks},
                      {"points", list_of(point)}});
}

// Only those that a session of the phase has.
Json measure_changes() {
    Json properties = Json::object();
    for (const CourseMeasure& measure : course_measures()) {
        Json value = refer("change");
        value["description"] = fmt::format("{}: {}", measure.title, measure.definition);
        properties[std::string(measure.key)] = value;
    }
    return {{"type", "object"}, {"additionalProperties", false}, {"properties", properties}};
}

Json lengths() {
    Json json = list_of(object_of({{"work_s", number_from(0.0)}, {"rest_s", number_from(0.0)}, {"share", number_within(0.0, 1.0)}}));
    json["description"] = "of the contractions that are compared, by the plan, with the share of them that is of each; empty without a plan";
    return json;
}

Json course_threshold() {
    Json json = or_null(object_of({{"microvolts", or_null(number_from(0.0))}, {"percent_of_best_second", or_null(number_from(0.0))}}));
    json["description"] = "of the latest session that has one; what is measured by it is compared under it only";
    return json;
}

Json phase() {
    Json sessions = list_of(course_session());
    sessions["minItems"] = 1;
    const Json adherence_within = object_of({{"sessions", whole_from(1)},
                                             {"planned_contractions", whole_from(0)},
                                             {"contractions", whole_from(0)},
                                             {"counting", whole_from(0)}});
    Json change = or_null(object_of({{"date", date()}, {"before", lengths()}}));
    change["description"] = "from that day on of other lengths than an earlier phase, which is not compared with this one";
    Json set_up = or_null(filled_text());
    set_up["description"] = "the hold moved and its share of the best second stayed: what is to be asked of the set-up before the change is believed";
    return object_of({{"index", whole_from(1)},
                      {"purpose", words_for(kPlanPurposes)},
                      {"posture", or_null(filled_text())},
                      {"channel", text()},
                      {"kind", words_for(kChannelKinds)},
                      {"processing", text()},
                      {"contraction", words_for(kStepKinds)},
                      {"step", or_null(whole_from(1))},
                      {"step_name", or_null(filled_text())},
                      {"sessions", sessions},
                      {"plan_changes", list_of(object_of({{"date", date()}, {"plan", or_null(filled_text())}}))},
                      {"adherence", adherence_within},
                      {"measures", measure_changes()},
                      {"lengths", lengths()},
                      {"lengths_change", change},
                      {"threshold", course_threshold()},
                      {"threshold_change", or_null(object_of({{"date", date()}, {"before", course_threshold()}}))},
                      {"set_up_question", set_up}});
}

Json question() {
    return object_of({{"code", code()},
                      {"text", filled_text()},
                      {"evidence", text()},
                      {"reason", filled_text()},
                      {"source", filled_text()},
                      {"sessions", list_of(text())},
                      {"later", list_of(filled_text())}});
}

Json waiting() {
    return object_of({{"code", code()}, {"text", filled_text()}, {"because", text()}, {"sessions", list_of(text())}});
}

Json left_out(const std::vector<std::string_view>& codes) {
    return object_of({{"source", text()}, {"code", words(codes)}, {"reason", filled_text()}});
}

}  // namespace

Json course() {
    const Json tool = object_of({{"name", filled_text()},
                                 {"version", filled_text()},
                                 {"measures_version", {{"type", "string"}, {"pattern", "^[0-9]+$"}}},
                                 {"settings", object_of({{"identity", words_for(kIdentityLevels)}})}});
    const Json body = object_of(
        {{"schema", {{"const", kCourseSchema}}},
         {"tool", tool},
         {"person", or_null(filled_text())},
         {"first", or_null(date_time())},
         {"last", or_null(date_time())},
         {"found", whole_from(0)},
         {"used", whole_from(0)},
         {"rejected", whole_from(0)},
         {"used_with_caution", whole_from(0)},
         {"cautions", list_of(object_of({{"code", filled_text()}, {"sessions", list_of(text())}}))},
         {"left_out", list_of(left_out({"duplicate", "overlap", "no_date", "impossible_date", "other_plan"}))},
         {"adherence", adherence()},
         {"phases", list_of(phase())},
         {"tested_measures", whole_from(0)},
         {"questions", list_of(question())},
         {"notes", list_of(note())},
         {"refused", list_of(left_out({"refused"}))},
         {"waiting", list_of(waiting())},
         {"made_with", made_with({{"rules_sha256", or_null(sha256())}})}});
    const Json definitions{{"interval", span()}, {"block", block()}, {"plateau", plateau()}, {"change", change()}};
    return document("course", 1, "One person's sessions over time", definitions, body);
}

}  // namespace tracehold::schema
