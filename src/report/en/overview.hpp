#pragma once
// Every fixed sentence of the overview of several recordings.
#include "report/en/common.hpp"

namespace tracehold::words {

inline constexpr char kNoValue[] = "no value";
inline constexpr char kWithCare[] = "with care";
inline constexpr char kAskedAndThere[] = "The plan asks for {}, {}; here {} on {}, from {} to {}";
inline constexpr char kCopyOf[] = "{}: a copy of {}, counted once";
inline constexpr char kMeansOverHolds[] = "Means are over the holds that were done";
inline constexpr char kTrustedColumn[] = "Trusted";
inline constexpr char kWorkUv[] = "Work µV";
inline constexpr char kRestUv[] = "Rest µV";
inline constexpr char kRelease_s[] = "Release s";
inline constexpr char kOverview[] = "Overview";

}  // namespace tracehold::words
