#pragma once
// Every code of the local system, in one place: the resources and the code system take them from here.
#include <string>
#include <vector>

#include "exchange/fhir_parts.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold::fhir {

inline const Code kSession{"session", "Session of pelvic-floor contractions, scored from surface EMG"};
inline const Code kSessionReport{"session_report", "Report on a session of pelvic-floor contractions"};
inline const Code kUsable{"signal_usable", "Signal usable"};
inline const Code kPlanned{"contractions_planned", "Contractions planned"};
inline const Code kDone{"contractions_done", "Contractions done"};
inline const Code kMissed{"contractions_missed", "Contractions missed"};
inline const Code kExtra{"contractions_extra", "Contractions beside the plan"};
inline const Code kUnusable{"contractions_unusable", "Contractions without a usable signal"};
inline const Code kOver{"measures_over", "Kind of contraction that the means are of"};
inline const Code kNoiseFloor{"noise_floor_uv", "Noise floor"};
inline const Code kReference{"reference_uv", "Reference contraction of the session"};
inline const Code kThreshold{"threshold_uv", "Threshold"};
inline const Code kLocalTime{"local_time", "Time of day at the place of the recording"};
inline const Code kDayOffset{"day_offset", "Days since the person's first recording"};

Code mean_of(const Measure& measure);   // "work_mean_uv"
Code sd_of(const Measure& measure);     // "work_mean_uv.sd"
Code count_of(const Measure& measure);  // "work_mean_uv.n"

}  // namespace tracehold::fhir
