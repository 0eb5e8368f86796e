#pragma once
// The noun of this room: one person's sessions over time.
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {

// What a course says of one measure. There is no 'better': whether more is wanted is the clinician's to say.
enum class Statement { more, less, no_change_shown, not_enough };
std::string_view to_string(Statement statement);

// Where the size of the measurement error comes from.
enum class ErrorSource { own_repeats, published };
std::string_view to_string(ErrorSource source);

// One session as the course uses it.
struct CourseSession {
    std::size_t score = 0;           // index into the scores that were handed in
    std::chrono::sys_days day;       // by the clock of the place
    double since_first_days = 0.0;   // real time since the first session of the course, in days
    bool usable = true;              // the signal can be trusted enough to be scored
    std::size_t planned = 0, done = 0, counting = 0;  // contractions; counting: done on a usable signal
};

// A session that takes no part, and why ("recorded twice", "no date", "the signal was rejected: ...").
struct LeftOut {
    std::string source;
    std::string reason;
};

// One ISO week. planned: empty without a dose. days: sessions on each day, Monday first.
struct CourseWeek {
    int iso_year = 0;
    unsigned iso_week = 0;
    std::optional<double> planned_sessions;
    std::size_t sessions = 0;
    std::optional<double> planned_contractions;
    std::size_t contractions = 0;
    std::size_t counting = 0;
    std::size_t days[7] = {};
};

// Over the weeks from the first to the last session (part weeks count the days they have).
struct Adherence {
    std::vector<CourseWeek> weeks;
    std::optional<double> planned_sessions;
    std::size_t sessions = 0;
    std::optional<double> planned_contractions;
    std::size_t contractions = 0, counting = 0;
    double longest_gap_days = 0.0;
};

// value: the session mean; one per session that has one.
struct CoursePoint {
    std::size_t session = 0;  // index into Phase::sessions
    double value = 0.0;
};

// One measure over one phase. Amplitudes are treated on the log scale: change, mdc95 and slope are percent of the baseline; others (s, %) in their
// own unit: *_unit says which.
struct MeasureChange {
    std::string key;
    bool primary = false;         // one of the few that are tested, and accounted for together
    std::vector<CoursePoint> points;
    std::optional<double> baseline, current;  // block means (geometric for amplitudes)
    std::size_t baseline_n = 0, current_n = 0;
    std::string change_unit;      // "%" or the measure's own unit
    std::optional<double> change;
    std::optional<double> change_low, change_high;  // 95 % interval
    std::optional<double> sem, mdc95;               // in change_unit; of one session against another
    ErrorSource error_source = ErrorSource::published;
    std::optional<double> slope_per_week, slope_low, slope_high;  // Theil-Sen, in change_unit per week
    std::optional<double> p;           // Mann-Kendall, two-sided
    std::optional<double> p_adjusted;  // over all primary measures of the course together
    Statement statement = Statement::not_enough;
    std::string text;    // the statement in plain words with its figures
    std::string reason;  // where there is no statement
    bool plateau = false;
    std::string plateau_text;  // the evidence
};

enum class Purpose { training, assessment };
std::string_view to_string(Purpose purpose);

// Sessions that may be compared: same purpose, posture, channel, kind, processing and, for a single step, same step.
// plan_changes: dates at which the plan changed inside the phase, with the plan's name.
struct PlanChange {
    std::chrono::sys_days day;
    std::string plan;
};
struct Phase {
    Purpose purpose = Purpose::training;
    std::string posture;
    std::string channel;
    ChannelKind kind = ChannelKind::raw;
    std::string processing;   // band, window and method in words
    std::optional<int> step;  // assessments: the step of the plan that is compared
    std::string step_name;
    std::vector<CourseSession> sessions;  // in order of time
    std::vector<PlanChange> plan_changes;
    std::vector<MeasureChange> measures;
};

// A question for the clinician, never a prescription.
struct Question {
    std::string code;
    std::string text;
    std::string evidence;             // the figures it rests on
    std::string reason;               // why one might ask
    std::string source;               // of the rule: a publication, or 'common practice, no source'
    std::vector<std::string> sessions;  // names of the recordings it rests on
};

struct Course {
    std::string person;
    std::optional<CivilTime> first, last;
    std::size_t found = 0, used = 0;
    std::vector<LeftOut> left_out;
    Adherence adherence;
    std::vector<Phase> phases;
    std::size_t tested_measures = 0;  // how many primary measures were tested in all
    std::vector<Question> questions;
    std::vector<Note> notes;
};

}  // namespace tracehold
