#pragma once
// Every fixed sentence of the session report, in one place: what is said stays reviewable as a whole.
// Words that judge a person or name a disease do not occur; a test looks for them.
#include "report/en/common.hpp"

namespace tracehold::words {

inline constexpr char kTitle[] = "Session report: {}, {}";
inline constexpr char kNoDate[] = "date not known";
inline constexpr char kNoPlan[] = "none: contractions were looked for in the trace alone";
inline constexpr char kNoPlanCued[] = "none: contractions were looked for at the cue marks of the recording";

inline constexpr char kCannotBeTold[] = "Cannot be told from this signal: no contraction can be called done or missed.";
inline constexpr char kPlannedDone[] = "{} of {} planned contractions done{}.";
inline constexpr char kCuedDone[] = "{} of {} cued contractions done. There is no plan to compare with.";
inline constexpr char kMissed[] = "{} missed.";
inline constexpr char kMissedBusy[] =
    "{} missed, {} of them with activity at the level of a contraction before the cue: late release is as possible.";
inline constexpr char kMissedUntold[] = "{} missed at their cues: whether they were done cannot be told.";
inline constexpr char kAtTheirCues[] = "All counts are at their cues, which may be out of step with the trace.";
inline constexpr char kUnusable[] = "{} unusable (too little valid signal to say).";
inline constexpr char kNotRecorded[] = "{} not recorded.";
inline constexpr char kLeftOut[] = "{} left out by hand.";
inline constexpr char kExtra[] = "{} extra, no cue.";
inline constexpr char kExtraMarked[] = "{} extra, no cue of the plan.";
inline constexpr char kEarlier[] = "earlier";  // than this person's own usual start, which may lie after the cue
inline constexpr char kLater[] = "later";
inline constexpr char kBegun[] = "{} {} than usual.";
inline constexpr char kOtherMarks[] =
    "The marks in the recording are not those of the plan given, so that what of it was done, and what is extra, cannot be told.";
inline constexpr char kFoundInTrace[] = "{} found. No comparison with a plan.";

inline constexpr char kTrustNo[] = "No: it cannot be scored as it is.";
inline constexpr char kTrustCare[] = "With care.";
inline constexpr char kTrustQuiet[] = "The automatic checks found nothing that casts doubt on it.";
inline constexpr char kCounts[] = "{}.";
inline constexpr char kSomeMasked[] = "{} masked.";

inline constexpr char kMuscle[] = "What did the muscle do?";
inline constexpr char kMeansOver[] = "Means are over the {} that were done.";
inline constexpr char kOfTheOne[] = "One {} was done; the figures are of that one.";
inline constexpr char kCorrectedAmong[] = "Contractions of these means that rest on a correction by hand: {}.";
inline constexpr char kCorrectedOne[] = "The contraction rests on a correction by hand.";
inline constexpr char kNothingMeasured[] = "Nothing could be measured: there is no contraction in usable signal.";
inline constexpr char kNoneOfKind[] = "No {} was seen. {}";
inline constexpr char kNothingGiven[] = "Nothing is given of it: {}.";
inline constexpr char kBestSecond[] = "Best second {} µV, in contraction {}.";
inline constexpr char kThreshold[] = "Threshold {} µV.";
inline constexpr char kReached[] = "Threshold reached in {} of {} contractions.";
inline constexpr char kAsExported[] = "Amplitudes as exported by the recorder.";
inline constexpr char kNotClearly[] = "Not clearly: the 95 % interval of the mean includes the target.";
inline constexpr char kAllEqual[] = "all values are equal, which does not tell how far their mean may be off";
inline constexpr char kOneContraction[] = "one contraction does not tell where the mean lies";
inline constexpr char kRestInDoubt[] = "what was found may make resting activity read too high or too low";
inline constexpr char kSubtracted[] =
    "not held against the target: what was subtracted is missing from the resting activity";

inline constexpr char kNoChange[] = "One session cannot show a change; a course of sessions can (tracehold course).";
inline constexpr char kAskCourse[] =
    "Questions for the clinician, never a prescription. What lasts is for a course of sessions to show.";
inline constexpr char kAskNothing[] =
    "No question follows from this session alone. What lasts is for a course of sessions to show.";
inline constexpr char kAskContact[] =
    "Are electrode, reference and cable as they should be? Nothing is asked of a signal that cannot be scored.";
inline constexpr char kAskTarget[] = "{} is not {} {}, its target: is that so in other sessions too, and is it known why?";
inline constexpr char kAskRest[] =
    "Resting activity does not read {} {}, its target: is it the muscle, or what was found in the signal?";
inline constexpr char kAskUnseen[] =
    "{} of {} contractions were seen: are contact and position of the electrode as they should be, and is it understood what to "
    "do when?";
inline constexpr char kAskLate[] =
    "{} of {} contractions could be seen; before the others the muscle was mostly as active as in a contraction: is letting go understood, "
    "and is the rest long enough?";
inline constexpr char kAskElectrode[] =
    "Are electrode, contact, cable and place as they should be? What was found is named above; figures come after it.";
inline constexpr char kAskReference[] = "Does the reference contraction in the plan still hold for this electrode and its place?";
inline constexpr char kAskPlan[] = "Which plan was trained? The marks in the recording are not those of the plan given.";
inline constexpr char kAskExchanged[] =
    "Are the marks to contract and to relax exchanged, or did contractions come late? What shows it is named above.";
inline constexpr char kAskEarly[] =
    "The muscle had let go before the cue in {} of {}: is it understood when to let go, and does the length of the hold suit this person today?";
inline constexpr char kAskFading[] =
    "Activity faded within the holds, by {} % in the mean: do the length of the hold and of the rest suit this person today, and did the "
    "electrode stay in its place?";
inline constexpr char kAskFall[] =
    "Activity fell from {} to {} µV over the holds of this session: do number of contractions and rest suit this person today, and did "
    "the electrode stay in its place?";
inline constexpr char kAskMuscle[] =
    "Is another muscle doing the work (breath held, bearing down, belly)? The accessory channel shows what is named above.";
inline constexpr char kAskStopped[] =
    "{} of {} planned contractions are in the recording: was it ended early, and why (pain, time, the recorder, the plan's length)?";
inline constexpr char kAskStep[] = "Are the marks in step with the trace, or does this person start late or early?";
inline constexpr char kAskExtra[] = "{} contractions that nothing asked for: does this person follow the cues?";
inline constexpr char kRejected[] = "the signal was rejected; the reason stands above";
inline constexpr char kAskNoneFound[] =
    "No contraction was found: are contact and position of the electrode as they should be, and was one asked for?";

inline constexpr char kEnvelope[] = "The envelope";
inline constexpr char kEnvelopeTitle[] = "Envelope of {}";
inline constexpr char kEnvelopeSays[] = "Amplitude of {} over {}: up to {} µV, at {} s. {} marked.";
inline constexpr char kEnvelopeRejected[] = "{} over {}: the signal was rejected, so what it shows is not read as muscle.";
inline constexpr char kEnvelopeBlank[] = "Amplitude of {} over {}: no valid sample.";

inline constexpr char kCycles[] = "Contraction by contraction";
inline constexpr char kCyclesCaption[] = "± is the standard error of one value.";
inline constexpr char kOffTime[] = "Earlier, later: begun before or after this person's usual start.";
inline constexpr char kExtraCounted[] = "No counts all contractions in order of time, extra ones too; any added by hand come after the last.";
inline constexpr char kCorrectedMark[] = "* rests on a correction made by hand.";
inline constexpr char kEndurance[] = "Contraction {}, endurance: {} s until it stayed below half of its start.";
inline constexpr char kLowerLimit[] = "lower limit: the contraction had not ended for certain by the cue to relax";
inline constexpr char kEnduranceCensored[] =
    "Contraction {}, endurance: at least {} s; it never stayed below half of its start.";
inline constexpr char kFifth[] =
    "A fifth of the activity was there {} s after the cue to contract, in the median of {} ({} to {} s). That depends less on the shape of "
    "the rise than the reaction time; of each contraction the JSON result says when (rise_20_s).";
inline constexpr char kSteps[] = "Step by step of the plan";
inline constexpr char kStepsCaption[] = "Means over the contractions done in each step.";
inline constexpr char kRestsCaption[] = "Resting activity where the plan asks for rest alone, from 1 s after it begins, with its standard error.";

inline constexpr char kSignal[] = "The signal and its cues";
inline constexpr char kCuesMarks[] = "from marks in the recording";
inline constexpr char kCuesStart[] = "from the plan, begun at {} s as the user said";
inline constexpr char kCuesAligned[] =
    "estimated by fitting the plan to the trace: begun at {} s, {} sure that the plan and this place of it are right within 0.5 s; a "
    "late start that all contractions share, of 1 to 2 s, cannot be told from cues that came later";
inline constexpr char kCuesTrace[] = "none; times counted from a cue are not given";
inline constexpr char kHumRemoved[] = "{} Hz and harmonics, {} µV, removed";
inline constexpr char kHumKept[] = "{} Hz and harmonics, {} µV, left in";
inline constexpr char kNoFindings[] = "The automatic checks of the signal found nothing to name.";
inline constexpr char kReadingNotes[] = "Noted while reading and scoring:";

inline constexpr char kCorrections[] = "Corrections";

inline constexpr char kWords[] =
    "Trace: the surface EMG signal. Envelope: its amplitude over time. Work: from the cue to contract to the cue to "
    "relax. "
    "Rest: from there to the next contract cue or a rest of the plan. Reference: the highest best second of the session.";
inline constexpr char kExplain[] =
    "When a number is not given, what its error covers and where its definition comes from: tracehold explain KEY.";
inline constexpr char kBand[] =
    "{}–{} Hz at -3 dB for both passes together (Butterworth, order {}, forward and backward)";
inline constexpr char kNoBand[] = "not filtered: the recorder exported amplitudes";
inline constexpr char kAllMeasures[] = "All measures of every contraction are in the JSON and CSV results.";

inline constexpr char kLimits[] = "Limits";
inline constexpr char kCautions[] = "Cautions";

inline constexpr char kNoContraction[] = "No contraction";
inline constexpr char kByHand[] = " by hand";
inline constexpr char kBestSecondName[] = "best second";
inline constexpr char kInDoubt[] = "in doubt";
inline constexpr char kBelowIt[] = "below it";
inline constexpr char kAboveIt[] = "above it";
inline constexpr char kAtIt[] = "at it";
inline constexpr char kNotClearlyAfter[] = ", not clearly";
inline constexpr char kTargetSet[] = "Target set";
inline constexpr char kMeanIs[] = "Mean is";
inline constexpr char kMean[] = "Mean";
inline constexpr char kSession[] = "Session";
inline constexpr char kRest[] = "Rest";
inline constexpr char kVariationPct[] = "Variation %";
inline constexpr char kStatus[] = "Status";
inline constexpr char kContractions[] = "Contractions";
inline constexpr char kMasked[] = "Masked";
inline constexpr char kWorkWindow[] = "work window";
inline constexpr char kHighest[] = "Highest";
inline constexpr char kThresholdRow[] = "Threshold";
inline constexpr char kTargetForRestBelowUv[] = "target for rest: below {} µV";
inline constexpr char kQuietestLevelSubtractedInPower[] = ", quietest level subtracted in power";
inline constexpr char kMovingRMSOver[] = "moving RMS over {}{}";
inline constexpr char kRectifiedAndSmoothedOver[] = "rectified and smoothed over {}{}";
inline constexpr char kAsExportedByTheRecorderEvery[] = "as exported by the recorder, every {}{}";
inline constexpr char kRunningBaselineSubtracted[] = ", running baseline subtracted";
inline constexpr char kMeasuredOnly[] = "measured only";
inline constexpr char kRemovedWhereFound[] = "removed where found";
inline constexpr char k50HzRemovedWhereFound[] = "50 Hz, removed where found";
inline constexpr char k60HzRemovedWhereFound[] = "60 Hz, removed where found";
inline constexpr char kNoStatedUnit[] = "no stated unit";
inline constexpr char kBandRow[] = "Band";
inline constexpr char kEnvelopeRow[] = "Envelope";
inline constexpr char kMains[] = "Mains";
inline constexpr char kTheSignalWasRejected[] = "the signal was rejected";
inline constexpr char kNotKnown[] = "not known";
inline constexpr char kCues[] = "Cues";
inline constexpr char kSeverity[] = "Severity";
inline constexpr char kWhatWasFound[] = "What was found";
inline constexpr char kWhere[] = "Where";
inline constexpr char kWholeRecording[] = "whole recording";
inline constexpr char kCueToContractMovedTo[] = "cue to contract moved to ";
inline constexpr char kCueToRelaxMovedTo[] = "cue to relax moved to ";
inline constexpr char kOnsetMovedTo[] = "onset moved to ";
inline constexpr char kOffsetMovedTo[] = "offset moved to ";
inline constexpr char kAddedAt[] = "added at ";
inline constexpr char kAContractionAddedAt[] = "a contraction added at ";
inline constexpr char kSignalMaskedAt[] = "signal masked at ";
inline constexpr char kContractionNumber[] = "Contraction {}: ";
inline constexpr char kCaution[] = "Caution";
inline constexpr char kNote[] = "Note";
inline constexpr char kNotKnownHow[] = "not known how";

}  // namespace tracehold::words
