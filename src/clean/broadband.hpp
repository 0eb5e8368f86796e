#pragma once
// Noise of a recorder, an electrode or its contact: as strong at 300 Hz and above as below, which muscle is not.
#include <span>

#include "clean/ranges.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// uv: RMS over the band, share: of the power of rest there; medians over `spans`, from the first half second of rest to
// the last of each stretch in which the noise is a part of rest that matters.
struct Broadband {
    Ranges spans;
    double uv = 0.0, share = 0.0;
};

// How much of rest is as strong at 300 to 440 Hz as at 65 to 175 Hz, beyond what the loud parts, which are muscle, have
// there. In: band-passed trace after removal of mains, NaN where masked; low and high: its band. Edges: nothing where
// the band does not reach from 65 to 440 Hz, or no loud part is muscle's by its spectrum.
Broadband find_broadband(std::span<const float> uv, Hertz rate, Hertz low, Hertz high);

// Where nothing but such noise is, for 20 s and more, larger than elsewhere: an electrode that lost contact.
Ranges find_only_broadband(std::span<const float> uv, Hertz rate, Hertz low, Hertz high);

}  // namespace tracehold
