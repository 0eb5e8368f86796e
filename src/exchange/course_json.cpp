// A course as one JSON object. Keys keep their order and, within schema /1, their meaning; keys may be added.
#include <fmt/format.h>

#include "exchange/course_measure.hpp"
#include "exchange/enum_words.hpp"
#include "exchange/json_text.hpp"
#include "exchange/made_with_json.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_course.hpp"

namespace tracehold {
namespace {

std::string day_text(std::chrono::sys_days day) { return date_text({day, std::nullopt}); }

Json time_json(const std::optional<CivilTime>& time) { return time ? Json(to_text(*time)) : Json(nullptr); }

// [low, high]; null unless both are known.
Json interval_json(std::optional<double> low, std::optional<double> high) {
    return low && high ? Json::array({json_number(low), json_number(high)}) : Json(nullptr);
}

Json held_json(const Held& held) {
    return {{"sessions", held.sessions}, {"contractions", held.contractions}, {"counting", held.counting}};
}

Json week_json(const CourseWeek& week) {
    return {{"week", fmt::format("{:04}-W{:02}", week.iso_year, week.iso_week)},
            {"monday", day_text(week.monday)},
            {"planned_sessions", json_number(week.planned_sessions)},
            {"sessions", week.sessions},
            {"planned_contractions", json_number(week.planned_contractions)},
            {"contractions", week.contractions},
            {"counting", week.counting},
            {"days", week.days},
            {"after_plan", held_json(week.after_plan)}};
}

Json steps_json(const std::vector<StepDone>& steps) {
    Json json = Json::array();
    for (const StepDone& step : steps) {
        json.push_back({{"step", step.step + 1},
                        {"step_name", step.name},
                        {"sessions", step.sessions},
                        {"planned", step.planned},
                        {"done", step.done},
                        {"missed", step.missed},
                        {"unusable", step.unusable},
                        {"not_counted", step.not_counted()}});
    }
    return json;
}

Json prescribed_json(const std::optional<PrescribedWeeks>& prescribed) {
    if (!prescribed) return nullptr;
    return {{"weeks", json_number(prescribed->weeks)},
            {"last_day", day_text(prescribed->last_day)},
            {"last_session", day_text(prescribed->last_session)},
            {"counted_on", prescribed->counted_on},
            {"silent_days", prescribed->silent_days},
            {"last_recording", day_text(prescribed->last_recording)},
            {"counted_to", day_text(prescribed->counted_to)}};
}

Json counted_json(const std::vector<CountedDays>& counted) {
    Json json = Json::array();
    for (const CountedDays& days : counted) json.push_back({{"from", day_text(days.from)}, {"to", day_text(days.to)}});
    return json;
}

Json adherence_json(const Adherence& adherence) {
    Json weeks = Json::array();
    for (const CourseWeek& week : adherence.weeks) weeks.push_back(week_json(week));
    const auto& planned = adherence.planned_sessions;
    return {{"planned_sessions", json_number(planned)},
            {"sessions_due", planned ? Json(wholly_due(*planned)) : Json(nullptr)},
            {"sessions", adherence.sessions},
            {"planned_contractions", json_number(adherence.planned_contractions)},
            {"contractions", adherence.contractions},
            {"counting", adherence.counting},
            {"undated_sessions", adherence.undated_sessions},
            {"longest_gap_days", json_number(adherence.longest_gap_days)},
            {"reason", json_text(adherence.reason)},
            {"weeks", weeks},
            {"without_plan", adherence.without_plan},
            {"steps", steps_json(adherence.steps)},
            {"prescribed", prescribed_json(adherence.prescribed)},
            {"weeks_of_training", adherence.weeks.empty() ? Json(nullptr) : Json(weeks_of_training(adherence))},
            {"sessions_within_dose", planned ? Json(adherence.within_dose) : Json(nullptr)},
            {"impossible_dates", adherence.impossible_dates},
            {"other_plans", adherence.other_plans},
            {"after_plan", held_json(adherence.after_plan)},
            {"counted", counted_json(adherence.counted)}};
}

Json sessions_json(const std::vector<CourseSession>& sessions) {
    Json json = Json::array();
    for (const CourseSession& session : sessions) {
        json.push_back({{"index", json.size() + 1},
                        {"source", session.source},
                        {"date", day_text(session.day)},
                        {"since_first_days", json_number(session.since_first_days)},
                        {"usable", session.usable},
                        {"planned", session.planned},
                        {"contractions", session.contractions},
                        {"counting", session.counting},
                        {"reason", json_text(session.reason)},
                        {"sha256", json_text(session.sha256)},
                        {"plan", json_text(session.plan)},
                        {"plan_sha256", json_text(session.plan_sha256)},
                        {"corrections", session.corrections.size()}});
    }
    return json;
}

// Of the phase's own sessions: the dose is kept or missed by the course as a whole.
Json phase_adherence_json(const std::vector<CourseSession>& sessions) {
    std::size_t planned = 0, contractions = 0, counting = 0;
    for (const CourseSession& session : sessions) {
        planned += session.planned;
        contractions += session.contractions;
        counting += session.counting;
    }
    return {{"sessions", sessions.size()},
            {"planned_contractions", planned},
            {"contractions", contractions},
            {"counting", counting}};
}

Json plan_changes_json(const std::vector<PlanChange>& changes) {
    Json json = Json::array();
    for (const PlanChange& change : changes)
        json.push_back({{"date", day_text(change.day)}, {"plan", json_text(change.plan)}});
    return json;
}

Json lengths_json(const std::vector<Lengths>& lengths) {
    Json json = Json::array();
    for (const Lengths& one : lengths)
        json.push_back({{"work_s", json_number(one.work_s)}, {"rest_s", json_number(one.rest_s)}, {"share", json_number(one.share)}});
    return json;
}

Json lengths_change_json(const std::optional<LengthsChange>& change) {
    if (!change) return nullptr;
    return {{"date", day_text(change->day)}, {"before", lengths_json(change->before)}};
}

Json threshold_json(const std::optional<Threshold>& threshold) {
    if (!threshold) return nullptr;
    return {{"microvolts", json_number(threshold->microvolts)}, {"percent_of_best_second", json_number(threshold->percent_of_reference)}};
}

Json threshold_change_json(const std::optional<ThresholdChange>& change) {
    if (!change) return nullptr;
    return {{"date", day_text(change->day)}, {"before", threshold_json(change->before)}};
}

Json points_json(const std::vector<CoursePoint>& points) {
    Json json = Json::array();
    for (const CoursePoint& point : points) {
        json.push_back({{"session", point.session + 1}, {"value", json_number(point.value)}, {"compared", point.compared}});
        if (point.at_least) json.back()["at_least"] = true;
    }
    return json;
}

Json block_json(const std::optional<CourseBlock>& block) {
    if (!block) return nullptr;
    return {{"value", json_number(block->value)},
            {"from", day_text(block->from)},
            {"to", day_text(block->to)},
            {"days", block->days},
            {"sessions", block->sessions}};
}

Json plateau_json(const std::optional<Plateau>& plateau) {
    if (!plateau) return nullptr;
    return {{"from", day_text(plateau->from)},
            {"to", day_text(plateau->to)},
            {"sessions", plateau->sessions},
            {"change", json_number(plateau->change)},
            {"change_ci95", interval_json(plateau->low, plateau->high)},
            {"text", plateau->text}};
}

Json block_value(const std::optional<CourseBlock>& block) { return block ? json_number(block->value) : Json(nullptr); }

Json measure_json(const MeasureChange& change) {
    const CourseMeasure* measure = find_course_measure(change.key);
    const bool relative = measure != nullptr && measure->log_scale;
    return {{"title", change.title},
            {"unit", json_text(change.unit)},
            {"primary", change.primary},
            {"n", compared_points(change)},
            {"baseline", block_value(change.baseline)},
            {"current", block_value(change.current)},
            {"change_pct", relative ? json_number(change.change) : Json(nullptr)},
            {"mdc95_pct", relative ? json_number(change.mdc95) : Json(nullptr)},
            {"change_unit", json_text(change.change_unit)},
            {"relative", relative},
            {"change", json_number(change.change)},
            {"change_ci95", interval_json(change.change_low, change.change_high)},
            {"sem", json_number(change.sem)},
            {"mdc95", json_number(change.mdc95)},
            {"needed_rise", json_number(change.needed_rise)},
            {"needed_fall", json_number(change.needed_fall)},
            {"error_source", change.needed_rise ? Json(to_string(change.error_source)) : Json(nullptr)},
            {"beyond_published", change.beyond_published ? Json(*change.beyond_published) : Json(nullptr)},
            {"slope_per_week", json_number(change.slope_per_week)},
            {"slope_ci95", interval_json(change.slope_low, change.slope_high)},
            {"p", json_number(change.p)},
            {"p_adjusted", json_number(change.p_adjusted)},
            {"statement", change.statement ? Json(to_string(*change.statement)) : Json(nullptr)},
            {"text", json_text(change.text)},
            {"reason", json_text(change.reason)},
            {"plateau", plateau_json(change.plateau)},
            {"blocks", {{"baseline", block_json(change.baseline)}, {"current", block_json(change.current)}}},
            {"points", points_json(change.points)}};
}

Json phase_json(const Phase& phase, std::size_t index) {
    Json measures = Json::object();
    for (const MeasureChange& change : phase.measures) measures[change.key] = measure_json(change);
    return {{"index", index},
            {"purpose", to_string(phase.purpose)},
            {"posture", json_text(phase.posture)},
            {"channel", phase.channel},
            {"kind", to_string(phase.kind)},
            {"processing", phase.processing},
            {"contraction", to_string(phase.contraction)},
            {"step", phase.step ? Json(*phase.step + 1) : Json(nullptr)},
            {"step_name", json_text(phase.step_name)},
            {"sessions", sessions_json(phase.sessions)},
            {"plan_changes", plan_changes_json(phase.plan_changes)},
            {"adherence", phase_adherence_json(phase.sessions)},
            {"measures", measures},
            {"lengths", lengths_json(phase.lengths)},
            {"lengths_change", lengths_change_json(phase.lengths_change)},
            {"threshold", threshold_json(phase.threshold)},
            {"threshold_change", threshold_change_json(phase.threshold_change)},
            {"set_up_question", json_text(set_up_question(phase))}};
}

Json phases_json(const std::vector<Phase>& phases) {
    Json json = Json::array();
    for (const Phase& phase : phases) json.push_back(phase_json(phase, json.size() + 1));
    return json;
}

Json questions_json(const std::vector<Question>& questions) {
    Json json = Json::array();
    for (const Question& question : questions) {
        json.push_back({{"code", question.code},
                        {"text", question.text},
                        {"evidence", question.evidence},
                        {"reason", question.reason},
                        {"source", question.source},
                        {"sessions", question.sessions},
                        {"later", question.later}});
    }
    return json;
}

Json waiting_json(const std::vector<WaitingQuestion>& waiting) {
    Json json = Json::array();
    for (const WaitingQuestion& one : waiting)
        json.push_back({{"code", one.code}, {"text", one.text}, {"because", one.because}, {"sessions", one.sessions}});
    return json;
}

Json left_out_json(const std::vector<LeftOut>& left_out) {
    Json json = Json::array();
    for (const LeftOut& one : left_out)
        json.push_back({{"source", one.source}, {"code", one.code}, {"reason", one.reason}});
    return json;
}

Json cautions_json(const std::vector<CourseCaution>& cautions) {
    Json json = Json::array();
    for (const CourseCaution& one : cautions) json.push_back({{"code", one.code}, {"sessions", one.sessions}});
    return json;
}

}  // namespace

std::string course_json(const Course& course, int indent, const MadeWith& made_with) {
    const Json settings{{"identity", to_string(made_with.identity)}};
    Json files{{"rules_sha256", json_text(made_with.rules)}};
    files.update(made_with_json(made_with));
    return written({{"schema", kCourseSchema},
                    {"tool", {{"name", kName}, {"version", kVersion}, {"measures_version", kMeasuresVersion}, {"settings", settings}}},
                    {"person", json_text(course.person)},
                    {"first", time_json(course.first)},
                    {"last", time_json(course.last)},
                    {"found", course.found},
                    {"used", course.used},
                    {"rejected", course.rejected},
                    {"used_with_caution", course.used_with_caution},
                    {"cautions", cautions_json(course.cautions)},
                    {"left_out", left_out_json(course.left_out)},
                    {"adherence", adherence_json(course.adherence)},
                    {"phases", phases_json(course.phases)},
                    {"tested_measures", course.tested_measures},
                    {"questions", questions_json(course.questions)},
                    {"notes", notes_json(course.notes)},
                    {"refused", left_out_json(course.refused)},
                    {"waiting", waiting_json(course.waiting)},
                    {"made_with", files}},
                   indent);
}

}  // namespace tracehold
