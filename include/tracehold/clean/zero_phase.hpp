#pragma once
// Running a filter forward and backward, so that it moves nothing in time.
#include <cstddef>
#include <span>
#include <vector>

#include "tracehold/clean/butterworth.hpp"

namespace tracehold {

// Samples after which what the filter remembers has fallen to `remainder` (0..1) of its size: from the largest pole.
std::size_t settling_samples(std::span<const FilterSection> sections, double remainder = 1e-3);

// In place, in double inside. Both ends are extended by odd reflection over settling_samples (less where the run is
// shorter), and each pass starts in the steady state for its first sample, so a constant goes through without a
// transient. In: finite samples, any length. Edges: a run shorter than settling_samples is filtered, but its result is
// mostly edge. Works block by block: memory does not grow with the run; the result equals that of one piece to about
// 1e-12 of the signal. Source: Gustafsson 1996 names the problem of the ends; odd reflection is common practice.
void run_zero_phase(std::span<const FilterSection> sections, std::span<float> run);

// The valid runs of a trace: maximal stretches without NaN.
std::vector<SampleRange> valid_runs(std::span<const float> samples);

}  // namespace tracehold
