#pragma once
// Noise of a recorder, an electrode or its contact: as strong at 300 Hz and above as below, which muscle is not.
#include <optional>
#include <span>
#include <vector>

#include "clean/half_seconds.hpp"
#include "clean/ranges.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// uv: RMS over the band, share: of the power of rest there; medians over `spans`, from the first half second of rest to
// the last of each stretch in which the noise is a part of rest that matters.
struct Broadband {
    Ranges spans;
    double uv = 0.0, share = 0.0;
};

// The half seconds of a trace, and what muscle has in the upper range.
class NoiseInMuscle {
public:
    // halves: of the band-passed trace after removal of mains, kept by whoever asks; low and high: its band. Edges: they tell
    // nothing where the band does not reach from 65 to 440 Hz, or no loud part is muscle's by its spectrum.
    NoiseInMuscle(const HalfSeconds& halves, Hertz low, Hertz high);

    bool tell() const { return muscle_.has_value(); }
    const HalfSeconds& halves() const { return halves_; }
    std::vector<HalfSecond> at_rest() const;
    double power(const HalfSecond& one) const { return (one.upper - *muscle_ * one.lower) / (1.0 - *muscle_) * band_hz_; }

private:
    const HalfSeconds& halves_;
    double band_hz_;
    double quiet_ = 0.0;
    std::optional<double> muscle_;
};

// How much of rest is as strong at 300 to 440 Hz as at 65 to 175 Hz, beyond what the loud parts, which are muscle, have
// there.
Broadband find_broadband(const NoiseInMuscle& noise_in);

// Where nothing but such noise is, for 20 s and more, larger than elsewhere: an electrode that lost contact. size: of the trace.
Ranges find_only_broadband(const NoiseInMuscle& noise_in, std::size_t size);

}  // namespace tracehold
