#pragma once
// Every code of the local system, in one place: the resources and the code system take them from here.
#include <string>
#include <string_view>

#include "exchange/fhir_parts.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold::fhir {

inline const Code kSession{"session", "Session of pelvic-floor contractions, scored from surface EMG"};
inline const Code kSessionReport{"session_report", "Report on a session of pelvic-floor contractions"};
inline const Code kUsable{"signal_usable", "Signal usable"};
inline const Code kMuscleSeen{"muscle_seen", "Muscle seen"};
inline const Code kPlanned{"contractions_planned", "Contractions planned"};
inline const Code kDone{"contractions_done", "Contractions done"};
inline const Code kMissed{"contractions_missed", "Contractions missed"};
inline const Code kExtra{"contractions_extra", "Contractions beside the plan"};
inline const Code kUnusable{"contractions_unusable", "Contractions without a usable signal"};
inline const Code kNotRecorded{"contractions_not_recorded", "Contractions without a place in the recording"};
inline const Code kLeftOutByHand{"contractions_left_out", "Contractions left out by hand"};
inline const Code kOver{"measures_over", "Kind of contraction that the means are of"};
inline const Code kNoiseFloor{"noise_floor_uv", "Quietest level"};
inline const Code kReference{"reference_uv", "Reference contraction of the session"};
inline const Code kThreshold{"threshold_uv", "Threshold"};
inline const Code kLocalTime{"local_time", "Time of day at the place of the recording"};
inline const Code kDayOffset{"day_offset", "Days since the person's first recording"};

inline const Code kCourseReport{"course_report", "Report on weeks of sessions"};
inline const Code kAdherence{"course_adherence", "Training sessions held of those prescribed"};
inline const Code kSessionsHeld{"sessions_held", "Training sessions held"};
inline const Code kSessionsAfterPlan{"sessions_after_plan", "Training sessions held outside of the weeks of a plan"};
inline const Code kSessionsPrescribed{"sessions_prescribed", "Training sessions prescribed"};
inline const Code kContractionsPrescribed{"contractions_prescribed", "Contractions prescribed"};
inline const Code kContractionsPlaced{"contractions_recorded", "Contractions with a place in a recording"};
inline const Code kContractionsCounting{"contractions_scored", "Contractions done on a usable signal"};
inline const Code kSessionsFound{"sessions_found", "Sessions found"};
inline const Code kSessionsUsed{"sessions_used", "Sessions used"};
inline const Code kSessionsRejected{"sessions_rejected", "Sessions whose signal was not usable"};
inline const Code kSessionsLeftOut{"sessions_left_out", "Sessions left out"};
inline const Code kFilesRefused{"files_refused", "Files that could not be read or scored"};
inline const Code kPhase{"phase", "Phase of the course"};
inline const Code kPurpose{"phase_purpose", "Purpose of the phase"};
inline const Code kPosture{"phase_posture", "Posture"};
inline const Code kChannel{"phase_channel", "Channel"};
inline const Code kContraction{"phase_contraction", "Kind of contraction"};
inline const Code kLengths{"phase_lengths", "Lengths of contraction and rest"};
inline const Code kStep{"phase_step", "Step of the plan"};
inline const Code kSessionValues{"sessions_with_value", "Sessions with a value"};
inline const Code kTested{"change_tested", "Change tested"};
inline const Code kRelative{"change_relative", "Change as a share"};
inline const Code kChangeInterval{"change_ci95", "Change, 95 % interval"};
inline const Code kSlopeInterval{"slope_ci95", "Slope, 95 % interval"};
inline const Code kErrorSource{"error_source", "Source of the measurement error"};

Code of_term(std::string_view key);                // a word of course_terms()
Code over_a_course(const CourseMeasure& measure);  // "work_mean_uv.course"
Code mean_of(const Measure& measure);              // "work_mean_uv"
Code sd_of(const Measure& measure);                // "work_mean_uv.sd"
Code count_of(const Measure& measure);             // "work_mean_uv.n"

}  // namespace tracehold::fhir
