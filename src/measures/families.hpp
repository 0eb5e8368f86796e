#pragma once
// The measures, by family: each family is a file of its own name, each measure one function there and one line in
// list.cpp.
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {

// amplitude.cpp
Measure work_mean();
Measure hold_mean();
Measure rest_mean();
Measure peak();
Measure best_second();
Measure lift();
Measure area();
// timing.cpp
Measure reaction();
Measure time_to_hold();
Measure release();
// threshold.cpp
Measure above_threshold();
Measure reached_threshold();
// steadiness.cpp
Measure fade();
Measure steadiness();
// spectrum.cpp
Measure median_frequency();
Measure median_frequency_slope();
// endurance.cpp
Measure endurance();
Measure endurance_censored();
// rest.cpp
Measure stray();
// accessory.cpp
Measure coactivity();
Measure coactivity_correlation();

}  // namespace tracehold
