#pragma once
// Every fixed sentence of the course report, in one place. None prescribes.
#include "report/en/common.hpp"

namespace tracehold::words {

inline constexpr char kLeftOutAndNoted[] = "Left out, and noted";
inline constexpr char kDoneOnAUsableSignal[] = "done on a signal that could be scored";
inline constexpr char kDoneCannotBeTold[] = "how many contractions were done cannot be told, no signal could be scored";
inline constexpr char kContractionsOfAllPrescribed[] = "contractions of all prescribed sessions";
inline constexpr char kPrescribedSessions[] = "prescribed sessions";
inline constexpr char kTooShortForTheDose[] = "too short a time to hold against the dose";
inline constexpr char kInTheDaysAfter[] = "in the {} days after {}, to {}";
inline constexpr char kNeverMoreThanADay[] = " Never much more than a day from one session to the next";
inline constexpr char kAtMostDays[] = " At most {} days from one session to the next";
inline constexpr char kAndNone[] = ", and none ";
inline constexpr char kTheLast[] = "the last";
inline constexpr char kTheLastRecording[] = "the last recording";
inline constexpr char kRecordingsEndBeforePlan[] = "The recordings end on {}; the plan covers {} weeks, to {}. {}";
inline constexpr char kWeeksAfterCounted[] = "The weeks after the last recording are counted, as far as today.";
inline constexpr char kTimeAfterNotMissed[] = "The time after the last recording is not counted as missed.";
inline constexpr char kWithNoUsableSignal[] = "with a signal that was not usable";
inline constexpr char kThatCouldNotBeRead[] = "that could not be read or scored";
inline constexpr char kLeftOutOfCourse[] = "left out";
inline constexpr char kMissingFromTheFigures[] = "Missing from the figures: {}; named under '{}'.";
inline constexpr char kNoPlanBetween[] = "Nothing was prescribed from {} to {}: between the weeks of two plans.";
inline constexpr char kOutsideOfThePlans[] = "Outside of the plans' weeks: {}, neither prescribed nor counted as done of those prescribed.";
inline constexpr char kAfterThePlan[] = "After the plan's weeks: {}, neither prescribed nor counted as done of those prescribed.";
inline constexpr char kLessThanHalfIn[] = "Less than half in {} of {}.";
inline constexpr char kTheWeek[] = "the week";
inline constexpr char kTheWeeks[] = "the weeks";
inline constexpr char kSessionsListWithStart[] = " A sessions list with a column 'start' says when they were made (--sessions FILE).";
inline constexpr char kSessionsListWithPlan[] = " A sessions list with a column 'plan' says by which each was done (--sessions FILE).";
inline constexpr char kWithAnImpossibleDate[] = "with a date that cannot be right";
inline constexpr char kWithCuesOfAnotherPlan[] = "with cues of another plan";
inline constexpr char kMaybeSessionsOfTheDose[] = "Not counted, and maybe sessions of the dose: {}.";
inline constexpr char kFoundNoneWithADate[] = " found, none with a date: what was done cannot be counted by week.";
inline constexpr char kItHas[] = "it has";
inline constexpr char kAllHave[] = "all have";
inline constexpr char kFoundNoTrainingWithADate[] = " found, none of them training with a date.";
inline constexpr char kAndNoneOf[] = " None ";
inline constexpr char kOfTheLatestPlan[] =
    "Of the latest plan, in sessions on a usable signal; not recorded: without a place in the recording";
inline constexpr char kSessions[] = "Sessions";
inline constexpr char kPlanned[] = "Planned";
inline constexpr char kMissedColumn[] = "Missed";
inline constexpr char kNotRecordedColumn[] = "Not recorded";
inline constexpr char kWhichContractionsWereDone[] = "Which contractions were done";
inline constexpr char kAssessment[] = "Assessment";
inline constexpr char kNoChangeShownOf[] = "No change shown: {}; the figures stand in the table below";
inline constexpr char kNotEnoughToSayOf[] = "Not enough to say of {}: {}";
inline constexpr char kSignalsNotLookedAt[] =
    "Not looked at here: of {} none has a date that can be right. The page of each recording says how its signal is.";
inline constexpr char kNoSignalToLookAt[] = "No session whose signal could be looked at.";
inline constexpr char kNoCautionOnScored[] = "; no caution on the scored ones.";
inline constexpr char kScoredWithACaution[] = "; {} of the scored ones with a caution, which the page of each session explains.";
inline constexpr char kTestedMeasure[] = "tested measure";
inline constexpr char kBeyondButAstray[] = "went beyond the measurement error, but the days do not follow one direction";
inline constexpr char kBeyondButUnsure[] =
    "went beyond the measurement error, and the days go one way, but not surely enough with {} measures tested together";
inline constexpr char kNoMeasure[] = "None";
inline constexpr char kPublishedErrorOfOneSession[] =
    "the published error is of one session, between two visits it may be larger, and so few days show no course";
inline constexpr char kFirstToNow[] = "First to now, {}: {}.";
inline constexpr char kBeyondPublished[] = "beyond the published error of {}";
inline constexpr char kWithinPublished[] = "within the published error of {}";
inline constexpr char kNoPublishedErrorIsKnown[] = "no published error is known";
inline constexpr char kNoClaimWithWhy[] = "No claim of a change: {}; {}.";
inline constexpr char kNoClaim[] = "No claim of a change: {}.";
inline constexpr char kAssessmentsNotEnough[] = "Assessments ({}): not enough to say of a change: {}";
inline constexpr char kStepsDescribedOnly[] =
    "Described only, and not tested, for an earlier step is of the same kind: {}. Their figures stand in the tables below.";
inline constexpr char kMeasurementError[] = "measurement error";
inline constexpr char kByAnotherPlanFrom[] = "By another plan{} from {} on: what differs after it may be the plan's doing.";
inline constexpr char kThatIsNotNamed[] = ", that is not named,";
inline constexpr char kWithoutDates[] = "Without dates that can be right no session can be compared with another.";
inline constexpr char kNoRecordingOfThePlan[] = "No recording has the cues of the plan named for it: nothing can be compared.";
inline constexpr char kNoSignalScored[] = "No signal could be scored: nothing can be compared.";
inline constexpr char kOneSessionOnly[] = "One session only: it can be described, not followed.";
inline constexpr char kTooFewSessions[] = "Too few sessions that can be compared to say anything of a change.";
inline constexpr char kTablesSideBySide[] = " The tables below put them side by side.";
inline constexpr char kTestedTogether[] = ". They were tested together, so that chance alone seldom shows any.";
inline constexpr char kAppliesButWaitsWhile[] = "Applies, but waits while this is seen:";
inline constexpr char kAppliesButOneAtATime[] = "Applies too, but waits: one thing is changed at a time (common practice, no source).";
inline constexpr char kQuestionsNeverAPrescription[] = "Questions, never a prescription:";
inline constexpr char kNothingYet[] = "Nothing yet:";
inline constexpr char kNoRuleOfTheTableApplies[] = "No rule of the table applies.";
inline constexpr char kIsTheClockSet[] =
    "Is the clock of the recorder set? Nothing else is asked of recordings without a date that can be right.";
inline constexpr char kAreElectrodesAsTheyShouldBe[] =
    "Are electrode, reference, contact and cable as they should be? Nothing is asked of signals that cannot be scored; why each was rejected "
    "stands under 'Left out, and noted'.";
inline constexpr char kRestingActivity[] = ", resting activity";
inline constexpr char kFromByAnotherPlan[] = "From {} by another plan: {}.";
inline constexpr char kWhereTheQuestionsComeFrom[] = "Where the questions come from";
inline constexpr char kPlanOfNoSession[] = "that of no session: none was used";
inline constexpr char kRecordingsCaption[] = "The recordings that this page rests on; the JSON of the course has the whole SHA-256";
inline constexpr char kCorrectionsByHand[] = "Corrections by hand";
inline constexpr char kFirstAndLastOf[] = "; of {} the first and the last {}, the JSON has them all";
inline constexpr char kRestMeanOfSteps[] =
    "Of a rest step of an assessment: over that step, from its settling on. A rest that opens the session follows no cue to relax.";
inline constexpr char kRulesRow[] = "Rules of the questions";
inline constexpr char kRulesBuiltIn[] = "built in";
inline constexpr char kRulesOwn[] = "a table of the service, not named here";
inline constexpr char kProcessing[] = "Processing";
inline constexpr char kCourseReport[] = "Course report: {}";
inline constexpr char kOfTraining[] = "; {} of training, {}";
inline constexpr char kNotReadOrScored[] = "; {} not read or scored";
inline constexpr char kFirstAndLastRecording[] = "First and last recording";
inline constexpr char kWeekByWeek[] = "Week by week";
inline constexpr char kBesidePublishedError[] =
    "beyond or within the published error, no claim of a change: that error is of one session, between two visits it may be larger, and so few "
    "days show no course";
inline constexpr char kNoPublishedErrorOfIt[] = "no published error of this measure is known";
inline constexpr char kStatedDescribedOnly[] = "described only";
inline constexpr char kStatedNoChange[] = "no change shown";
inline constexpr char kStatedNotEnough[] = "not enough";
inline constexpr char kPublishedFigure[] =
    "a published figure: the means of this person's own days differ by less, or are too few to tell by how much they differ";
inline constexpr char kDays[] = "Days: ";
inline constexpr char kChangeTableCaption[] =
    "First and current block of days, and the last session; needed: what a change has to exceed; points: percentage points";
inline constexpr char kFirst[] = "First";
inline constexpr char kLast[] = "Last";
inline constexpr char kChange[] = "Change";
inline constexpr char kNeeded[] = "Needed";
inline constexpr char kStatement[] = "Statement";
inline constexpr char kEvidenceCaption[] =
    "What the statements rest on, in the unit of the change, with 95 % intervals; SEM: standard error of measurement of one session; MDC95: by "
    "how much two sessions differ by chance in 95 of 100 pairs";
inline constexpr char kIntervalOfTheChange[] = "Interval of the change";
inline constexpr char kSlopeAWeek[] = "Slope a week";
inline constexpr char kIntervalOfTheSlope[] = "Interval of the slope";

inline constexpr char kWhereWerePrescribed[] = "{} where {} were prescribed";
inline constexpr char kOfThePrescribed[] = "{} of the {} prescribed ({} %) in the weeks they were due: {} more than was due in a week.";
inline constexpr char kNoSessionOfTraining[] = "{} with a date; no session of training among what was found.";
inline constexpr char kFoundCuesOfAnotherPlan[] = "{} found, {} cues of another plan than the one named: none can be counted.";
inline constexpr char kFoundImpossibleDate[] = "{} found; {} a date that cannot be right, so what was done cannot be counted by week.{}";
inline constexpr char kMoreForTheSameReason[] = "{} more for the same reason as others here ({}); the JSON of the course names them";
inline constexpr char kCouldNotBeRead[] = "{}: could not be read or scored: {}";
inline constexpr char kSignalNotUsable[] = "{}: signal not usable: {}";
inline constexpr char kCouldBeScored[] = "{} could be scored";
inline constexpr char kSomeCouldBeScored[] = "{} of {} could be scored; {} gave no value to what follows";
inline constexpr char kWithCorrectionsByHand[] = "{} with corrections by hand";
inline constexpr char kWithoutAPosture[] = "{} without a stated posture: whether it was the same each time is not known";
inline constexpr char kNoChangeIsShown[] = ": no change is shown";
inline constexpr char kMovedBeyondError[] = "{} of {} moved by more than measurement error";
inline constexpr char kMovedBeyondPublished[] = " {} of {} {} from first to now by more than the published error.";
inline constexpr char kSeen[] = "{} Seen: {}.";
inline constexpr char kWhySourceRestsOn[] = "{} Why: {} Source: {}. Rests on {}.";
inline constexpr char kFoundUsedLeftOut[] = "{} found, {} used, {} not usable, {} left out";

}  // namespace tracehold::words
