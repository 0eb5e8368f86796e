#include "report/course_attendance.hpp"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "report/course_parts.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr const char* kLeftOut = "Left out, and noted";

std::string date_of(std::chrono::sys_days day) { return date_text({day, std::nullopt}); }

// "12 weeks", "3 weeks, the first and the last in part". A last week without sessions is one that the plan counts.
std::string weeks_text(const Adherence& seen, const TrainedDays& span) {
    const CourseWeek &first = seen.weeks.front(), &last = seen.weeks.back();
    const bool first_part = span.any && span.first > first.monday;
    const bool last_part = span.any && span.last >= last.monday && span.last < last.monday + std::chrono::days{6};
    if (!first_part && !last_part) return counted(seen.weeks.size(), "week");
    if (seen.weeks.size() == 1) return "part of a week";
    return fmt::format("{}, {} in part", counted(seen.weeks.size(), "week"),
                       first_part && last_part ? "the first and the last"
                       : first_part            ? "the first"
                                               : "the last");
}

// "54 of 72 prescribed sessions (75 %)", "7 sessions where 6 were prescribed"
std::string done_of(std::size_t done, std::size_t wanted, std::string_view thing) {
    const double share = static_cast<double>(done) / static_cast<double>(wanted);
    if (done > wanted) return fmt::format("{} where {} were prescribed", counted(done, thing), wanted);
    return fmt::format("{} of {} prescribed {}s ({} %)", done, wanted, thing, fixed_text(100.0 * share, 0));
}

constexpr const char* kScorable = "done on a signal that could be scored";

std::string against_dose(const Adherence& seen, const TrainedDays& span) {
    const std::size_t due = wholly_due(*seen.planned_sessions);  // some: it is held against the dose
    const double of_due = static_cast<double>(due) / *seen.planned_sessions;
    const auto contractions = static_cast<std::size_t>(std::llround(*seen.planned_contractions * of_due));
    return fmt::format("{} in {}; {} {}.", done_of(seen.sessions, due, "session"), weeks_text(seen, span),
                       done_of(seen.counting, contractions, "contraction"),
                       kScorable);
}

std::string by_itself(const Adherence& seen, const TrainedDays& span) {
    const bool planned = seen.planned_sessions.has_value();
    const std::string time = planned ? "in " + counted(static_cast<std::size_t>(std::max(1L, span.days())), "day")
                                     : "in " + weeks_text(seen, span);
    return fmt::format("{} {} ({}); {} {}.", counted(seen.sessions, "session"), time,
                       planned ? "too short a time to hold against the dose" : seen.reason,
                       counted(seen.counting, "contraction"), kScorable);
}

std::string silence_text(const PrescribedWeeks& prescribed, std::string_view after) {
    return fmt::format("in the {} days after {}, to {}", prescribed.silent_days, after, date_of(silent_to(prescribed)));
}

// "... from one session to the next, and none in the 63 days after the last, to 2026-05-24."
std::string gap_text(const Adherence& seen) {
    const long days = std::lround(seen.longest_gap_days);
    std::string text = days <= 1 ? " Never much more than a day from one session to the next"
                                 : fmt::format(" At most {} days from one session to the next", days);
    if (fell_silent(seen)) text += ", and none " + silence_text(*seen.prescribed, "the last");
    return text + ".";
}

std::string prescribed_text(const PrescribedWeeks& prescribed) {
    return fmt::format("The recordings end on {}; the plan covers {} weeks, to {}. {}", date_of(prescribed.last_session),
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

}  // namespace

Answer happened(const Course& course) {
    const Adherence& seen = course.adherence;
    Answer answer{.question = "Did it happen?", .text = {}, .tone = Tone::plain, .details = {}};
    if (seen.weeks.empty()) {
        answer.text = fmt::format("{} found, none of them training with a date.", counted(course.found, "session"));
    } else {
        const TrainedDays span = trained_days(seen);
        answer.text = held_against_dose(seen) ? against_dose(seen, span) : by_itself(seen, span);
        if (seen.sessions > 1) answer.text += gap_text(seen);
        if (seen.sessions == 1 && fell_silent(seen))
            answer.text += " None " + silence_text(*seen.prescribed, "it") + ".";
        if (plan_goes_on(seen)) answer.details.push_back({prescribed_text(*seen.prescribed)});
        if (fell_silent(seen)) answer.tone = Tone::caution;
    }
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
    for (const LeftOut& one : course.left_out) list.items.push_back(one.source + ": " + one.reason);
    for (const Note& note : course.notes) list.items.push_back(note.text);
    if (list.items.empty()) return {};
    return {kLeftOut, {std::move(list)}};
}

}  // namespace tracehold
