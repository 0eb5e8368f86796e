#pragma once
// What was done against the dose that the plan asks for, week by week.
#include <algorithm>
#include <array>
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace tracehold {

// What took place in some sessions: see CourseSession.
struct Held {
    std::size_t sessions = 0, contractions = 0, counting = 0;
    bool operator==(const Held&) const = default;
};

// One ISO week. planned_*: by the dose in force, empty without one; a part week counts the days it has, and of a dose that
// leaves days open as many sessions as were done, if they fit into them: Monday and Thursday of '2 a week' were both due.
// Days outside of the plan's weeks ask for nothing.
struct CourseWeek {
    int iso_year = 0;
    unsigned iso_week = 0;
    std::chrono::sys_days monday{};
    std::optional<double> planned_sessions;
    std::size_t sessions = 0;
    std::optional<double> planned_contractions;
    std::size_t contractions = 0;  // as in CourseSession
    std::size_t counting = 0;
    std::array<std::size_t, 7> days{};  // sessions on each day, Monday first
    Held after_plan{};                  // of all these, what came outside of a plan's weeks: after it, or between two
};

// What became of one step of the latest training plan, over its sessions on a usable signal.
struct StepDone {
    int step = 0;      // index into Plan::steps
    std::string name;  // "hold 6 s, 8 times"
    std::size_t sessions = 0;
    std::size_t planned = 0, done = 0, missed = 0, unusable = 0;
    // What is left of planned: without a place in the recording, or left out by hand.
    std::size_t not_counted() const { return planned - std::min(planned, done + missed + unusable); }
    bool operator==(const StepDone&) const = default;
};

// Days over which a dose is counted, both ends among them.
struct CountedDays {
    std::chrono::sys_days from{}, to{};
    bool operator==(const CountedDays&) const = default;
};

// The prescribed weeks of the latest plan, counted from the first training session or one of CourseSettings::before. A plan that
// first comes after the weeks of the one before it begins its own. One that first comes within them goes on with them, as a plan
// that was only changed does; where it asks for other steps or another dose its weeks may as well have begun with it: then sessions
// are of its weeks to the later end, and what did not come is missed to the sooner one; a session behind that shows the later to hold.
struct PrescribedWeeks {
    double weeks = 0.0;
    std::chrono::sys_days last_day{};      // of the prescribed weeks; of two ends the sooner, unless a session lies behind it
    std::chrono::sys_days last_session{};    // of training
    std::chrono::sys_days last_recording{};  // that, or a later one that is not counted, of whatever plan
    // The last prescribed day, or where sooner the day until which is counted (today where the caller gives none); never before the
    // last session of these weeks, which it is where neither day is known.
    std::chrono::sys_days counted_to{};
    bool counted_on = false;  // weeks after the last session are counted, to counted_to
    // Days from last_recording to counted_to; 0 also where recordings have no day that can be right: they may lie in between.
    long silent_days = 0;
};

// Training sessions against the dose, over all weeks from the first to the last of them, and those that are counted before and after.
// Always true: weeks are consecutive; the totals are the sums of the weeks; undated sessions are in no week. planned_* are empty where
// any week has none. What came after the weeks of a plan stands in after_plan: it is no part of the dose, neither asked for nor done of
// it. Only sessions of a plan count where any has one with a dose; without_plan says how many do not.
struct Adherence {
    std::vector<CourseWeek> weeks;
    std::optional<double> planned_sessions;
    std::size_t sessions = 0;
    std::optional<double> planned_contractions;
    std::size_t contractions = 0, counting = 0;
    Held after_plan{};  // of the sessions and contractions above
    Held of_dose() const {
        return {sessions - after_plan.sessions, contractions - after_plan.contractions, counting - after_plan.counting};
    }
    // One for each plan whose weeks follow on those of another; from its first session on, or CourseSettings::count_from, to its last day where a session came
    // later, else as far as is counted. Empty where nothing is planned.
    std::vector<CountedDays> counted;
    std::size_t within_dose = 0;  // of the sessions those due in their week: more of them in one week do not fill another
    // Recordings that are not counted, of which some may have been sessions of the dose: without a date, with one that cannot be
    // right, or with cues of another plan.
    std::size_t undated_sessions = 0, impossible_dates = 0, other_plans = 0;
    std::size_t without_day() const { return undated_sessions + impossible_dates; }
    std::size_t uncounted() const { return without_day() + other_plans; }
    double longest_gap_days = 0.0;  // between two neighbouring sessions
    std::string reason;             // why nothing is planned; "" where it is
    std::size_t without_plan = 0;   // training sessions that name no plan, whose cues are not those of a known one
    std::vector<StepDone> steps;    // in the order of the plan; empty without one
    std::optional<PrescribedWeeks> prescribed;  // empty where the latest plan says no weeks
};

// First and last day with a training session.
struct TrainedDays {
    std::chrono::sys_days first{}, last{};
    bool any = false;
    long days() const { return any ? (last - first).count() + 1 : 0; }
};
TrainedDays trained_days(const Adherence& seen);

// Sessions of a week that were due in it; of a dose that is no whole number the next larger one, since that many are done in
// some of its weeks.
std::size_t within_dose(const CourseWeek& week);

// Weeks over which the dose is counted; where nothing is planned, from the first training session to the last. A part of one is a
// whole, at least one. Our choice over calendar weeks, of which a Sunday and the Monday after make two.
std::size_t weeks_of_training(const Adherence& seen);

// Long enough, and enough prescribed, to hold what was done against the dose: a week of counted days, and three sessions (our choices). Whoever
// tells of adherence asks this one.
bool held_against_dose(const Adherence& seen);

// Of sessions or contractions that a dose asks for in part weeks too, those that are wholly due: what a reader is told.
std::size_t wholly_due(double planned);

}  // namespace tracehold
