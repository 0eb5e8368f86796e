#pragma once
// Every fixed sentence of the session report, in one place: what is said stays reviewable as a whole.
// Words that judge a person or name a disease do not occur; a test looks for them.
#include <string_view>

namespace tracehold::words {

using Text = std::string_view;

inline constexpr Text kTitle = "Session report: {}, {}";
inline constexpr Text kNoPerson = "person not named";
inline constexpr Text kNoDate = "date not known";
inline constexpr Text kNoPosture = "posture not stated";
inline constexpr Text kNoPlan = "none: contractions were looked for in the trace alone";
inline constexpr Text kNoPlanCued = "none: contractions were looked for at the cue marks of the recording";

inline constexpr Text kDidItHappen = "Did it happen?";
inline constexpr Text kCannotBeTold = "Cannot be told from this signal: no contraction can be called done or missed.";
inline constexpr Text kPlannedDone = "{} of {} planned contractions done{}.";
inline constexpr Text kCuedDone = "{} of {} cued contractions done. There is no plan to compare with.";
inline constexpr Text kMissed = "{} missed.";
inline constexpr Text kMissedBusy =
    "{} missed, {} of them with activity at the level of a contraction before the cue: late release is as possible.";
inline constexpr Text kMissedUntold = "{} missed at their cues: whether they were done cannot be told.";
inline constexpr Text kAtTheirCues = "All counts are at their cues, which may be out of step with the trace.";
inline constexpr Text kUnusable = "{} unusable (too little valid signal to say).";
inline constexpr Text kNotRecorded = "{} not recorded.";
inline constexpr Text kLeftOut = "{} left out by hand.";
inline constexpr Text kExtra = "{} extra, no cue.";
inline constexpr Text kExtraMarked = "{} extra, no cue of the plan.";
inline constexpr Text kEarlier = "earlier";  // than this person's own usual start, which may lie after the cue
inline constexpr Text kLater = "later";
inline constexpr Text kBegun = "{} {} than usual.";
inline constexpr Text kOtherMarks =
    "The marks in the recording are not those of the plan given, so that what of it was done, and what is extra, cannot be told.";
inline constexpr Text kFoundInTrace = "{} found. No comparison with a plan.";

inline constexpr Text kTrusted = "Can it be trusted?";
inline constexpr Text kTrustNo = "No: it cannot be scored as it is.";
inline constexpr Text kTrustCare = "With care.";
inline constexpr Text kTrustQuiet = "The automatic checks found nothing that casts doubt on it.";
inline constexpr Text kCounts = "{}.";
inline constexpr Text kSomeMasked = "{} masked.";

inline constexpr Text kMuscle = "What did the muscle do?";
inline constexpr Text kMeansOver = "Means are over the {} that were done.";
inline constexpr Text kOfTheOne = "One {} was done; the figures are of that one.";
inline constexpr Text kCorrectedAmong = "Contractions of these means that rest on a correction by hand: {}.";
inline constexpr Text kCorrectedOne = "The contraction rests on a correction by hand.";
inline constexpr Text kNothingMeasured = "Nothing could be measured: there is no contraction in usable signal.";
inline constexpr Text kNoneOfKind = "No {} was seen. {}";
inline constexpr Text kNothingGiven = "Nothing is given of it: {}.";
inline constexpr Text kBestSecond = "Best second {} µV, in contraction {}.";
inline constexpr Text kThreshold = "Threshold {} µV.";
inline constexpr Text kAsExported = "Amplitudes as exported by the recorder.";
inline constexpr Text kNotClearly = "Not clearly: the 95 % interval of the mean includes the target.";
inline constexpr Text kAllEqual = "all values are equal, which does not tell how far their mean may be off";
inline constexpr Text kOneContraction = "one contraction does not tell where the mean lies";
inline constexpr Text kRestInDoubt = "what was found may make resting activity read too high or too low";
inline constexpr Text kSubtracted =
    "not held against the target: what was subtracted is missing from the resting activity";


inline constexpr Text kChanged = "What changed?";
inline constexpr Text kNoChange = "One session cannot show a change; a course of sessions can (tracehold course).";
inline constexpr Text kAsk = "What to ask next?";
inline constexpr Text kAskCourse =
    "Questions for the clinician, never a prescription. What lasts is for a course of sessions to show.";
inline constexpr Text kAskNothing =
    "No question follows from this session alone. What lasts is for a course of sessions to show.";
inline constexpr Text kAskContact =
    "Are electrode, reference and cable as they should be? Nothing is asked of a signal that cannot be scored.";
inline constexpr Text kAskTarget = "{} is not {} {}, its target: is that so in other sessions too, and is it known why?";
inline constexpr Text kAskRest =
    "Resting activity does not read {} {}, its target: is it the muscle, or what was found in the signal?";
inline constexpr Text kAskUnseen =
    "{} of {} contractions were seen: are contact and position of the electrode as they should be, and is it understood what to "
    "do when?";
inline constexpr Text kAskLate =
    "{} of {} contractions could be seen; before the others the muscle was mostly as active as in a contraction: is letting go understood, "
    "and is the rest long enough?";
inline constexpr Text kAskElectrode =
    "Are electrode, contact, cable and place as they should be? What was found is named above; figures come after it.";
inline constexpr Text kAskReference = "Does the reference contraction in the plan still hold for this electrode and its place?";
inline constexpr Text kAskPlan = "Which plan was trained? The marks in the recording are not those of the plan given.";
inline constexpr Text kAskExchanged =
    "Are the marks to contract and to relax exchanged, or did contractions come late? What shows it is named above.";
inline constexpr Text kAskEarly =
    "Letting go began before the cue in {} of {}: is it understood when to let go, and does the length of the hold suit this person today?";
inline constexpr Text kAskFading =
    "Activity faded within the holds, by {} % in the mean: do the length of the hold and of the rest suit this person today, and did the "
    "electrode stay in its place?";
inline constexpr Text kAskFall =
    "Activity fell from {} to {} µV over the holds of this session: do number of contractions and rest suit this person today, and did "
    "the electrode stay in its place?";
inline constexpr Text kAskMuscle =
    "Is another muscle doing the work (breath held, bearing down, belly)? The accessory channel shows what is named above.";
inline constexpr Text kAskStopped =
    "{} of {} planned contractions are in the recording: was it ended early, and why (pain, time, the recorder, the plan's length)?";
inline constexpr Text kAskStep = "Are the marks in step with the trace, or does this person start late or early?";
inline constexpr Text kAskExtra = "{} contractions that nothing asked for: does this person follow the cues?";
inline constexpr Text kRejected = "the signal was rejected; the reason stands above";
inline constexpr Text kAskNoneFound =
    "No contraction was found: are contact and position of the electrode as they should be, and was one asked for?";

inline constexpr Text kEnvelope = "The envelope";
inline constexpr Text kEnvelopeTitle = "Envelope of {}";
inline constexpr Text kEnvelopeSays = "Amplitude of {} over {}: up to {} µV, at {} s. {} marked.";
inline constexpr Text kEnvelopeRejected = "{} over {}: the signal was rejected, so what it shows is not read as muscle.";
inline constexpr Text kEnvelopeBlank = "Amplitude of {} over {}: no valid sample.";

inline constexpr Text kCycles = "Contraction by contraction";
inline constexpr Text kCyclesCaption = "± is the standard error of one value.";
inline constexpr Text kOffTime = "Earlier, later: begun before or after this person's usual start.";
inline constexpr Text kExtraCounted = "No counts all contractions in order of time, extra ones too; any added by hand come after the last.";
inline constexpr Text kCorrectedMark = "* rests on a correction made by hand.";
inline constexpr Text kEndurance = "Contraction {}, endurance: {} s until it stayed below half of its start.";
inline constexpr Text kEnduranceCensored =
    "Contraction {}, endurance: at least {} s; it never stayed below half of its start.";
inline constexpr Text kFifth =
    "A fifth of the activity was there {} s after the cue to contract, in the median of {} ({} to {} s). That depends less on the shape of "
    "the rise than the reaction time; of each contraction the JSON result says when (rise_20_s).";
inline constexpr Text kSteps = "Step by step of the plan";
inline constexpr Text kStepsCaption = "Means over the contractions done in each step.";
inline constexpr Text kRestsCaption = "Resting activity where the plan asks for rest alone, from 1 s after it begins, with its standard error.";

inline constexpr Text kSignal = "The signal and its cues";
inline constexpr Text kCuesMarks = "from marks in the recording";
inline constexpr Text kCuesStart = "from the plan, begun at {} s as the user said";
inline constexpr Text kCuesAligned =
    "estimated by fitting the plan to the trace: begun at {} s, {} sure that the plan and this place of it are right within 0.5 s; a "
    "late start that all contractions share, of 1 to 2 s, cannot be told from cues that came later";
inline constexpr Text kCuesTrace = "none; times counted from a cue are not given";
inline constexpr Text kHumRemoved = "{} Hz and harmonics, {} µV, removed";
inline constexpr Text kHumKept = "{} Hz and harmonics, {} µV, left in";
inline constexpr Text kNoFindings = "The automatic checks of the signal found nothing to name.";
inline constexpr Text kReadingNotes = "Noted while reading and scoring:";

inline constexpr Text kCorrections = "Corrections";
inline constexpr Text kNoCorrections = "Nothing was corrected by hand.";

inline constexpr Text kDefinitions = "How the numbers are defined";
inline constexpr Text kWords =
    "Trace: the surface EMG signal. Envelope: its amplitude over time. Work: from the cue to contract to the cue to "
    "relax. "
    "Rest: from there to the next contract cue or a rest of the plan. Reference: the highest best second of the session.";
inline constexpr Text kExplain =
    "When a number is not given, what its error covers and where its definition comes from: tracehold explain KEY.";
inline constexpr Text kMadeWith = "How this was made";
inline constexpr Text kBand =
    "{}–{} Hz at -3 dB for both passes together (Butterworth, order {}, forward and backward)";
inline constexpr Text kNoBand = "not filtered: the recorder exported amplitudes";
inline constexpr Text kAllMeasures = "All measures of every contraction are in the JSON and CSV results.";

inline constexpr Text kLimits = "Limits";
inline constexpr Text kCautions = "Cautions";

}  // namespace tracehold::words
