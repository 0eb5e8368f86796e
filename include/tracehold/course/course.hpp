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
#include "tracehold/course/adherence.hpp"
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

// From this day on contractions are held against another threshold than before.
struct ThresholdChange {
    std::chrono::sys_days day{};
    Threshold before{};
    bool operator==(const ThresholdChange&) const = default;
};

// Where a rest step stands in its plan: rests are mostly of one length, and told apart by it.
enum class RestPlace { between, opening, closing };

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
    StepKind contraction = StepKind::hold;  // rest: a rest step, of which only the resting activity is compared
    std::optional<int> step;  // assessments: index of the step of the plan
    std::string step_name;    // assessments: "hold 8 s, 5 times"
    bool twin_step = false;   // another step of the plan is of its kind and length: step_name has its number
    RestPlace place = RestPlace::between;  // of a rest step
    bool first_of_kind = true;  // assessments: no earlier step of the plan is of its kind; see assessed_measure
    std::vector<Lengths> lengths{};  // of the contractions that are compared, by the plan; empty without one
    std::optional<LengthsChange> lengths_change{};  // where an earlier phase is of other lengths, and otherwise alike
    bool lengths_given_up = false;                  // a later one is, and began after this one's last session
    // The threshold now in force, in microvolts where they are stated: that of the latest session that has one. What is measured by
    // it is compared, and looked at by rules, among its own sessions only.
    std::optional<Threshold> threshold{};
    std::optional<ThresholdChange> threshold_change{};  // the latest
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
    std::optional<std::size_t> phase{};  // it is asked of; empty: of the whole course
};

// A question whose rule applies, and that waits while something else holds which the table names with it.
struct WaitingQuestion {
    std::string code;
    std::string text;
    std::string because;                // the figures that hold it back
    std::vector<std::string> sessions;  // names of the recordings those rest on
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
    std::vector<WaitingQuestion> waiting;
    std::vector<Note> notes;
};

// "5 s and 7 s of rest"; "" where they are not known.
std::string lengths_text(const std::vector<Lengths>& lengths);

// "hold contractions of ... from 2026-04-13 on, after those of ...: what was before and after is not compared". In: with a change.
std::string lengths_apart(const Phase& phase);

// "assessment, lying, EMG PFM, hold 5 s, 3 times": what tells a phase from the others of its course.
std::string conditions_text(const Phase& phase);

// Hold mean is shown to have moved, and its share of the best second stays: a muscle and a set-up that changed look the same. The
// question that follows, in words; "" where it does not.
std::string set_up_question(const Phase& phase);

// "threshold 25.0 µV from 2026-11-27 on, 18.0 µV before: ...". In: with a change.
std::string threshold_apart(const Phase& phase);

}  // namespace tracehold
