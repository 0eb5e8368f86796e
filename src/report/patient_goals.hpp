#pragma once
// How a session stands to the goals that a clinician set, in words for the person who trained.
#include <cstddef>
#include <string>
#include <vector>

#include "report/patient_tally.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/language.hpp"

namespace tracehold {

// Each outcome is in exactly one of the four. unsure: the mean does not tell whether it was met, so nothing is asked for.
// unspoken: no value, in doubt, or no words for it.
struct GoalWords {
    std::vector<std::string> met;
    std::vector<std::string> to_practise;
    std::vector<std::string> unsure;
    std::size_t unspoken = 0;
};

// By the verdict that the clinician's page tells (report/verdict.hpp); of a single contraction nothing is said. A goal for
// letting go has a time only where every readable contraction was let go within its rest; else it says how many were not.
// One for rest not where the signal is in doubt: hum and loose contacts read like a busy muscle.
GoalWords goal_words(const SessionScore& score, const PatientTally& found, Language language);

}  // namespace tracehold
