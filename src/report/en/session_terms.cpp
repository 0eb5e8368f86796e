#include "tracehold/report/session_terms.hpp"

namespace tracehold {

std::vector<Definition> session_terms() {
    return {
        {"done", "Done", "",
         "A contraction that was asked for by a cue, or found where there are no cues, and that stands out from the rest of "
         "this session.",
         "Nothing is said of how well it was done.", "our choice"},
        {"missed", "Missed", "",
         "A contraction that was asked for, with enough valid signal, where nothing stands out from the rest of this session.",
         "It may have been done and not seen: a poor contact, or a muscle that had not let go before (finding "
         "'late_release').",
         "our choice"},
        {"extra", "Extra", "", "A contraction within the session that no cue asked for, or one beyond the plan. It enters no mean.",
         "What is done before the plan starts or after it ends is not counted; a note says so.",
         "our choice"},
        {"unusable", "Unusable", "", "A contraction with too little valid signal to say whether it was done.", "",
         "our choice"},
        {"begins", "Earlier, later than usual", "",
         "A contraction done whose onset lies more than 0.25 s before, or more than 0.3 s after, the time from the cue at which this "
         "person mostly begins in this session (the median), with its whole interval to that side of it. So that a habit excuses nothing, that "
         "time counts as at most 0.5 s for earlier and at most 1 s for later, and as no less than 0 and 0.2 s; as it is where cues were "
         "estimated. Earlier than usual may still be after the cue. In JSON 'early' and 'late'.",
         "Not told without cues, where the cues are out of step, or where fewer than 4 contractions have an onset. How long after its cue: "
         "reaction_s.",
         "our choice"},
        {"onset_s", "Onset", "s",
         "When a contraction begins: the middle of the probabilities of all starts, from rises of several shapes (straight, rounded, "
         "fast or slow at first; of the activity added to rest, or of the amplitude from rest on), whose shape and length the "
         "contractions of a session share. In JSON onset_low_s and onset_high_s hold it in 95 of 100 such contractions.",
         "None, with the reason, where too little shows. A start that swells for more than half a second is not told from restless "
         "rest: the onset is then where it rises. Of exported amplitudes: as if the recorder's window looked to both sides. "
         "Where it looks back all times are late by half of it; the interval begins so much earlier, for nobody can tell.",
         "see DEVELOPERS.md, tests/cycles/onset_accuracy.md"},
        {"offset_s", "Offset", "s",
         "When the muscle has let go, in the same way, backwards in time. Of a fall that decays without an end: when about a "
         "twentieth of the contraction is left.",
         "None, with the reason, where too little shows or the next contraction comes too soon.", "as onset_s"},
        {"rise_20_s", "Time of 20 %", "s",
         "When the rise passes a fifth of the contraction's activity; fall_20_s when the fall does. Depends less on the shape than "
         "the onset.",
         "None where there is no onset.", "as onset_s"},
        {"cue_confidence", "Confidence of estimated cues", "",
         "Where no mark tells the cues: how sure it is that the plan was performed at the place found, within 0.5 s. In JSON "
         "cues.confidence.",
         "It says nothing of a delay that all contractions share: a start 1 to 2 s late each time looks as cues that came later.",
         "our choice"},
        {"masked_s", "Masked", "s",
         "Time left out because it holds no muscle: gaps, lost contact, values at the recorder's limits, movement, spikes, or "
         "a span masked by hand. It enters no number.",
         "", "our choice"},
        {"noise_floor_uv", "Quietest level", "µV",
         "5th percentile of the 1-s means of the envelope over the whole recording, before anything is subtracted: the "
         "quietest that the muscle gets here, with what the recorder adds.",
         "No limit of the recorder: a muscle that never rests is in it, and rests shorter than a second may lie below it.", "our choice"},
        {"reference_uv", "Best second of the session", "µV",
         "The highest best second (best_second_uv) of the contractions done: the session's reference contraction.", "",
         "common practice, no source"},
        {"threshold_uv", "Threshold", "µV",
         "The level that the plan asks contractions to reach: a number of microvolts, or a percent of a stated reference or of "
         "the session's own best second.",
         "", "common practice, no source"},
        {"mains_hum", "Mains hum", "µV",
         "RMS of what lies at the mains frequency and its multiples, measured on the filtered trace before anything is "
         "removed.",
         "Not measured on amplitudes that the recorder exported.", "definition"},
        {"rest_cv_pct", "Variation of a rest", "%",
         "SD of the envelope over a rest step of the plan, from 1 s (or a third of it) after its beginning, as percent of its mean "
         "there.",
         "A steady signal has one too, from chance alone: about 10 to 15 % by a window of 100 ms. Rest that comes and goes, or sinks "
         "on the way, has more. No standard error.",
         "our choice"},
        {"sd", "SD", "", "Standard deviation between the contractions, with n - 1.", "Needs two contractions.", "definition"},
        {"ci95", "95 % interval", "",
         "Range that holds the mean of such contractions in 95 of 100 sessions like this one, by Student's t: how far the "
         "mean may be off.",
         "Needs two contractions. None where all values are equal, for that says nothing of how far the mean may be off. What "
         "differs from day to day is not in it.",
         "Student's t"},
    };
}

}  // namespace tracehold
