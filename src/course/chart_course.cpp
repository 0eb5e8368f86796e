// Order: which sessions take part; adherence; phases; the figures of each measure; all tests accounted for together;
// statements; questions.
#include "tracehold/course/chart_course.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <map>
#include <set>

#include "course/admit_sessions.hpp"
#include "course/change.hpp"
#include "course/follow_dose.hpp"
#include "course/phases.hpp"
#include "course/questions.hpp"
#include "course/trend.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/course/other_versions.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/measures/same_numbers.hpp"

namespace tracehold {
namespace {

// The one person named; recordings that name nobody are taken as hers, with a note.
std::string person_of(std::span<const SessionScore> scores, std::vector<Note>& notes) {
    std::vector<std::string> people = people_of(scores);
    const bool some_unnamed = !people.empty() && people.front().empty();
    if (some_unnamed) people.erase(people.begin());
    if (people.size() > 1) {
        throw Error(ErrorKind::bad_setting, "", "",
                    fmt::format("recordings of {} persons: saw '{}' and '{}'{}, expected one person", people.size(),
                                shown(people[0]), shown(people[1]), people.size() > 2 ? " among others" : ""),
                    "'--person CODE' picks one, '--by-person' writes a course for each");
    }
    if (people.empty()) return "";
    if (some_unnamed) {
        const auto unnamed = std::count_if(scores.begin(), scores.end(),
                                           [](const SessionScore& score) { return score.recording.person.empty(); });
        notes.push_back({"person_not_stated", "",
                         fmt::format("{} of {} recordings name no person, they were taken as those of {}", unnamed,
                                     scores.size(), shown(people.front()))});
    }
    return people.front();
}

void add_caution(std::vector<CourseCaution>& cautions, const std::string& code, const std::string& session) {
    auto found = std::find_if(cautions.begin(), cautions.end(), [&](const CourseCaution& one) { return one.code == code; });
    if (found == cautions.end()) found = cautions.insert(found, {code, {}});
    if (found->sessions.empty() || found->sessions.back() != session) found->sessions.push_back(session);
}

void count_cautions(Course& course, const AdmittedSessions& sessions) {
    for (const SessionScore* score : sessions.scores) {
        if (!muscle_seen(*score)) continue;
        bool any = false;
        for (const Finding& finding : score->quality.findings) {
            if (finding.severity == Severity::note) continue;
            add_caution(course.cautions, finding.code, score->recording.source);
            any = true;
        }
        if (any) ++course.used_with_caution;
    }
    std::stable_sort(course.cautions.begin(), course.cautions.end(),
                     [](const CourseCaution& a, const CourseCaution& b) { return a.sessions.size() > b.sessions.size(); });
}

void count_sessions(Course& course, const AdmittedSessions& sessions) {
    for (const SessionScore* score : sessions.scores) ++(muscle_seen(*score) ? course.used : course.rejected);
    count_cautions(course, sessions);
    if (sessions.scores.empty()) return;
    course.first = sessions.scores.front()->recording.start;
    course.last = sessions.scores.back()->recording.start;
}

std::vector<CoursePoint> points_of(const Phase& phase, std::span<const SessionScore> scores, std::string_view key) {
    std::vector<CoursePoint> points;
    for (std::size_t i = 0; i < phase.sessions.size(); ++i) {
        const SessionScore& score = scores[phase.sessions[i].score];
        const auto value = value_in(phase, score, key);
        if (!value) continue;
        const bool at_least = key == "endurance_s" && value_in(phase, score, "endurance_censored").value_or(0.0) > 0.0;
        points.push_back({i, *value, is_comparable(phase, score, key), at_least});
    }
    return points;
}

void follow_measures(Phase& phase, std::span<const SessionScore> scores, std::size_t min_days) {
    for (const CourseMeasure& measure : course_measures()) {
        auto points = points_of(phase, scores, measure.key);
        if (points.empty()) continue;
        phase.measures.push_back(follow_measure({measure, std::move(points), phase.sessions, min_days, is_primary(phase, measure)}));
    }
}

// One limit for all tests of the course together.
void account_for_tests(Course& course) {
    std::vector<MeasureChange*> tested;
    std::vector<double> p;
    for (Phase& phase : course.phases) {
        for (MeasureChange& change : phase.measures) {
            if (!is_tested(change)) continue;
            tested.push_back(&change);
            p.push_back(*change.p);
        }
    }
    const auto adjusted = adjust_together(p);
    for (std::size_t i = 0; i < tested.size(); ++i) tested[i]->p_adjusted = adjusted[i];
    course.tested_measures = tested.size();
    for (Phase& phase : course.phases) {
        for (MeasureChange& change : phase.measures) state_change(change, tested.size());
    }
}

// In: no session takes part.
std::string why_none(const Adherence& seen) {
    if (seen.other_plans == 0) return "no recording has a date that can be used: nothing can be followed over time";
    if (seen.without_day() == 0) return "every recording has cues of another plan than the one named for it: nothing can be followed over time";
    return "no recording has both a date that can be used and the cues of the plan named for it: nothing can be followed over time";
}

void note_sessions(Course& course) {
    if (course.found > 0 && course.used == 0) {
        const bool all_rejected = course.rejected > 0;
        course.notes.push_back({all_rejected ? "all_rejected" : "nothing_to_compare", "",
                                all_rejected ? "no dated session has a usable signal: they count as sessions, nothing is said of the muscle"
                                             : why_none(course.adherence)});
    }
    if (course.used == 1) {
        course.notes.push_back({"one_session", "", "one session only: it can be described, not followed"});
    }
}

void note_versions(Course& course, const AdmittedSessions& sessions) {
    std::set<std::string> others;
    std::size_t made_by_others = 0;
    for (const SessionScore* score : sessions.scores) {
        if (score->tool_version == kVersion) continue;
        others.insert(score->tool_version);
        ++made_by_others;
    }
    if (others.empty()) return;
    const std::size_t all = sessions.scores.size();
    course.notes.push_back(other_versions_note(
        fmt::format("{} of {} {} {}", made_by_others, all, all == 1 ? "session" : "sessions", made_by_others == 1 ? "was" : "were"), others));
}

// The same to the byte they count once; with another name, date or header in the file nothing says which is the true one.
void note_same_samples(Course& course, const AdmittedSessions& sessions) {
    constexpr std::size_t kMostNamed = 3;
    std::map<std::uint64_t, const SessionScore*> seen;
    std::string pairs;
    std::size_t again = 0;
    for (const SessionScore* score : sessions.scores) {
        const std::uint64_t mark = mark_of_numbers(*score);
        if (mark == 0 || !muscle_seen(*score)) continue;
        const auto [first, is_new] = seen.emplace(mark, score);
        const bool other_channel = !is_new && !score->recording.sha256.empty() && first->second->recording.sha256 == score->recording.sha256;
        if (is_new || other_channel || ++again > kMostNamed) continue;
        pairs += fmt::format("{}{} as {}", pairs.empty() ? "" : ", ", shown(score->recording.source, 200), shown(first->second->recording.source, 200));
    }
    if (again == 0) return;
    course.notes.push_back({"same_samples", "",
                            fmt::format("{} {} the same samples as an earlier one under another name, date or header ({}{}): every number is the "
                                        "same to the last digit; each counts, so which is the true one?",
                                        again, again == 1 ? "recording holds" : "recordings hold", pairs, again > kMostNamed ? " ..." : "")});
}

void note_adherence(Course& course) {
    const std::size_t without = course.adherence.without_plan;
    if (without == 0) return;
    course.notes.push_back(
        {"sessions_without_plan", "",
         fmt::format("{} {} no plan and {} not counted against the dose", without,
                     without == 1 ? "session names" : "sessions name", without == 1 ? "is" : "are")});
}

// The steps of an assessment are one set.
std::size_t sets_of_conditions(const std::vector<Phase>& phases) {
    std::size_t sets = 0;
    for (std::size_t i = 0; i < phases.size(); ++i) {
        const Phase& phase = phases[i];
        const bool step_of_earlier = std::any_of(phases.data(), phases.data() + i, [&](const Phase& other) {
            return phase.purpose == PlanPurpose::assessment && other.purpose == phase.purpose && other.posture == phase.posture &&
                   other.channel == phase.channel && other.kind == phase.kind && other.processing == phase.processing;
        });
        sets += step_of_earlier ? 0 : 1;
    }
    return sets;
}

// Those that stand in the phase of each step of an assessment are noted once.
void add_once(std::vector<Note>& notes, Note note) {
    const auto same = [&](const Note& other) { return other.code == note.code && other.place == note.place && other.text == note.text; };
    if (std::none_of(notes.begin(), notes.end(), same)) notes.push_back(std::move(note));
}

void note_phases(Course& course) {
    for (const Phase& phase : course.phases) {
        if (phase.posture.empty()) {
            const bool one = phase.sessions.size() == 1;
            add_once(course.notes,
                {"posture_not_stated", shown(phase.channel),
                 one ? "1 session names no posture, it is compared with none that does"
                     : fmt::format("{} sessions name no posture: they are compared among themselves as if it were the same, which nobody says",
                                   phase.sessions.size())});
        }
        if (phase.lengths_change) {
            add_once(course.notes, {"lengths_changed", date_text({phase.lengths_change->day, std::nullopt}), lengths_apart(phase)});
        }
        if (phase.threshold_change) {
            add_once(course.notes, {"threshold_changed", date_text({phase.threshold_change->day, std::nullopt}), threshold_apart(phase)});
        }
        for (const PlanChange& change : phase.plan_changes) {
            add_once(course.notes,
                {"plan_changed", date_text({change.day, std::nullopt}),
                 change.plan.empty()
                     ? fmt::format("from {} on no plan is named: what differs after it may be the plan's doing", date_text({change.day, std::nullopt}))
                     : fmt::format("from {} on by another plan, '{}': what differs after it may be the plan's doing",
                                   date_text({change.day, std::nullopt}), shown(change.plan))});
        }
    }
    if (const std::size_t sets = sets_of_conditions(course.phases); sets > 1) {
        course.notes.push_back({"conditions_differ", "", fmt::format("the sessions fall into {} sets of conditions, each is compared only within itself", sets)});
    }
}

}  // namespace

Course chart_course(std::span<const SessionScore> scores, const CourseSettings& settings) {
    Course course;
    course.person = person_of(scores, course.notes);
    course.found = scores.size();
    AdmittedSessions sessions = admit_sessions(scores, settings.today);
    count_sessions(course, sessions);
    course.adherence = follow_dose(sessions, settings);
    course.phases = split_phases(sessions);
    for (Phase& phase : course.phases) follow_measures(phase, scores, settings.min_days);
    account_for_tests(course);
    note_sessions(course);
    note_adherence(course);
    note_versions(course, sessions);
    note_same_samples(course, sessions);
    note_phases(course);
    const std::vector<Rule> rules = settings.rules ? *settings.rules : default_rules();
    for (Note& note : notes_on_rules(course, scores, rules)) course.notes.push_back(std::move(note));
    AskedQuestions questions = ask_questions(course, scores, rules);
    course.questions = std::move(questions.asked);
    course.waiting = std::move(questions.waiting);
    course.left_out = std::move(sessions.left_out);
    course.refused = settings.refused;
    return course;
}

}  // namespace tracehold
