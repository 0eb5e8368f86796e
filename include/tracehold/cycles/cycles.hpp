#pragma once
// The noun of this room: the contractions of a session, each with its cues and its true start and end.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/note.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

enum class CueSource {
    marks,    // marks in the file
    start,    // the plan, from a start time the user gave
    aligned,  // the plan, fitted to the trace: cue times are estimates
    trace,    // no plan, or none that the trace follows: work windows are the contractions themselves
};
std::string_view to_string(CueSource source);

enum class CycleStatus {
    done,      // cued (or found in the trace) and contracted
    missed,    // cued, no contraction found
    extra,     // a contraction that no cue asked for, or one beyond the plan
    unusable,  // too little valid signal to say
};
std::string_view to_string(CycleStatus status);

// When a contraction begins, beside the time after its cue at which this person mostly begins in this session.
enum class Begins { as_usual, early, late };
std::string_view to_string(Begins begins);

// When something happened: the best single answer, its standard error and its 95 % interval.
struct EventTime {
    double time_s = 0.0;
    double error_s = 0.0;
    double low_s = 0.0;
    double high_s = 0.0;
    bool corrected = false;  // set by a clinician; then the interval is empty: low = high = time
    bool operator==(const EventTime&) const = default;
};

// Always true: work.begin < work.end <= rest.begin (equal) <= rest.end; onset only with status done or extra; where onset or
// offset is empty its reason is not.
struct Cycle {
    int index = 1;            // in order of time, from 1; a dropped one leaves a gap, those added by hand follow after the last
    std::optional<int> step;  // of the plan; empty for extra ones and without a plan
    StepKind kind = StepKind::hold;
    TimeSpan work;  // [contract cue, relax cue)
    TimeSpan rest;  // [relax cue, next contract cue or end of the rest)
    CycleStatus status = CycleStatus::done;
    std::optional<EventTime> onset;
    std::optional<EventTime> offset;
    std::optional<Begins> begins;  // empty without cues or onset, and where too few others tell what is usual
    std::optional<double> rise_20_s;  // when the rise passes 20 % of its height: depends less on the shape of the rise
    std::optional<double> fall_20_s;
    std::string onset_reason;
    std::string offset_reason;
    std::vector<std::string> corrected;  // "cue", "onset", "offset", "added", "status", "rest" (its own or the one before), "mask"
};

// Always true: cycles in order of time; work windows do not overlap.
struct Cycles {
    CueSource from = CueSource::trace;
    std::optional<double> offset_s;    // start of the plan in the recording; empty for marks and trace
    std::optional<double> confidence;  // 0..1, aligned only: how sure that the shift is right within 0.5 s
    std::vector<Cycle> cycles;
    std::vector<Note> notes;
};

struct CycleSettings {
    std::optional<Seconds> start;  // of the plan in the recording, given by the user
};

}  // namespace tracehold
