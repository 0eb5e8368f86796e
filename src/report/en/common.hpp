#pragma once
// English words that several reports share.

namespace tracehold::words {

inline constexpr char kMeasureColumn[] = "Measure";
inline constexpr char kStepColumn[] = "Step";
inline constexpr char kKindColumn[] = "Kind";
inline constexpr char kRecordingColumn[] = "Recording";
inline constexpr char kRecordingsColumn[] = "Recordings";
inline constexpr char kShareColumn[] = "Share";
inline constexpr char kIntervalColumn[] = "Interval";
inline constexpr char kMedianColumn[] = "Median (n)";
inline constexpr char kDoneColumn[] = "Done";
inline constexpr char kFile[] = "File";
inline constexpr char kFormat[] = "Format";
inline constexpr char kPlanRow[] = "Plan";
inline constexpr char kSoftwareRow[] = "Software";
inline constexpr char kQuietestLevel[] = "Quietest seconds";
inline constexpr char kMainsHum[] = "Mains hum";
inline constexpr char kNotStated[] = "not stated";
inline constexpr char kFromTheCue_s[] = "From the cue, s";
inline constexpr char kDidItHappen[] = "Did it happen?";
inline constexpr char kTrusted[] = "Can it be trusted?";
inline constexpr char kMaking[] = "How this was made";
inline constexpr char kUnusableColumn[] = "Unusable";
inline constexpr char kPostureNotStated[] = "posture not stated";
inline constexpr char kChanged[] = "What changed?";
inline constexpr char kAsk[] = "What to ask next?";
inline constexpr char kNoCorrections[] = "Nothing was corrected by hand.";
inline constexpr char kDefinitions[] = "How the numbers are defined";
inline constexpr char kDateColumn[] = "Date";
inline constexpr char kPersonNotNamed[] = "person not named";
inline constexpr char kNoChangeShown[] = "No change shown";

}  // namespace tracehold::words
