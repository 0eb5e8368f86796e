#include "report/course_attendance.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>

#include "report/course_parts.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr const char* kLeftOut = "Left out, and noted";

std::string date_of(std::chrono::sys_days day) { return date_text({day, std::nullopt}); }

std::string weeks_text(const Adherence& seen) { return counted(weeks_of_training(seen), "week"); }

// "54 of 72 prescribed sessions (75 %)", "7 sessions where 6 were prescribed"
std::string done_of(std::size_t done, std::size_t wanted, std::string_view prescribed, std::string_view thing) {
    const double share = static_cast<double>(done) / static_cast<double>(wanted);
    if (done > wanted) return fmt::format("{} where {} were prescribed", counted(done, thing), wanted);
    return fmt::format("{} of {} {} ({} %)", done, wanted, prescribed, fixed_text(100.0 * share, 0));
}

constexpr const char* kScorable = "done on a signal that could be scored";
constexpr const char* kUntold = "how many contractions were done cannot be told, no signal could be scored";

// none_scored: then a count of 0 would read as if nothing had been done.
std::string against_dose(const Adherence& seen, bool none_scored) {
    const std::size_t due = wholly_due(*seen.planned_sessions);  // some: it is held against the dose
    const double of_due = static_cast<double>(due) / *seen.planned_sessions;
    const auto contractions = static_cast<std::size_t>(std::llround(*seen.planned_contractions * of_due));
    const std::string counting = done_of(seen.counting, contractions, "contractions of all prescribed sessions", "contraction");
    return fmt::format("{} in {}; {}.", done_of(seen.sessions, due, "prescribed sessions", "session"), weeks_text(seen),
                       none_scored ? kUntold : fmt::format("{} {}", counting, kScorable));
}

std::string by_itself(const Adherence& seen, bool none_scored) {
    const bool planned = seen.planned_sessions.has_value();
    const std::string time = seen.sessions == 1 ? "on " + date_of(trained_days(seen).first)
                             : planned          ? "in " + counted(static_cast<std::size_t>(std::max(1L, trained_days(seen).days())), "day")
                                     : "in " + weeks_text(seen);
    return fmt::format("{} {} ({}); {}.", counted(seen.sessions, "session"), time,
                       planned ? "too short a time to hold against the dose" : seen.reason,
                       none_scored ? kUntold : fmt::format("{} {}", counted(seen.counting, "contraction"), kScorable));
}

std::string silence_text(const PrescribedWeeks& prescribed, std::string_view after) {
    return fmt::format("in the {} days after {}, to {}", prescribed.silent_days, after, date_of(prescribed.counted_to));
}

// "... from one session to the next, and none in the 63 days after the last, to 2026-05-24."
std::string gap_text(const Adherence& seen) {
    const long days = std::lround(seen.longest_gap_days);
    std::string text = days <= 1 ? " Never much more than a day from one session to the next"
                                 : fmt::format(" At most {} days from one session to the next", days);
    if (fell_silent(seen)) {
        const bool counted_last = seen.prescribed->last_recording <= seen.prescribed->last_session;
        text += ", and none " + silence_text(*seen.prescribed, counted_last ? "the last" : "the last recording");
    }
    return text + ".";
}

std::string prescribed_text(const PrescribedWeeks& prescribed) {
    return fmt::format("The recordings end on {}; the plan covers {} weeks, to {}. {}", date_of(prescribed.last_recording),
                       number_text(prescribed.weeks), date_of(prescribed.last_day),
                       prescribed.counted_on ? "The weeks after the last recording are counted, as far as today."
                                             : "The time after the last recording is not counted as missed.");
}

// Where to find who is missing.
std::string missing_text(const Course& course) {
    std::string text;
    const auto add = [&](std::size_t count, std::string_view thing, std::string_view what) {
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", counted(count, thing), what);
    };
    add(course.rejected, "session", "with a signal that was not usable");
    add(course.refused.size(), "file", "that could not be read or scored");
    add(course.left_out.size(), "recording", "left out");
    return text.empty() ? "" : fmt::format("Missing from the figures: {}; named under '{}'.", text, kLeftOut);
}

// Many in one week and none in others are no dose kept.
std::string crowded_text(const Adherence& seen) {
    const std::size_t due = wholly_due(*seen.planned_sessions);
    const double share = static_cast<double>(seen.within_dose) / static_cast<double>(due);
    return fmt::format("{} of the {} prescribed ({} %) in the weeks they were due: {} more than was due in a week.", seen.within_dose, due,
                       fixed_text(100.0 * share, 0), seen.sessions - seen.within_dose);
}

// Weeks with less than half of what was due, which a share over all weeks hides. Where they are many the share tells it.
std::string poor_weeks(const Adherence& seen) {
    constexpr std::size_t kMostNamed = 3;
    std::string text;
    std::size_t poor = 0;
    for (const CourseWeek& week : seen.weeks) {
        const std::size_t due = wholly_due(week.planned_sessions.value_or(0.0));
        if (due < 2 || 2 * week.sessions >= due || ++poor > kMostNamed) continue;
        text += fmt::format("{}{} ({} of {})", text.empty() ? "" : ", ", date_of(week.monday), week.sessions, due);
    }
    return poor == 0 || poor > kMostNamed ? "" : fmt::format("Less than half in {} of {}.", poor == 1 ? "the week" : "the weeks", text);
}

constexpr const char* kDates = " A sessions list with a column 'start' says when they were made (--sessions FILE).";

constexpr const char* kPlans = " A sessions list with a column 'plan' says by which each was done (--sessions FILE).";

// What may be sessions of the dose, and is in none of its weeks.
std::string uncounted_text(const Adherence& seen) {
    std::string text;
    const auto add = [&](std::size_t count, std::string_view what) {
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", counted(count, "recording"), what);
    };
    add(seen.impossible_dates, "with a date that cannot be right");
    add(seen.undated_sessions, "without a date");
    add(seen.other_plans, "with cues of another plan");
    if (text.empty()) return "";
    return fmt::format("Not counted, and maybe sessions of the dose: {}.", text) + (seen.without_day() > 0 ? kDates : "") +
           (seen.other_plans > 0 ? kPlans : "");
}

std::string nothing_counted(const Course& course) {
    const std::string found = counted(course.found, "session");
    if (const std::size_t tests = assessments_in(course).all; tests > 0 && course.adherence.impossible_dates == 0)
        return fmt::format("{} with a date; no session of training among what was found.", counted(tests, "assessment"));
    if (course.adherence.impossible_dates == 0 && course.adherence.undated_sessions > 0 && course.adherence.undated_sessions == course.found)
        return found + " found, none with a date: what was done cannot be counted by week.";
    if (all_of_other_plans(course)) return fmt::format("{} found, {} cues of another plan than the one named: none can be counted.", found, course.found == 1 ? "it has" : "all have");
    if (course.adherence.impossible_dates == 0) return found + " found, none of them training with a date.";
    return fmt::format("{} found; {} a date that cannot be right, so what was done cannot be counted by week.{}", found,
                       course.adherence.impossible_dates == 1 ? "1 carries" : fmt::format("{} carry", course.adherence.impossible_dates), kDates);
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
            list.items.push_back(fmt::format("{} more for the same reason as others here ({}); the JSON of the course names them", count - kMostNamed, code));
    }
}

}  // namespace

Answer happened(const Course& course) {
    const Adherence& seen = course.adherence;
    Answer answer{.question = "Did it happen?", .text = {}, .tone = Tone::plain, .details = {}};
    if (seen.weeks.empty()) {
        answer.text = nothing_counted(course);
    } else {
        const bool none_scored = none_could_be_scored(course);
        answer.text = held_against_dose(seen) ? against_dose(seen, none_scored) : by_itself(seen, none_scored);
        if (seen.sessions > 1) answer.text += gap_text(seen);
        if (seen.sessions == 1 && fell_silent(seen))
            answer.text += " None " + silence_text(*seen.prescribed, "it") + ".";
        if (plan_goes_on(seen)) answer.details.push_back({prescribed_text(*seen.prescribed)});
        if (fell_silent(seen)) answer.tone = Tone::caution;
    }
    if (held_against_dose(seen) && seen.within_dose < seen.sessions && seen.within_dose < wholly_due(*seen.planned_sessions))
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
        "Of the latest plan, in sessions on a usable signal; not recorded: without a place in the recording",
        {{"Step"},
         {"Sessions", true},
         {"Planned", true},
         {"Done", true, "done"},
         {"Missed", true, "missed"},
         {"Unusable", true, "unusable"},
         {"Not recorded", true}},
        {},
        {}};
    for (const StepDone& step : course.adherence.steps) {
        const std::size_t placed = step.done + step.missed + step.unusable;
        const auto number = [](std::size_t n) { return Cell{fmt::format("{}", n), 0, {}}; };
        table.rows.push_back({Cell{step.name, 0, {}}, number(step.sessions), number(step.planned), number(step.done),
                              number(step.missed), number(step.unusable),
                              number(step.planned - std::min(step.planned, placed))});
    }
    return {"Which contractions were done", {std::move(table)}};
}

Section left_out_section(const Course& course) {
    List list;
    for (const LeftOut& one : course.refused) {
        list.items.push_back(fmt::format("{}: could not be read or scored: {}", one.source, one.reason));
    }
    std::set<std::size_t> named;  // a session of assessment stands in a phase for each step
    for (const Phase& phase : course.phases) {
        for (const CourseSession& session : phase.sessions) {
            if (session.usable || !named.insert(session.score).second) continue;
            list.items.push_back(fmt::format("{}: signal not usable: {}", session.source, session.reason));
        }
    }
    add_left_out(list, course.left_out);
    for (const Note& note : course.notes) list.items.push_back(note.text);
    if (list.items.empty()) return {};
    return {kLeftOut, {std::move(list)}};
}

}  // namespace tracehold
