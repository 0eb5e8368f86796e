#include "report/course_attendance.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>

#include "report/course_parts.hpp"
#include "report/en/course.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/did_it_happen.hpp"

namespace tracehold {
namespace {

std::string date_of(std::chrono::sys_days day) { return date_text({day, std::nullopt}); }

std::string weeks_text(const Adherence& seen) { return counted(weeks_of_training(seen), "week"); }

// "54 of 72 prescribed sessions (75 %)", "7 sessions where 6 were prescribed"
std::string done_of(std::size_t done, std::size_t wanted, std::string_view prescribed, std::string_view thing) {
    const double share = static_cast<double>(done) / static_cast<double>(wanted);
    if (done > wanted) return fmt::format(words::kWhereWerePrescribed, counted(done, thing), wanted);
    return fmt::format("{} of {} {} ({} %)", done, wanted, prescribed, fixed_text(100.0 * share, 0));
}

// none_scored: then a count of 0 would read as if nothing had been done.
std::string against_dose(const Adherence& seen, bool none_scored) {
    const std::size_t due = wholly_due(*seen.planned_sessions);  // some: it is held against the dose
    const double of_due = static_cast<double>(due) / *seen.planned_sessions;
    const auto contractions = static_cast<std::size_t>(std::llround(*seen.planned_contractions * of_due));
    const std::string counting = done_of(seen.of_dose().counting, contractions, words::kContractionsOfAllPrescribed, "contraction");
    return fmt::format("{} in {}; {}.", done_of(seen.of_dose().sessions, due, words::kPrescribedSessions, "session"), weeks_text(seen),
                       none_scored ? words::kDoneCannotBeTold : fmt::format("{} {}", counting, words::kDoneOnAUsableSignal));
}

std::string by_itself(const Adherence& seen, bool none_scored) {
    const bool planned = seen.planned_sessions.has_value();
    const Held held = seen.of_dose();
    const std::string time = seen.sessions == 1 ? "on " + date_of(trained_days(seen).first)
                             : planned          ? "in " + counted(static_cast<std::size_t>(std::max(1L, trained_days(seen).days())), "day")
                                     : "in " + weeks_text(seen);
    return fmt::format("{} {} ({}); {}.", counted(held.sessions, "session"), time,
                       planned ? words::kTooShortForTheDose : seen.reason,
                       none_scored ? words::kDoneCannotBeTold : fmt::format("{} {}", counted(held.counting, "contraction"), words::kDoneOnAUsableSignal));
}

std::string silence_text(const PrescribedWeeks& prescribed, std::string_view after) {
    return fmt::format(words::kInTheDaysAfter, prescribed.silent_days, after, date_of(prescribed.counted_to));
}

// "... from one session to the next, and none in the 63 days after the last, to 2026-05-24."
std::string gap_text(const Adherence& seen) {
    const long days = std::lround(seen.longest_gap_days);
    std::string text = days <= 1 ? words::kNeverMoreThanADay
                                 : fmt::format(words::kAtMostDays, days);
    if (fell_silent(seen)) {
        const bool counted_last = seen.prescribed->last_recording <= seen.prescribed->last_session;
        text += words::kAndNone + silence_text(*seen.prescribed, counted_last ? words::kTheLast : words::kTheLastRecording);
    }
    return text + ".";
}

std::string prescribed_text(const PrescribedWeeks& prescribed) {
    return fmt::format(words::kRecordingsEndBeforePlan, date_of(prescribed.last_recording),
                       number_text(prescribed.weeks), date_of(prescribed.last_day),
                       prescribed.counted_on ? words::kWeeksAfterCounted
                                             : words::kTimeAfterNotMissed);
}

// The days that no plan asks for anything: between plans, and after the last one where sessions came all the same.
std::string no_dose_text(const Adherence& seen) {
    std::string text;
    const auto add = [&](const std::string& sentence) { text += (text.empty() ? "" : " ") + sentence; };
    for (std::size_t i = 1; i < seen.counted.size(); ++i) {
        const std::chrono::sys_days from = seen.counted[i - 1].to + std::chrono::days{1}, to = seen.counted[i].from - std::chrono::days{1};
        if (from <= to) add(fmt::format(words::kNoPlanBetween, date_of(from), date_of(to)));
    }
    if (const std::string sessions = counted(seen.after_plan.sessions, "session"); seen.after_plan.sessions > 0)
        add(seen.counted.size() > 1 ? fmt::format(words::kOutsideOfThePlans, sessions) : fmt::format(words::kAfterThePlan, sessions));
    return text;
}

// Where to find who is missing.
std::string missing_text(const Course& course) {
    std::string text;
    const auto add = [&](std::size_t count, std::string_view thing, std::string_view what) {
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", counted(count, thing), what);
    };
    add(course.rejected, "session", words::kWithNoUsableSignal);
    add(course.refused.size(), "file", words::kThatCouldNotBeRead);
    add(course.left_out.size(), "recording", words::kLeftOutOfCourse);
    return text.empty() ? "" : fmt::format(words::kMissingFromTheFigures, text, words::kLeftOutAndNoted);
}

// Many in one week and none in others are no dose kept.
std::string crowded_text(const Adherence& seen) {
    const std::size_t due = wholly_due(*seen.planned_sessions);
    const double share = static_cast<double>(seen.within_dose) / static_cast<double>(due);
    return fmt::format(words::kOfThePrescribed, seen.within_dose, due,
                       fixed_text(100.0 * share, 0), seen.of_dose().sessions - seen.within_dose);
}

// Weeks with less than half of what was due, which a share over all weeks hides. Where they are many the share tells it.
std::string poor_weeks(const Adherence& seen) {
    constexpr std::size_t kMostNamed = 3;
    std::string text;
    std::size_t poor = 0;
    for (const CourseWeek& week : seen.weeks) {
        const std::size_t due = wholly_due(week.planned_sessions.value_or(0.0));
        const std::size_t held = week.sessions - week.after_plan.sessions;
        if (due < 2 || 2 * held >= due || ++poor > kMostNamed) continue;
        text += fmt::format("{}{} ({} of {})", text.empty() ? "" : ", ", date_of(week.monday), held, due);
    }
    return poor == 0 || poor > kMostNamed ? "" : fmt::format(words::kLessThanHalfIn, poor == 1 ? words::kTheWeek : words::kTheWeeks, text);
}

// What may be sessions of the dose, and is in none of its weeks.
std::string uncounted_text(const Adherence& seen) {
    std::string text;
    const auto add = [&](std::size_t count, std::string_view what) {
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", counted(count, "recording"), what);
    };
    add(seen.impossible_dates, words::kWithAnImpossibleDate);
    add(seen.undated_sessions, "without a date");
    add(seen.other_plans, words::kWithCuesOfAnotherPlan);
    if (text.empty()) return "";
    return fmt::format(words::kMaybeSessionsOfTheDose, text) + (seen.without_day() > 0 ? words::kSessionsListWithStart : "") +
           (seen.other_plans > 0 ? words::kSessionsListWithPlan : "");
}

std::string nothing_counted(const Course& course) {
    const std::string found = counted(course.found, "session");
    if (const std::size_t tests = assessments_in(course).all; tests > 0 && course.adherence.impossible_dates == 0)
        return fmt::format(words::kNoSessionOfTraining, counted(tests, "assessment"));
    if (course.adherence.impossible_dates == 0 && course.adherence.undated_sessions > 0 && course.adherence.undated_sessions == course.found)
        return found + words::kFoundNoneWithADate;
    if (all_of_other_plans(course)) return fmt::format(words::kFoundCuesOfAnotherPlan, found, course.found == 1 ? words::kItHas : words::kAllHave);
    if (course.adherence.impossible_dates == 0) return found + words::kFoundNoTrainingWithADate;
    return fmt::format(words::kFoundImpossibleDate, found,
                       course.adherence.impossible_dates == 1 ? "1 carries" : fmt::format("{} carry", course.adherence.impossible_dates), words::kSessionsListWithStart);
}

// Of very many the first of each kind and their number: the page stays one that is read.
void add_left_out(List& list, const std::vector<LeftOut>& left_out) {
    constexpr std::size_t kMostNamed = 50;  // our choice
    std::map<std::string, std::size_t> of_kind;
    for (const LeftOut& one : left_out) {
        if (++of_kind[one.code] <= kMostNamed) list.items.push_back(one.source + ": " + one.reason);
    }
    for (const auto& [code, count] : of_kind) {
        if (count > kMostNamed)
            list.items.push_back(fmt::format(words::kMoreForTheSameReason, count - kMostNamed, code));
    }
}

}  // namespace

Answer did_it_happen(const Course& course) {
    const Adherence& seen = course.adherence;
    Answer answer{.question = words::kDidItHappen, .text = {}, .tone = Tone::plain, .details = {}};
    if (seen.weeks.empty()) {
        answer.text = nothing_counted(course);
    } else {
        const bool none_scored = none_could_be_scored(course);
        answer.text = held_against_dose(seen) ? against_dose(seen, none_scored) : by_itself(seen, none_scored);
        if (seen.sessions > 1) answer.text += gap_text(seen);
        if (seen.sessions == 1 && fell_silent(seen))
            answer.text += words::kAndNoneOf + silence_text(*seen.prescribed, "it") + ".";
        if (plan_goes_on(seen)) answer.details.push_back({prescribed_text(*seen.prescribed)});
        if (const std::string none = no_dose_text(seen); !none.empty()) answer.details.push_back({none});
        if (fell_silent(seen)) answer.tone = Tone::caution;
    }
    if (held_against_dose(seen) && seen.within_dose < seen.of_dose().sessions && seen.within_dose < wholly_due(*seen.planned_sessions))
        answer.details.push_back({crowded_text(seen)});
    if (const std::string poor = held_against_dose(seen) ? poor_weeks(seen) : ""; !poor.empty()) answer.details.push_back({poor});
    const bool said = seen.weeks.empty() && seen.uncounted() == seen.impossible_dates;
    if (const std::string uncounted = uncounted_text(seen); !uncounted.empty() && !said) answer.details.push_back({uncounted, Tone::caution});
    if (const std::string missing = missing_text(course); !missing.empty()) {
        answer.details.push_back({missing, Tone::caution});
    }
    return answer;
}

Section steps_section(const Course& course) {
    if (course.adherence.steps.empty()) return {};
    ReportTable table{
        words::kOfTheLatestPlan,
        {{words::kStepColumn},
         {words::kSessions, true},
         {words::kPlanned, true},
         {words::kDoneColumn, true, "done"},
         {words::kMissedColumn, true, "missed"},
         {words::kUnusableColumn, true, "unusable"},
         {words::kNotRecordedColumn, true}},
        {},
        {}};
    for (const StepDone& step : course.adherence.steps) {
        const auto number = [](std::size_t n) { return Cell{fmt::format("{}", n), 0, {}}; };
        table.rows.push_back({Cell{step.name, 0, {}}, number(step.sessions), number(step.planned), number(step.done),
                              number(step.missed), number(step.unusable),
                              number(step.not_counted())});
    }
    return {words::kWhichContractionsWereDone, {std::move(table)}};
}

Section left_out_section(const Course& course) {
    List list;
    for (const LeftOut& one : course.refused) {
        list.items.push_back(fmt::format(words::kCouldNotBeRead, one.source, one.reason));
    }
    std::set<std::size_t> named;  // a session of assessment stands in a phase for each step
    for (const Phase& phase : course.phases) {
        for (const CourseSession& session : phase.sessions) {
            if (session.usable || !named.insert(session.score).second) continue;
            list.items.push_back(fmt::format(words::kSignalNotUsable, session.source, session.reason));
        }
    }
    add_left_out(list, course.left_out);
    for (const Note& note : course.notes) list.items.push_back(note.text);
    if (list.items.empty()) return {};
    return {words::kLeftOutAndNoted, {std::move(list)}};
}

}  // namespace tracehold
