#pragma once
// Every fixed sentence of the figures, in one place.
#include "report/en/common.hpp"

namespace tracehold::words {

inline constexpr char kOverlayTitle[] = "All contractions from their cue on";
inline constexpr char kOverlayTitleUncued[] = "All contractions from their start on";
inline constexpr char kOverlaySays[] = "The contractions that were done, laid over each other at {}.";
inline constexpr char kOverlayChartSays[] = "{}, laid over each other at {}. {}";
inline constexpr char kAtCue[] = "the cue to contract (0 s)";
inline constexpr char kAtStart[] = "their start (0 s), because no cue is known";
inline constexpr char kMedianSays[] = "The median reaches {} µV, at {} s.";
inline constexpr char kEachContraction[] = "each contraction";
inline constexpr char kMedian[] = "median";
inline constexpr char kFromCue[] = "from the cue to contract";
inline constexpr char kFromStart[] = "from the start of the contraction";

inline constexpr char kMeasuresTitle[] = "Measure by measure over the session";
inline constexpr char kMeasuresSays[] =
    "Each contraction at its number; lines are 95 % intervals where an error is known. Disc: hold, diamond: rapid, "
    "square: endurance, ring: missed; a cross on the axis: not given.";
inline constexpr char kMeasureSays[] = "{} of {} contractions have a value, from {} to {} {}.";
inline constexpr char kContraction[] = "contraction";
inline constexpr char kTargetBelow[] = "target below {} {}";
inline constexpr char kTargetAbove[] = "target above {} {}";

inline constexpr char kSpectrumTitle[] = "Spectrum and hum";
inline constexpr char kSpectrumSays[] =
    "Amplitude of the cleaned trace by frequency, while working and while resting. {}";
inline constexpr char kHumSays[] = "Hum at {} Hz and its harmonics: {} µV, {} % of the power, {}.";
inline constexpr char kHumTaken[] = "removed before scoring";
inline constexpr char kHumLeft[] = "left in";
inline constexpr char kNoHum[] = "Hum of the mains was not looked for.";
inline constexpr char kWhileWorking[] = "while working";
inline constexpr char kWhileResting[] = "while resting";
inline constexpr char kFrequency[] = "frequency";
inline constexpr char kMainsAt[] = "mains {} Hz";

inline constexpr char kCourseTitle[] = "Over the weeks";
inline constexpr char kCourseSays[] =
    "Every session is a ring. The grey band lies around the first days: a change has to leave it to be more than "
    "measurement error. A trend is drawn only where it is more than that.";
inline constexpr char kFewDaysSay[] =
    "Every session is a ring. The grey band is the published error about the first value, of one session: a value outside of it is no "
    "claim of a change.";
inline constexpr char kCourseChartSays[] = "{} sessions. {}";
inline constexpr char kEachSession[] = "each session";
inline constexpr char kEachWeek[] = "median of each week";
inline constexpr char kWeekFrom[] = "Week from";
inline constexpr char kByWeek[] = "Here, of {} sessions, each ring is the median of a week instead; the JSON and the CSV of the course have every session.";
inline constexpr char kErrorBand[] = "first days and the measurement error about them";
inline constexpr char kBlocks[] = "mean of the first and of the last days";
inline constexpr char kTrend[] = "trend";
inline constexpr char kCalendarTitle[] = "Sessions day by day";
inline constexpr char kCalendarSays[] =
    "Sessions on each day; a dot is a day without one. W10: number of the week (ISO 8601). Contractions count that were done on a signal that could be scored.";
inline constexpr char kBeforeAfterTitle[] = "Contractions before and after";
inline constexpr char kBeforeAfterSays[] =
    "{} of {} and {} of {}, each from its cue on: the median, and as a band the middle half of the contractions. The "
    "electrode lay anew each time, so heights compare with care.";
inline constexpr char kBefore[] = "before";
inline constexpr char kAfter[] = "after";
inline constexpr char kMiddleHalf[] = "middle half, {}";
inline constexpr char kMedianOf[] = "median, {}";

inline constexpr char kFromTheStart_s[] = "From the start, s";
inline constexpr char kMedianUv[] = "Median, µV";
inline constexpr char kLowestAboutThenUv[] = "Lowest about then, µV";
inline constexpr char kHighestAboutThenUv[] = "Highest about then, µV";
inline constexpr char kFrequencyHz[] = "Frequency, Hz";

}  // namespace tracehold::words
