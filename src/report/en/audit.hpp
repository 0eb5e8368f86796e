#pragma once
// Every fixed sentence of the audit report, in one place. None ranks or blames.
#include "report/en/common.hpp"

namespace tracehold::words {

inline constexpr char kAuditTitle[] = "Service audit, {}";
inline constexpr char kHidden[] = "hidden";
inline constexpr char kForTeam[] =
    "For the care team: small counts are shown. What leaves the team is made with '--for public'.";
inline constexpr char kForOthers[] =
    "For others: counts of 1 to {} people are hidden, and with them whatever they could be worked out from. 'hidden' is not zero, "
    "and not always small: a large count is hidden too where a total less the other counts would give a small one back.";

inline constexpr char kWho[] = "Who is in it?";
inline constexpr char kWhoSays[] =
    "Recordings: {} found, {} readable, {} given a result, {} in the analysis. People in the analysis: {}.";
inline constexpr char kNoSignal[] =
    "Without a usable signal: {} of those in the analysis: their results say that they cannot be scored, or that nothing "
    "shows the electrode saw the muscle.";
inline constexpr char kListedOnly[] =
    "People of the sessions list without a recording that was given a result: {}. They are in no figure here.";
inline constexpr char kNobodyLost[] = "No recording was lost on the way.";
inline constexpr char kLost[] = "Not {}: {} ({}).";
inline constexpr char kShows[] = "What does it show?";
inline constexpr char kShowsSays[] =
    "The person is the unit, not the contraction: each counts once, whatever the number of sessions. Intervals are 95 "
    "%.";
inline constexpr char kChance[] = "More than chance?";
inline constexpr char kChanceNone[] = "Nothing here breaks a rule: no difference beyond chance is shown.";
inline constexpr char kChanceSome[] =
    "What may differ by more than chance explains, by the rules named below; chance alone breaks one of them now and "
    "then. It asks for a look at how it came about, and says of nobody that they did well or badly.";
inline constexpr char kChanceOpen[] = "There is too little to tell: {}.";
inline constexpr char kChanceRest[] = "Beside that there is too little to tell: {}.";
inline constexpr char kTooFewMonths[] = "no measure has enough months for a verdict";
inline constexpr char kNoGroups[] = "no groups were asked for";
inline constexpr char kChanceHidden[] = "Not told here, since counts that it needs are hidden: {}. The page of the care team may tell it.";
inline constexpr char kHowMonths[] = "how months follow each other";
inline constexpr char kHowSomeMonths[] = "how months follow each other in some measures";
inline constexpr char kHowGroups[] = "how groups compare";
inline constexpr char kHowSomeGroups[] = "how some groups compare";
inline constexpr char kNoFunnels[] = "no group can be compared";

inline constexpr char kFlow[] = "From recordings to people";
inline constexpr char kFlowCaption[] =
    "A recording is one channel of one file. Every one that is lost on the way is lost for one reason. One whose "
    "signal was rejected or shows no muscle is not lost: it counts as a session held, and gives no value.";
inline constexpr char kOverall[] = "Over all people";
inline constexpr char kOverallCaption[] =
    "Shares with Wilson intervals. Without: people in the analysis with nothing to count here; they are in no share.";
inline constexpr char kGroups[] = "Group by group, in the order of their names";
inline constexpr char kMonths[] = "Month by month: {}";
inline constexpr char kDirections[] = "Which way people changed";
inline constexpr char kDirectionsCaption[] =
    "People by the direction of a change beyond measurement error. Whether more or less is wanted is the clinician's "
    "to "
    "say. Both: more under some conditions, less under others.";

inline constexpr char kTimeFigure[] = "{}: over time";
inline constexpr char kTimeSays[] =
    "Each disc is a month's share; a diamond completes a rule. Months that count fewer than {} have no disc, since "
    "they move more by chance than the others (least: a quarter of the middle month).";
inline constexpr char kRunChart[] = "Run chart";
inline constexpr char kRunSays[] = "{} months around a median of {}. {}";
inline constexpr char kRunNone[] =
    "No signal: longest run on one side {} (up to {} by chance), {} crossings of the median (at least {} by chance).";
inline constexpr char kRunLong[] =
    "A signal: {} months in a row on one side of the median, where chance seldom gives more than {}.";
inline constexpr char kRunFew[] = "A signal: the median is crossed {} times, where chance seldom gives fewer than {}.";
inline constexpr char kXmr[] = "Individuals (X of XmR)";
inline constexpr char kXmrSays[] = "Mean {}, limits {} to {}. {}";
inline constexpr char kXmrNone[] = "No signal.";
inline constexpr char kXmrSignals[] = "Signals: {}.";
inline constexpr char kRange[] = "Moving range (mR of XmR)";
inline constexpr char kRangeSays[] = "Difference of each month from the one before: mean {}, limit {}.";
inline constexpr char kMonth[] = "month";
inline constexpr char kMonthShare[] = "share of a month";
inline constexpr char kMedianOfMonths[] = "median of the months";
inline constexpr char kMeanOfMonths[] = "mean of the months";
inline constexpr char kNaturalLimits[] = "limits, 2.66 mean moving ranges off";

inline constexpr char kFunnelFigure[] = "{}: group beside group";
inline constexpr char kFunnelSays[] =
    "Each disc is a group: its share against how many people it counts. Between the lines chance alone may explain why "
    "a group differs from the share of all.";
inline constexpr char kFunnelChartSays[] = "{} groups around {}. {}";
inline constexpr char kFunnelWithin[] = "All lie within the limits: no difference beyond chance is shown.";
inline constexpr char kFunnelHidden[] = " Hidden and not compared: {}.";
inline constexpr char kFunnelOutside[] = "Outside the limits: {}.";
inline constexpr char kFunnelOneInTwenty[] =
    " By chance alone about one group in twenty lies outside the 95 % limits.";
inline constexpr char kPeopleCounted[] = "people counted";
inline constexpr char kShareOfAll[] = "share of all";
inline constexpr char kLimit95[] = "95 % limits";
inline constexpr char kLimit998[] = "99.8 % limits";

inline constexpr char kChartsAnchor[] = "audit_charts";
inline constexpr char kRunDefinition[] =
    "Anhoej's rules: a run longer than round(log2 n + 3), or fewer crossings of the median than the 5 % quantile of a "
    "binomial with n - 1 trials of one half; n counts the points that are not on the median. No verdict below 10 of "
    "them.";
inline constexpr char kRunSource[] = "Anhoej & Olesen, PLoS ONE 2014";
inline constexpr char kXmrDefinition[] =
    "Limits at 2.66 times the mean moving range from the mean; the limit of a moving range is 3.268 times their mean. "
    "Months count alike, whatever the number of people in them. No verdict below 12 months. Rules in use: {}.";
inline constexpr char kXmrSource[] =
    "Shewhart 1931; factors for pairs as in the tables (NIST/SEMATECH e-Handbook 6.3.2.2)";
inline constexpr char kFunnelDefinition[] =
    "Exact binomial limits around the share of all (0.1, 2.5, 97.5 and 99.9 % of the inverse distribution, not "
    "interpolated). Of twenty groups that differ by chance alone about one lies outside the 95 % limits.";
inline constexpr char kFunnelSource[] = "Spiegelhalter 2005";
inline constexpr char kHiddenDefinition[] =
    "Hidden for others: counts of 1 to {} people, shares and medians that rest on them, further counts so that no sum "
    "or "
    "difference gives them back, and medians of fewer than {} people.";
inline constexpr char kHiddenEdges[] =
    "It holds for this one output. Two outputs over the same people, by other groups or for another period, may give "
    "away together what each of them hides.";
inline constexpr char kCommonPractice[] = "Common practice of health agencies, no single source";

inline constexpr char kInputs[] = "SHA-256 over the sorted SHA-256 of the recordings in the analysis: ";
inline constexpr char kInputsKeyed[] =
    "SHA-256 over the sorted SHA-256 of the recordings in the analysis, hashed once more with the clinic's key: ";
inline constexpr char kNoted[] = "Noted";

inline constexpr char kMonthColumn[] = "Month";
inline constexpr char kMovingRange[] = "Moving range";
inline constexpr char kRulesCompleted[] = "Rules completed";
inline constexpr char kGroup[] = "Group";
inline constexpr char kPeople[] = "People";
inline constexpr char kOutsideWhichLimits[] = "{}{} ({} of {}, outside the {} limits)";
inline constexpr char kByTheColumn[] = "{}by the column '{}' of the sessions list";
inline constexpr char kPlace[] = "Place";
inline constexpr char kByMonth[] = "by month";
inline constexpr char kAndBySite[] = " and by site";
inline constexpr char kByMonthAnd[] = "by month and ";
inline constexpr char kAdherenceAtLeastPct[] = "adherence at least {} %";
inline constexpr char kByDefault[] = " (the service set none: the program's)";
inline constexpr char kRestingActivityBelowUv[] = "; resting activity below {} µV";
inline constexpr char kRestingActivityBelowWhatEach[] = "; resting activity below what each person's own plan says";
inline constexpr char kReviewWithinDays[] = "; review within {} days";
inline constexpr char kNoReviewTarget[] = "; none for the time to review";
inline constexpr char kPeriod[] = "Period";
inline constexpr char kLookedAt[] = "Looked at";
inline constexpr char kTargets[] = "Targets";
inline constexpr char kTheServicesOwn[] = " (the service's own)";
inline constexpr char kNoFunnel[] = "No funnel: {}.";
inline constexpr char kOverAll[] = "Over all: {}.";
inline constexpr char kByMonthSays[] = "By month: {}.";
inline constexpr char kWhatTheNumbersMean[] = "What the numbers mean";
inline constexpr char kWhoCounts[] = "Who counts";
inline constexpr char kProgram[] = "Program";
inline constexpr char kInputsRow[] = "Inputs";
inline constexpr char kXmRChart[] = "XmR chart";
inline constexpr char kFunnel[] = "Funnel";
inline constexpr char kHiddenTitle[] = "Hidden";
inline constexpr char kInTheAnalysis[] = "in the analysis";
inline constexpr char kPeopleInTheAnalysis[] = "people in the analysis";
inline constexpr char kCounted[] = "Counted";
inline constexpr char kWithout[] = "Without";
inline constexpr char kMore[] = "More";
inline constexpr char kLess[] = "Less";
inline constexpr char kBoth[] = "Both";
inline constexpr char kNotEnough[] = "Not enough";

}  // namespace tracehold::words
