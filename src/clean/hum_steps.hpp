#pragma once
// Hum that begins and ends at once, as when a lamp or a pump is switched or a lead touched.
#include <cstddef>
#include <span>
#include <vector>

#include "clean/line_smoother.hpp"

namespace tracehold {

// Looks: the last one of before and the first one of after. What is between them saw some of both. burst: several steps so near
// that no look saw what was between them alone.
struct HumStep {
    std::size_t before = 0, after = 0;
    bool burst = false;
    bool operator==(const HumStep&) const = default;
};

// Where the size of a line changes by half of it and more between looks three apart, far beyond what the looks' variances
// let expect. In: looks of half a second each, half overlapping. Edges: a step within what was not seen lies anywhere within.
std::vector<HumStep> hum_steps(std::span<const Look> looks);

// What saw some of both counts as not seen, and each step begins anew.
void part_at(std::span<const HumStep> steps, std::span<Look> looks);

}  // namespace tracehold
