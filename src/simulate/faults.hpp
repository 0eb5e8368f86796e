#pragma once
// What real recordings have and a muscle does not.
#include <cstddef>
#include <cstdint>
#include <vector>

#include "simulate/muscle_noise.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/simulate/scenario.hpp"

namespace tracehold {

// Where a fault acts, with every default filled in.
Fault completed(const Fault& fault, double duration_s);

bool reaches_every_channel(FaultKind kind);

struct FaultPlace {
    std::uint64_t seed = 1;
    std::uint32_t number = 0;  // of the fault in its scenario: each draws from its own stream
    EmgSpectrum spectrum;      // of the muscle, for twitches
    Hertz rate{1.0};
};

// Puts one completed fault into the samples (µV). Samples outside its span stay as they are.
void put_fault(const Fault& fault, const FaultPlace& place, std::vector<double>& samples);

// The order in which faults are put in: what is added first, then what replaces; in the order of the scenario within
// both.
std::vector<std::size_t> order_of_faults(const std::vector<Fault>& faults);

}  // namespace tracehold
