#pragma once
// Every fixed sentence of the figures, in one place.
#include <string_view>

namespace tracehold::words {

using Text = std::string_view;

inline constexpr Text kOverlayTitle = "All contractions from their cue on";
inline constexpr Text kOverlayTitleUncued = "All contractions from their start on";
inline constexpr Text kOverlaySays = "The contractions that were done, laid over each other at {}.";
inline constexpr Text kOverlayChartSays = "{}, laid over each other at {}. {}";
inline constexpr Text kAtCue = "the cue to contract (0 s)";
inline constexpr Text kAtStart = "their start (0 s), because no cue is known";
inline constexpr Text kMedianSays = "The median reaches {} µV, at {} s.";
inline constexpr Text kEachContraction = "each contraction";
inline constexpr Text kMedian = "median";
inline constexpr Text kFromCue = "from the cue to contract";
inline constexpr Text kFromStart = "from the start of the contraction";

inline constexpr Text kMeasuresTitle = "Measure by measure over the session";
inline constexpr Text kMeasuresSays =
    "Each contraction at its number; lines are 95 % intervals where an error is known. Disc: hold, diamond: rapid, "
    "square: endurance, ring: missed; a cross on the axis: not given.";
inline constexpr Text kMeasureSays = "{} of {} contractions have a value, from {} to {} {}.";
inline constexpr Text kContraction = "contraction";
inline constexpr Text kTargetBelow = "target below {} {}";
inline constexpr Text kTargetAbove = "target above {} {}";
inline constexpr Text kRestTargetBelow = "target for rest: below {} {}";

inline constexpr Text kSpectrumTitle = "Spectrum and hum";
inline constexpr Text kSpectrumSays =
    "Amplitude of the cleaned trace by frequency, while working and while resting. {}";
inline constexpr Text kHumSays = "Hum at {} Hz and its harmonics: {} µV, {} % of the power, {}.";
inline constexpr Text kHumTaken = "removed before scoring";
inline constexpr Text kHumLeft = "left in";
inline constexpr Text kNoHum = "Hum of the mains was not looked for.";
inline constexpr Text kWhileWorking = "while working";
inline constexpr Text kWhileResting = "while resting";
inline constexpr Text kFrequency = "frequency";
inline constexpr Text kMainsAt = "mains {} Hz";

inline constexpr Text kCourseTitle = "Over the weeks";
inline constexpr Text kCourseSays =
    "Every session is a ring. The grey band lies around the first days: a change has to leave it to be more than "
    "measurement error. A trend is drawn only where it is more than that.";
inline constexpr Text kFewDaysSay =
    "Every session is a ring. The grey band is the published error about the first value, of one session: a value outside of it is no "
    "claim of a change.";
inline constexpr Text kCourseChartSays = "{} sessions. {}";
inline constexpr Text kDate = "Date";
inline constexpr Text kEachSession = "each session";
inline constexpr Text kEachWeek = "median of each week";
inline constexpr Text kWeekFrom = "Week from";
inline constexpr Text kByWeek = "Here, of {} sessions, each ring is the median of a week instead; the JSON and the CSV of the course have every session.";
inline constexpr Text kErrorBand = "first days and what a change has to exceed";
inline constexpr Text kBlocks = "mean of the first and of the last days";
inline constexpr Text kTrend = "trend";
inline constexpr Text kCalendarTitle = "Sessions day by day";
inline constexpr Text kCalendarSays =
    "Sessions on each day; a dot is a day without one. W10: number of the week (ISO 8601). Contractions count that were done on a signal that could be scored.";
inline constexpr Text kBeforeAfterTitle = "Contractions before and after";
inline constexpr Text kBeforeAfterSays =
    "{} of {} and {} of {}, each from its cue on: the median, and as a band the middle half of the contractions. The "
    "electrode lay anew each time, so heights compare with care.";
inline constexpr Text kBefore = "before";
inline constexpr Text kAfter = "after";
inline constexpr Text kMiddleHalf = "middle half, {}";
inline constexpr Text kMedianOf = "median, {}";

}  // namespace tracehold::words
