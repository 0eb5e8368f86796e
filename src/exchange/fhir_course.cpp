// A course is a DiagnosticReport on Observations: one of adherence, one of each measure in each phase. Sessions are
// pointed to by their business identifier, as 'score' gives it, so that a server that has them finds them and one that
// has not is told nothing false.
#include "exchange/fhir_course.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "exchange/course_measure.hpp"
#include "exchange/fhir_codes.hpp"
#include "exchange/fhir_components.hpp"
#include "exchange/fhir_session.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_course.hpp"
#include "tracehold/report/did_it_happen.hpp"

namespace tracehold::fhir {
namespace {

using std::chrono::sys_days;

// What all resources of a course share.
struct Shared {
    const Course& course;
    std::vector<std::string> sessions;  // ids, in the order of the scores
    IdentityLevel told;                 // hidden only if every session is
    IdentityLevel hidden;               // as far as any session is
    std::string id;
    Pointing pointing;
};

bool dates_count_days(const Shared& shared) { return shared.hidden == IdentityLevel::anonymous; }

std::string day_text(sys_days day) { return date_text({day, std::nullopt}); }

Shared shared_of(const CourseOf& of) {
    Shared shared{.course = of.course,
                  .sessions = {},
                  .told = IdentityLevel::anonymous,
                  .hidden = IdentityLevel::keep,
                  .id = {},
                  .pointing = of.pointing};
    for (const SessionScore& score : of.scores) {
        shared.sessions.push_back(session_id(score));
        shared.told = std::min(shared.told, score.settings.identity);
        shared.hidden = std::max(shared.hidden, score.settings.identity);
    }
    const std::set<std::string> once(shared.sessions.begin(), shared.sessions.end());
    shared.id = uuid_of("course", fmt::format("{}\n{}", of.course.person, fmt::join(once, "\n")));
    return shared;
}

Json observation_of(const Shared& shared, const Code& code, const std::string& id) {
    Json json = new_resource("Observation", shared.told);
    json["identifier"] = identifier_of(kCourses, id);
    json["status"] = "preliminary";
    json["category"] = observation_category();
    json["code"] = concept_of(code);
    add_subject(json, shared.course.person, shared.hidden);
    return json;
}

void add_period(Json& json, const Shared& shared, sys_days first, sys_days last) {
    if (dates_count_days(shared)) return;
    json["effectivePeriod"] = {{"start", day_text(first)}, {"end", day_text(last)}};
}

void add_period(Json& json, const Shared& shared) {
    const Course& course = shared.course;
    if (!course.first || !course.last) return;
    add_period(json, shared, std::chrono::floor<std::chrono::days>(course.first->local),
               std::chrono::floor<std::chrono::days>(course.last->local));
}

// The sessions that an Observation rests on, each once.
Json sessions_of(const Shared& shared, const std::set<std::size_t>& scores) {
    Json list = Json::array();
    for (const std::size_t score : scores) {
        list.push_back({{"type", "Observation"}, {"identifier", identifier_of(kSessions, shared.sessions[score])[0]}});
    }
    return list;
}

void add_remarks(Json& json, const std::vector<std::string>& texts) {
    Json notes = Json::array();
    for (const std::string& text : texts) {
        if (!text.empty()) notes.push_back({{"text", plain(text)}});
    }
    if (!notes.empty()) json["note"] = std::move(notes);
}

// Why adherence is no percentage here; "" where it is one.
std::string why_no_share(const Adherence& adherence) {
    if (!adherence.planned_sessions)
        return adherence.reason.empty() ? "no training session has a date" : adherence.reason;
    if (!held_against_dose(adherence)) return trained_days(adherence).days() < 7 ? "less than a week" : "too few sessions were prescribed";
    return static_cast<double>(adherence.of_dose().sessions) > *adherence.planned_sessions ? "more sessions than prescribed" : "";
}

Json adherence_components(const Course& course) {
    const Adherence& adherence = course.adherence;
    const Json none = absent("unknown", why_no_share({.reason = adherence.reason}));
    Components components;
    components.count(kSessionsHeld, adherence.sessions);
    if (adherence.after_plan.sessions > 0) components.count(kSessionsAfterPlan, adherence.after_plan.sessions);
    components.amount(kSessionsPrescribed, adherence.planned_sessions, {"", "{count}"}, none);
    components.amount(kContractionsPrescribed, adherence.planned_contractions, {"", "{count}"}, none);
    components.count(kContractionsPlaced, adherence.contractions);
    components.count(kContractionsCounting, adherence.counting);
    components.amount(of_term("longest_gap_days"), adherence.longest_gap_days, {"days", "d"}, none);
    components.count(kSessionsFound, course.found);
    components.count(kSessionsUsed, course.used);
    components.count(kSessionsRejected, course.rejected);
    components.count(kSessionsLeftOut, course.left_out.size());
    components.count(kFilesRefused, course.refused.size());
    return components.take();
}

std::vector<std::string> remarks_on(const Course& course) {
    std::vector<std::string> remarks;
    for (const LeftOut& out : course.left_out)
        remarks.push_back(fmt::format("left out ({}): {}: {}", out.code, out.source, out.reason));
    for (const LeftOut& out : course.refused) remarks.push_back(fmt::format("refused: {}: {}", out.source, out.reason));
    const Adherence& seen = course.adherence;
    const std::size_t due = wholly_due(seen.planned_sessions.value_or(0.0));
    if (seen.within_dose < std::min(seen.of_dose().sessions, due))
        remarks.push_back(fmt::format("{} of the {} prescribed sessions in the weeks they were due, {} more than was due in a week", seen.within_dose,
                                      due, seen.of_dose().sessions - seen.within_dose));
    if (seen.after_plan.sessions > 0)
        remarks.push_back(fmt::format("{} of the sessions held came outside of the weeks of a plan: neither prescribed nor counted as done of those prescribed", seen.after_plan.sessions));
    for (const Note& note : course.notes) remarks.push_back(fmt::format("note ({}): {}", note.code, note.text));
    return remarks;
}

Json adherence_observation(const Shared& shared, const std::string& id) {
    const Course& course = shared.course;
    Json json = observation_of(shared, kAdherence, id);
    add_period(json, shared);
    if (const std::string why = why_no_share(course.adherence); why.empty()) {
        const double share_pct =
            100.0 * static_cast<double>(course.adherence.of_dose().sessions) / *course.adherence.planned_sessions;
        json["valueQuantity"] = quantity(share_pct, "%", "%");
    } else {
        json["dataAbsentReason"] = absent("unknown", why);
    }
    add_remarks(json, remarks_on(course));
    json["device"] = shared.pointing.to("Device", device_id());
    std::set<std::size_t> used;
    for (const Phase& phase : course.phases) {
        for (const CourseSession& session : phase.sessions) used.insert(session.score);
    }
    if (!used.empty()) json["derivedFrom"] = sessions_of(shared, used);
    json["component"] = adherence_components(course);
    return json;
}

void add_phase(Components& components, const Phase& phase, std::size_t number) {
    const Json not_stated = absent("unknown", "not stated");
    components.count(kPhase, number);
    components.text(kPurpose, to_string(phase.purpose));
    components.text(kPosture, phase.posture, not_stated);
    components.text(kChannel, phase.channel, not_stated);
    components.text(kContraction, to_string(phase.contraction));
    components.text(kLengths, lengths_text(phase.lengths), not_stated);
    if (phase.step) components.text(kStep, phase.step_name, not_stated);
}

void add_change(Components& components, const MeasureChange& change, const CourseMeasure& measure) {
    const Json none = absent("unknown", change.reason.empty() ? "too few sessions have a value" : change.reason);
    const auto value_of = [](const std::optional<CourseBlock>& block) {
        return block ? std::optional(block->value) : std::nullopt;
    };
    const UnitOf unit{measure.unit, measure.ucum};
    const std::string ucum = measure.log_scale ? "%" : std::string(measure.ucum);
    const UnitOf of_change{change.change_unit, ucum};
    const std::string weekly = fmt::format("{}/week", change.change_unit), weekly_ucum = fmt::format("{}/wk", ucum);
    const UnitOf of_slope{weekly, weekly_ucum};
    components.amount(of_term("baseline"), value_of(change.baseline), unit, none);
    components.amount(of_term("current"), value_of(change.current), unit, none);
    components.flag(kRelative, measure.log_scale);
    components.amount(of_term("change"), change.change, of_change, none);
    components.range(kChangeInterval, change.change_low, change.change_high, of_change,
                     absent("unknown", "too few repeats"));
    const auto fall = change.needed_fall ? std::optional(-*change.needed_fall) : std::nullopt;
    components.range(of_term("needed"), fall, change.needed_rise, of_change,
                     absent("unknown", "no measurement error is known"));
    if (change.needed_rise) components.word(kErrorSource, of_term(to_string(change.error_source)));
    if (change.beyond_published) components.flag(of_term("beyond_published"), *change.beyond_published);
    components.amount(of_term("sem"), change.sem, of_change, absent("unknown", "too few repeats"));
    components.amount(of_term("mdc95"), change.mdc95, of_change, absent("unknown", "too few repeats"));
    components.amount(of_term("slope_per_week"), change.slope_per_week, of_slope, none);
    components.range(kSlopeInterval, change.slope_low, change.slope_high, of_slope, none);
    components.amount(of_term("p_adjusted"), change.p_adjusted, {"", "1"},
                      change.primary ? none : absent("not-performed", "described only, not tested"));
}

Json measure_observation(const Shared& shared, std::size_t phase_index, const MeasureChange& change,
                         const std::string& id) {
    const Phase& phase = shared.course.phases[phase_index];
    const CourseMeasure& measure = *find_course_measure(change.key);
    Json json = observation_of(shared, over_a_course(measure), id);
    add_period(json, shared, phase.sessions.front().day, phase.sessions.back().day);
    if (change.statement) {
        json["valueCodeableConcept"] = concept_of(of_term(to_string(*change.statement)));
    } else if (change.current) {
        json["valueCodeableConcept"] = concept_of(of_term("described_only"));
    } else {
        json["dataAbsentReason"] = absent("unknown", change.reason);
    }
    add_remarks(json, {change.text, change.plateau ? change.plateau->text : "", change.key == "hold_mean_uv" ? set_up_question(phase) : ""});
    json["method"] = {
        {"text", plain(fmt::format("{}, {} {}, measures {}", phase.processing, kName, kVersion, kMeasuresVersion))}};
    json["device"] = shared.pointing.to("Device", device_id());
    std::set<std::size_t> used;
    for (const CoursePoint& point : change.points) {
        if (point.compared) used.insert(phase.sessions[point.session].score);
    }
    if (!used.empty()) json["derivedFrom"] = sessions_of(shared, used);
    Components components;
    add_phase(components, phase, phase_index + 1);
    components.count(kSessionValues, compared_points(change));
    components.flag(kTested, change.p_adjusted.has_value());
    add_change(components, change, measure);
    json["component"] = components.take();
    return json;
}

std::string conclusion_of(const Course& course) {
    std::string text = whole_text(did_it_happen(course));
    text += fmt::format(" Sessions: {} found, {} used, {} with a signal that was not usable, {} left out.", course.found,
                                   course.used, course.rejected, course.left_out.size());
    for (const Phase& phase : course.phases) {
        if (phase.lengths_change) text += fmt::format(" {}.", lengths_apart(phase));
        if (phase.threshold_change) text += fmt::format(" {}.", threshold_apart(phase));
        std::string said;
        for (const MeasureChange& change : phase.measures) {
            if (change.primary && !change.text.empty()) said += fmt::format(" {}.", change.text);
        }
        if (const std::string set_up = set_up_question(phase); !set_up.empty()) said += " " + set_up;
        if (!said.empty() && (course.phases.size() > 1 || phase.step)) text += fmt::format(" {}:", conditions_text(phase));
        text += said;
    }
    if (!course.questions.empty()) text += " Questions for the clinician, never a prescription:";
    for (const Question& question : course.questions) text += fmt::format(" {} ({})", question.text, question.evidence);
    return plain(text);
}

Json report_of(const Shared& shared, const std::vector<std::pair<Json, std::string>>& observations) {
    Json json = new_resource("DiagnosticReport", shared.told);
    json["identifier"] = identifier_of(kCourses, shared.id);
    json["status"] = "preliminary";
    json["category"] = report_category();
    json["code"] = concept_of(kCourseReport);
    add_subject(json, shared.course.person, shared.hidden);
    add_period(json, shared);
    json["result"] = Json::array();
    for (const auto& [observation, id] : observations) json["result"].push_back(shared.pointing.to("Observation", id));
    json["conclusion"] = conclusion_of(shared.course);
    return json;
}

// Hidden hashes are none of files.
void add_files(Json& entities, const MadeWith& files) {
    if (files.identity != IdentityLevel::keep) return;
    for (const std::string& sha256 : files.plans) entities.push_back(source_entity("plan", sha256));
    for (const std::string& sha256 : files.corrections) entities.push_back(source_entity("corrections", sha256));
    if (!files.sessions.empty()) entities.push_back(source_entity("sessions list", files.sessions));
    if (!files.rules.empty()) entities.push_back(source_entity("rules", files.rules));
}

Json provenance_of(const Shared& shared, const std::vector<std::pair<Json, std::string>>& told, const CourseOf& of) {
    Json json = new_resource("Provenance", shared.told);
    json["target"] = Json::array();
    for (const auto& [resource, id] : told)
        json["target"].push_back(shared.pointing.to(resource.at("resourceType").get<std::string>(), id));
    add_making(json, shared.pointing.to("Device", device_id()), of.made);
    std::set<std::string> recordings;
    for (const SessionScore& score : of.scores) {
        if (score.settings.identity == IdentityLevel::keep) recordings.insert(score.recording.sha256);
    }
    recordings.erase("");
    Json entities = Json::array();
    for (const std::string& sha256 : recordings) entities.push_back(source_entity("recording", sha256));
    add_files(entities, of.made_with);
    if (!entities.empty()) json["entity"] = std::move(entities);
    return json;
}

}  // namespace

std::vector<std::pair<Json, std::string>> course_resources(const CourseOf& of) {
    const Shared shared = shared_of(of);
    const auto id_of = [&](const std::string& what) {
        return uuid_of("Observation", fmt::format("{}\n{}", shared.id, what));
    };
    std::vector<std::pair<Json, std::string>> list;
    list.emplace_back(adherence_observation(shared, id_of("adherence")), id_of("adherence"));
    for (std::size_t i = 0; i < of.course.phases.size(); ++i) {
        for (const MeasureChange& change : of.course.phases[i].measures) {
            const std::string id = id_of(fmt::format("{}\n{}", i, change.key));
            list.emplace_back(measure_observation(shared, i, change, id), id);
        }
    }
    list.emplace_back(report_of(shared, list), uuid_of("DiagnosticReport", shared.id));
    if (shared.hidden == IdentityLevel::anonymous) return list;  // as of a session
    const std::string content = fmt::format("{}\n{}", shared.id, course_json(of.course, 0, of.made_with));
    list.emplace_back(provenance_of(shared, list, of), uuid_of("Provenance", content));
    return list;
}

}  // namespace tracehold::fhir
