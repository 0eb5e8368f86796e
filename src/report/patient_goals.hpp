#pragma once
// How a session stands to the goals that a clinician set, in words for the person who trained.
#include <cstddef>
#include <string>
#include <vector>

#include "report/patient_tally.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/language.hpp"

namespace tracehold {

// Each outcome is in one of them at most. unsure: the mean does not tell whether it was met, so nothing is asked for.
// unspoken: there are no words for the measure; met_unspoken: of those, the ones clearly met.
struct GoalWords {
    std::vector<std::string> met;
    std::vector<std::string> to_practise;
    std::vector<std::string> unsure;
    std::size_t unspoken = 0, met_unspoken = 0, unmeasured = 0;
};

// By the verdict that the clinician's page tells (report/verdict.hpp); of a single contraction nothing is said. A goal for
// letting go also says after how many the muscle was not let go within the rest; where it had mostly let go before the cue
// nothing is said of it.
GoalWords goal_words(const SessionScore& score, const PatientTally& found, Language language);

}  // namespace tracehold
