#pragma once
// The noun of this room: one person's sessions over time.
#include <array>
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/course/measure_change.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// One session as the course uses it.
struct CourseSession {
    std::size_t score = 0;          // index into the scores that were handed in
    std::string source{};           // the recording's name
    std::chrono::sys_days day{};    // by the clock of the place
    double since_first_days = 0.0;  // since the first session of the course; sessions are in this order
    bool usable = true;             // see muscle_seen: where false it counts as a session, gives no value
    std::size_t planned = 0;        // contractions its plan asks for in one session
    std::size_t contractions = 0;   // those with a place in the recording: done, missed or unusable
    std::size_t counting = 0;       // done on a usable signal
    std::string reason{};           // why it is not usable; "" where it is
    std::string sha256{};           // of the recording, as the score has it; "" where it is not shown
    std::string plan{}, plan_sha256{};  // name, or file without one; "" = no plan
    std::vector<Correction> corrections{};  // by hand, those applied
};

// A session that takes no part, and why ("recorded twice: the same file as ...", "no date", "dated 1985-01-01: ...").
// other_plan: its cues are not those of the plan it was scored by, as of a visit among home sessions.
struct LeftOut {
    std::string source;
    std::string code;  // "duplicate", "overlap", "no_date", "impossible_date", "other_plan"; "refused" of an input
    std::string reason;
};

// A caution, and the sessions of the course that carry it: names of their recordings, in order of time.
struct CourseCaution {
    std::string code;  // of the finding
    std::vector<std::string> sessions;
};

// One ISO week. planned_*: by the dose in force, empty without one; a part week counts the days it has, and of a dose that
// leaves days open as many sessions as were done, if they fit into them: Monday and Thursday of '2 a week' were both due.
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
};

// What became of one step of the latest training plan, over its sessions on a usable signal.
struct StepDone {
    int step = 0;      // index into Plan::steps
    std::string name;  // "hold 6 s, 8 times"
    std::size_t sessions = 0;
    std::size_t planned = 0, done = 0, missed = 0, unusable = 0;  // what is left of planned has no place in a recording
    bool operator==(const StepDone&) const = default;
};

// The prescribed weeks of the latest plan, counted from the first training session, or from CourseSettings::begun before it.
struct PrescribedWeeks {
    double weeks = 0.0;
    std::chrono::sys_days last_day{};      // of the prescribed weeks
    std::chrono::sys_days last_session{};    // of training
    std::chrono::sys_days last_recording{};  // that, or a later one that is not counted, of whatever plan
    // The last prescribed day, or where sooner the day until which is counted (today where the caller gives none); never before
    // last_session, which it is where neither day is known.
    std::chrono::sys_days counted_to{};
    bool counted_on = false;  // weeks after the last session are counted, to counted_to
    // Days from last_recording to counted_to; 0 also where recordings have no day that can be right: they may lie in between.
    long silent_days = 0;
};

// Training sessions against the dose, over all weeks from the first to the last of them. Always true: weeks are
// consecutive; the totals are the sums of the weeks; undated sessions are in no week. planned_* are empty where any
// week has none. Only sessions of a plan count where any has one with a dose; without_plan says how many do not.
struct Adherence {
    std::vector<CourseWeek> weeks;
    std::optional<double> planned_sessions;
    std::size_t sessions = 0;
    std::optional<double> planned_contractions;
    std::size_t contractions = 0, counting = 0;
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

// Weeks from the first training session to the last, a part of one as a whole, at least one; those that the plan counts although
// no session came are among them. Our choice over calendar weeks, of which a Sunday and the Monday after make two.
std::size_t weeks_of_training(const Adherence& seen);

// Long enough, and enough prescribed, to hold what was done against the dose: a week, and three sessions (our choices). Whoever
// tells of adherence asks this one.
bool held_against_dose(const Adherence& seen);

// The plan of the sessions from this day on, where it differs from the one before.
struct PlanChange {
    std::chrono::sys_days day{};
    std::string plan;  // its name, or its file where it has none; "" = no plan
};

// How long a contraction is asked to last, and the rest after it; the fade, the release and the share of a longer hold are another's.
struct Lengths {
    double work_s = 0.0, rest_s = 0.0;
    double share = 1.0;  // of the plan's contractions of the kind, 0..1
    bool operator==(const Lengths&) const = default;
};

// From this day on the contractions are of other lengths than they were.
struct LengthsChange {
    std::chrono::sys_days day{};
    std::vector<Lengths> before;
    bool operator==(const LengthsChange&) const = default;
};

// Sessions that may be compared: same purpose, posture, channel, kind, processing, kind of contraction and lengths; in
// assessments one phase a step of the plan. A plan that changed in anything else is a line in the phase, not a new phase.
// Always true: sessions in order of time, at least one; measures in the order of course_measures(), those that at
// least one session has.
struct Phase {
    PlanPurpose purpose = PlanPurpose::training;
    std::string posture;  // "" = not stated
    std::string channel;
    ChannelKind kind = ChannelKind::raw;
    std::string processing;  // band, envelope and its window in words
    StepKind contraction = StepKind::hold;
    std::optional<int> step;  // assessments: index of the step of the plan
    std::string step_name;    // assessments: "hold 8 s, 5 times"
    std::vector<Lengths> lengths{};  // of the contractions that are compared, by the plan; empty without one
    std::optional<LengthsChange> lengths_change{};  // where an earlier phase is of other lengths, and otherwise alike
    bool lengths_given_up = false;                  // a later one is, and began after this one's last session
    std::vector<CourseSession> sessions;
    std::vector<PlanChange> plan_changes;
    std::vector<MeasureChange> measures;
};

// A question for the clinician, never a prescription.
struct Question {
    std::string code;
    std::string text;
    std::string evidence;               // the figures it rests on
    std::string reason;                 // why one might ask
    std::string source;                 // of the rule: a publication, or 'common practice, no source'
    std::vector<std::string> sessions;  // names of the recordings it rests on
    std::vector<std::string> later{};   // questions that apply as well and wait for this one
};

struct Course {
    std::string person;  // "" = not stated
    std::optional<CivilTime> first, last;
    std::size_t found = 0;          // scores handed in
    std::size_t used = 0;           // dated, counted once, on a usable signal
    std::size_t rejected = 0;       // dated, counted once, but the signal was rejected or no muscle was seen
    std::size_t used_with_caution = 0;
    std::vector<CourseCaution> cautions;  // of the used ones; the most frequent first
    std::vector<LeftOut> left_out;  // found = used + rejected + left_out
    std::vector<LeftOut> refused;   // inputs that gave no session at all, not in found; whose they are is not known
    Adherence adherence;
    std::vector<Phase> phases;
    std::size_t tested_measures = 0;  // how many primary measures were tested in all
    std::vector<Question> questions;
    std::vector<Note> notes;
};

// "5 s and 7 s of rest"; "" where they are not known.
std::string lengths_text(const std::vector<Lengths>& lengths);

// "hold contractions of ... from 2026-04-13 on, after those of ...: what was before and after is not compared". In: with a change.
std::string lengths_apart(const Phase& phase);

// Of sessions or contractions that a dose asks for in part weeks too, those that are wholly due: what a reader is told.
std::size_t wholly_due(double planned);

}  // namespace tracehold
