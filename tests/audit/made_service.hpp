#pragma once
// Invented people of an invented service: codes for names, session means with known truth.
#include <fmt/format.h>

#include <string>
#include <vector>

#include "course/made_course.hpp"
#include "tracehold/audit/audit_service.hpp"
#include "tracehold/core/sha256.hpp"

namespace tracehold::test {

inline Course chart_person(std::span<const SessionScore> scores, const CountedWeeks& weeks = {}) {
    return chart_course(scores, {.rules = std::vector<Rule>{}, .count_until = weeks.until, .count_from = weeks.from, .before = weeks.before});
}

// One hold step; twice a day on six days a week unless said otherwise.
inline Plan training_plan(double sessions_per_day = 2.0, double days_per_week = 6.0) {
    Plan plan;
    plan.name = "daily";
    plan.posture = "lying";
    plan.steps = {{StepKind::hold, 8.0, 10.0, 8}};
    plan.contract_cues = {"contract"};
    plan.dose = {sessions_per_day, days_per_week, 12.0};
    return plan;
}

// A person with one session a day, of which the first 'held' days of every seven are held. All of it is exact.
struct MadePerson {
    std::string code;
    std::string site = {};
    int weeks = 4;
    int held = 7;              // days of each week; the plan prescribes seven
    int first_day = 0;         // from a Monday on
    double planned_weeks = 12.0;
    double rest_uv = 3.0;      // of every session
    int rejected = 0;          // of the last sessions
    int assessed_on_day = -1;  // counted from the first; -1 = never
    std::string group = {};
};

inline SessionScore session_of(const MadePerson& person, int day) {
    SessionScore score = made_session(person.first_day + day);
    score.recording.person = person.code;
    score.recording.site = person.site;
    score.recording.source = fmt::format("{}-{}", person.code, score.recording.source);
    score.recording.sha256 = sha256_hex(score.recording.source);
    score.plan = training_plan(1.0, 7.0);
    score.plan->dose.weeks = person.planned_weeks;
    set_value(score, "rest_mean_uv", person.rest_uv);
    set_value(score, "hold_mean_uv", 15.0);
    return score;
}

inline std::vector<SessionScore> sessions_of(const MadePerson& person) {
    std::vector<SessionScore> scores;
    for (int day = 0; day < 7 * person.weeks; ++day) {
        if (day % 7 < person.held) scores.push_back(session_of(person, day));
    }
    for (int i = 0; i < person.rejected; ++i) {
        scores[scores.size() - 1 - static_cast<std::size_t>(i)].quality.usable = false;
    }
    if (person.assessed_on_day >= 0) {
        scores.push_back(session_of(person, person.assessed_on_day));
        SessionScore& score = scores.back();
        score.recording.source += "-assessment";
        score.recording.sha256 = sha256_hex(score.recording.source);
        score.recording.start->local += std::chrono::hours{5};
        score.plan->purpose = PlanPurpose::assessment;
        score.plan->name = "assessment";
    }
    return scores;
}

inline void add_person(AuditTally& tally, const MadePerson& person) {
    for (const SessionScore& score : sessions_of(person)) tally.add(score, {.group = person.group});
}

inline AuditTally tally_of(const std::vector<MadePerson>& people) {
    AuditTally tally;
    for (const MadePerson& person : people) add_person(tally, person);
    return tally;
}

inline Audit audit_of(const std::vector<MadePerson>& people, const AuditSettings& settings = {}) {
    return audit_service(tally_of(people), settings, chart_person);
}

// Three sites, the smallest of two people; fourteen months, so that the charts have a verdict. One in seven stops long
// before the plan ends, another one a week or two before.
inline std::vector<MadePerson> a_service() {
    std::vector<MadePerson> people;
    for (int i = 0; i < 126; ++i) {
        MadePerson person{.code = fmt::format("CANARY-{:03}", i)};
        person.site = i < 70 ? "north" : i < 124 ? "south" : "west";
        person.weeks = 1 + i % 2;
        person.planned_weeks = i % 7 == 3 ? 8.0 : i % 7 == 5 ? 3.0 : person.weeks;
        person.held = i % 3 == 0 ? 3 : 7;
        person.first_day = 28 * (i % 14);
        person.rest_uv = i % 5 == 0 ? 6.0 : 2.0;
        person.rejected = i % 11 == 0 ? 2 : 0;
        person.assessed_on_day = i % 4 == 0 ? 6 : -1;
        people.push_back(person);
    }
    return people;
}

inline Audit made_audit(Audience audience) {
    AuditTally tally = tally_of(a_service());
    for (int i = 0; i < 7; ++i) tally.add_refused(ErrorKind::malformed);
    tally.add_refused(ErrorKind::too_short);
    return audit_service(tally,
                         {.by = Grouping::site, .audience = audience, .rest_below_uv = 4.0, .review_within_days = 7.0},
                         chart_person);
}

inline const AuditMeasure& measure_of(const Audit& audit, std::string_view key) {
    for (const AuditMeasure& measure : audit.measures) {
        if (measure.key == key) return measure;
    }
    throw Error(ErrorKind::bad_setting, "", "", "no such measure");
}

}  // namespace tracehold::test
