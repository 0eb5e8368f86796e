#pragma once
// What the findings of a session leave in doubt, for pages that do not tell the findings themselves.
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/language.hpp"

namespace tracehold {

// The cues may not be those that the contractions follow: what is counted is counted at the cues.
bool cues_may_be_off(const SessionScore& score);

// The marks are those of more or other contractions than the plan's: what was asked for, and what is extra, is not known.
bool marks_of_another_plan(const SessionScore& score);
// An extra contraction may be one that a mark asked for, but not the plan.
bool extra_may_be_marked(const SessionScore& score);

// What the trace shows may be the work of another muscle.
bool other_muscle_in_doubt(const SessionScore& score);

// The recording may have been ended before the plan was.
bool may_have_stopped(const SessionScore& score);

// Every contraction that was not seen may have been done: the electrode may not have seen the muscle, contractions hardly stand
// out, or the cues may be off.
bool any_unseen_may_be_done(const SessionScore& score);
// ... or some of them, before which the muscle had not let go.
bool unseen_may_be_done(const SessionScore& score);

// A finding of which the electrode, its contact or its cable may be the cause.
bool electrode_in_doubt(const SessionScore& score);

// A finding that may make amplitudes read too high or too low: hum and loose contacts read like a busy muscle.
bool amplitudes_in_doubt(const SessionScore& score);

// "cable or electrode moved, strong mains hum in 0.7 s, left out": the findings that are more than a note, each name once,
// in the order found. What has no short name is said to be there. "" = none.
std::string doubts_of(const SessionScore& score, Language language);

// "late or incomplete release (8), cue times estimated (2)": the most frequent cautions of a course, each with its sessions.
// "" = none.
std::string frequent_doubts_of(const Course& course, Language language);

// The sessions of a course in which something was hard to read. That cue times were estimated is no such doubt.
std::size_t sessions_in_doubt(const Course& course);

}  // namespace tracehold
