#pragma once
// What a number can be at all, whoever is measured: a file that says else is damaged.
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// Both inclusive. Our choices, far from anything that a recording of at most 31 days at 1 MHz can give: 1 kV, 31 days,
// 1 MHz, and a ratio of 10^12, beyond what two amplitudes in single precision can make.
struct PossibleRange {
    double low, high;
};
inline constexpr PossibleRange kPossibleMicrovolts{0.0, 1e9}, kPossibleSeconds{0.0, 31.0 * 86400.0}, kPossibleHertz{0.0, 1e6},
    kPossibleRatio{0.0, 1e12};

// That of its unit, from 0 on unless the measure is a difference.
PossibleRange possible_range(const Measure& measure);

// Whether the limit of a target is a value that the measure can have.
bool is_possible_limit(const Target& target, const Measure& measure);

// Errors: bad_setting, where a target of the plan names no measure, or a value that it never has.
void require_possible_targets(const Plan& plan);

}  // namespace tracehold
