#pragma once
// The course of a slowly changing complex amplitude from noisy looks at it.
#include <complex>
#include <span>
#include <vector>

namespace tracehold {

// variance 0: nothing was seen. anew: what came before it says nothing of it, and the other way round.
struct Look {
    std::complex<double> amplitude;
    double variance = 0.0;
    bool anew = false;
};

// rate: change per look.
struct LineCourse {
    std::complex<double> amplitude;
    std::complex<double> rate;
};

struct SmoothLine {
    std::vector<LineCourse> course;  // one per look; empty where the evidence is less than was asked for
    double evidence = 0.0;       // log likelihood, less that of 'there is no line'
};

// How fast the amplitude may change is chosen by likelihood.
SmoothLine smooth_line(std::span<const Look> looks, double least_evidence);

}  // namespace tracehold
