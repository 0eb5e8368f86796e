#pragma once
// Every fixed sentence of the audit report, in one place. None ranks or blames.
#include <string_view>

namespace tracehold::words {

inline constexpr std::string_view kAuditTitle = "Service audit, {}";
inline constexpr std::string_view kHidden = "hidden";
inline constexpr std::string_view kNotStated = "not stated";
inline constexpr std::string_view kForTeam =
    "For the care team: small counts are shown. What leaves the team is made with '--for public'.";
inline constexpr std::string_view kForOthers =
    "For others: counts of 1 to {} people are hidden, and with them whatever they could be worked out from. 'hidden' is not zero, "
    "and not always small: a large count is hidden too where a total less the other counts would give a small one back.";

inline constexpr std::string_view kWho = "Who is in it?";
inline constexpr std::string_view kWhoSays =
    "Recordings: {} found, {} readable, {} given a result, {} in the analysis. People in the analysis: {}.";
inline constexpr std::string_view kNoSignal =
    "Without a usable signal: {} of those in the analysis: their results say that they cannot be scored, or that nothing "
    "shows the electrode saw the muscle.";
inline constexpr std::string_view kListedOnly =
    "People of the sessions list without a recording that was given a result: {}. They are in no figure here.";
inline constexpr std::string_view kNobodyLost = "No recording was lost on the way.";
inline constexpr std::string_view kLost = "Not {}: {} ({}).";
inline constexpr std::string_view kShows = "What does it show?";
inline constexpr std::string_view kShowsSays =
    "The person is the unit, not the contraction: each counts once, whatever the number of sessions. Intervals are 95 "
    "%.";
inline constexpr std::string_view kChance = "More than chance?";
inline constexpr std::string_view kChanceNone = "Nothing here breaks a rule: no difference beyond chance is shown.";
inline constexpr std::string_view kChanceSome =
    "What may differ by more than chance explains, by the rules named below; chance alone breaks one of them now and "
    "then. It asks for a look at how it came about, and says of nobody that they did well or badly.";
inline constexpr std::string_view kChanceOpen = "There is too little to tell: {}.";
inline constexpr std::string_view kChanceRest = "Beside that there is too little to tell: {}.";
inline constexpr std::string_view kTooFewMonths = "no measure has enough months for a verdict";
inline constexpr std::string_view kNoGroups = "no groups were asked for";
inline constexpr std::string_view kNoFunnels = "no group can be compared";

inline constexpr std::string_view kFlow = "From recordings to people";
inline constexpr std::string_view kFlowCaption =
    "A recording is one channel of one file. Every one that is lost on the way is lost for one reason. One whose "
    "signal was rejected or shows no muscle is not lost: it counts as a session held, and gives no value.";
inline constexpr std::string_view kOverall = "Over all people";
inline constexpr std::string_view kOverallCaption =
    "Shares with Wilson intervals. Without: people in the analysis with nothing to count here; they are in no share.";
inline constexpr std::string_view kGroups = "Group by group, in the order of their names";
inline constexpr std::string_view kMonths = "Month by month: {}";
inline constexpr std::string_view kNoMonths = "No month to show.";
inline constexpr std::string_view kDirections = "Which way people changed";
inline constexpr std::string_view kDirectionsCaption =
    "People by the direction of a change beyond measurement error. Whether more or less is wanted is the clinician's "
    "to "
    "say. Both: more under some conditions, less under others.";

inline constexpr std::string_view kTimeFigure = "{}: over time";
inline constexpr std::string_view kTimeSays =
    "Each disc is a month's share; a diamond completes a rule. Months that count fewer than {} have no disc, since "
    "they move more by chance than the others (least: a quarter of the middle month).";
inline constexpr std::string_view kRunChart = "Run chart";
inline constexpr std::string_view kRunSays = "{} months around a median of {}. {}";
inline constexpr std::string_view kRunNone =
    "No signal: longest run on one side {} (up to {} by chance), {} crossings of the median (at least {} by chance).";
inline constexpr std::string_view kRunLong =
    "A signal: {} months in a row on one side of the median, where chance seldom gives more than {}.";
inline constexpr std::string_view kRunFew = "A signal: the median is crossed {} times, where chance seldom gives fewer than {}.";
inline constexpr std::string_view kXmr = "Individuals (X of XmR)";
inline constexpr std::string_view kXmrSays = "Mean {}, limits {} to {}. {}";
inline constexpr std::string_view kXmrNone = "No signal.";
inline constexpr std::string_view kXmrSignals = "Signals: {}.";
inline constexpr std::string_view kRange = "Moving range (mR of XmR)";
inline constexpr std::string_view kRangeSays = "Difference of each month from the one before: mean {}, limit {}.";
inline constexpr std::string_view kMonth = "month";
inline constexpr std::string_view kMonthShare = "share of a month";
inline constexpr std::string_view kMedianOfMonths = "median of the months";
inline constexpr std::string_view kMeanOfMonths = "mean of the months";
inline constexpr std::string_view kNaturalLimits = "limits, 2.66 mean moving ranges off";

inline constexpr std::string_view kFunnelFigure = "{}: group beside group";
inline constexpr std::string_view kFunnelSays =
    "Each disc is a group: its share against how many people it counts. Between the lines chance alone may explain why "
    "a group differs from the share of all.";
inline constexpr std::string_view kFunnelChartSays = "{} groups around {}. {}";
inline constexpr std::string_view kFunnelWithin = "All lie within the limits: no difference beyond chance is shown.";
inline constexpr std::string_view kFunnelHidden = " Hidden and not compared: {}.";
inline constexpr std::string_view kFunnelOutside = "Outside the limits: {}.";
inline constexpr std::string_view kFunnelOneInTwenty =
    " By chance alone about one group in twenty lies outside the 95 % limits.";
inline constexpr std::string_view kPeopleCounted = "people counted";
inline constexpr std::string_view kShareOfAll = "share of all";
inline constexpr std::string_view kLimit95 = "95 % limits";
inline constexpr std::string_view kLimit998 = "99.8 % limits";

inline constexpr std::string_view kChartsAnchor = "audit_charts";
inline constexpr std::string_view kRunDefinition =
    "Anhoej's rules: a run longer than round(log2 n + 3), or fewer crossings of the median than the 5 % quantile of a "
    "binomial with n - 1 trials of one half; n counts the points that are not on the median. No verdict below 10 of "
    "them.";
inline constexpr std::string_view kRunSource = "Anhoej & Olesen, PLoS ONE 2014";
inline constexpr std::string_view kXmrDefinition =
    "Limits at 2.66 times the mean moving range from the mean; the limit of a moving range is 3.268 times their mean. "
    "Months count alike, whatever the number of people in them. No verdict below 12 months. Rules in use: {}.";
inline constexpr std::string_view kXmrSource =
    "Shewhart 1931; factors for pairs as in the tables (NIST/SEMATECH e-Handbook 6.3.2.2)";
inline constexpr std::string_view kFunnelDefinition =
    "Exact binomial limits around the share of all (0.1, 2.5, 97.5 and 99.9 % of the inverse distribution, not "
    "interpolated). Of twenty groups that differ by chance alone about one lies outside the 95 % limits.";
inline constexpr std::string_view kFunnelSource = "Spiegelhalter 2005";
inline constexpr std::string_view kHiddenDefinition =
    "Hidden for others: counts of 1 to {} people, shares and medians that rest on them, further counts so that no sum "
    "or "
    "difference gives them back, and medians of fewer than {} people.";
inline constexpr std::string_view kHiddenEdges =
    "It holds for this one output. Two outputs over the same people, by other groups or for another period, may give "
    "away together what each of them hides.";
inline constexpr std::string_view kCommonPractice = "Common practice of health agencies, no single source";

inline constexpr std::string_view kMaking = "How this was made";
inline constexpr std::string_view kInputs = "SHA-256 over the sorted SHA-256 of the recordings in the analysis: ";
inline constexpr std::string_view kInputsKeyed =
    "SHA-256 over the sorted SHA-256 of the recordings in the analysis, hashed once more with the clinic's key: ";
inline constexpr std::string_view kNoted = "Noted";

}  // namespace tracehold::words
