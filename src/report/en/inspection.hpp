#pragma once
// Every fixed sentence of the page on what a recording holds.
#include "report/en/common.hpp"

namespace tracehold::words {

inline constexpr char kChannel[] = "Channel";
inline constexpr char kRateHz[] = "Rate Hz";
inline constexpr char kUnitInFile[] = "Unit in file";
inline constexpr char kRangeColumn[] = "Range";
inline constexpr char kValidInFilePct[] = "Valid in file %";
inline constexpr char kRangeCaption[] = "Range in µV for voltages, in the file's own unit for other channels";
inline constexpr char kSignalOf[] = "Signal of {}";
inline constexpr char kNotExamined[] = "Not examined: {}";
inline constexpr char kCanBeScored[] = "Can be scored";
inline constexpr char kLeftOutRow[] = "Left out";
inline constexpr char kHumOf[] = "{} µV at {} Hz and its multiples, {} % of the power{}";
inline constexpr char kAndOtherTexts[] = ", and {} other texts";
inline constexpr char kPerson[] = "Person";
inline constexpr char kBegan[] = "Began";
inline constexpr char kPosture[] = "Posture";
inline constexpr char kLength[] = "Length";
inline constexpr char kMarks[] = "Marks";
inline constexpr char kGaps[] = "Gaps";
inline constexpr char kWhatTheRecordingHolds[] = "What the recording holds";
inline constexpr char kAssumedInReading[] = "Assumed in reading";

}  // namespace tracehold::words
