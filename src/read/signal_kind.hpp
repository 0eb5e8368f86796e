#pragma once
// Raw trace or amplitude: what the samples themselves say, and what follows where file or user say something else.
//
// Sign first: hardly ever (1 %) negative, or no amplitude. Then the rate: a trace is not kept at 100 Hz or less. Then how it
// moves: what changes little within 5 ms is an amplitude. Of the rest an amplitude stands higher where it swings more (a
// rectified trace by 1.3 times its standard deviation); a raw trace on an offset stands where it stood. Where the swings are
// all alike, a trace that keeps far from zero and reaches as far down as up is raw. All limits are our choice.
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

enum class SignalShape {
    flat,       // one value throughout, or none
    signed_,    // a substantial share of negative values
    amplitude,  // never negative, smooth or standing higher where it swings more
    on_offset,  // never negative, swinging both ways around its middle
};

struct SignalLook {
    SignalShape shape = SignalShape::flat;
    bool sure = true;
    double negative = 0.0;  // share of the values, 0..1
    float median = 0.0f;    // of at most 100,000 values, evenly picked; looked for only where hardly any is negative
    bool whole = true;      // whole numbers all
};

SignalLook look_of(const std::vector<float>& samples, Hertz rate);

// why: what decided, for a Note; "" for a plain raw trace. doubt: "" where nothing is doubtful.
struct KindFound {
    ChannelKind kind = ChannelKind::raw;
    std::string why;
    std::string doubt;
};

// said: by the user or the file, which is followed, with a doubt where the samples say the contrary; why: who says so.
KindFound find_kind(const SignalLook& look, Hertz rate, std::optional<ChannelKind> said, const std::string& why);

}  // namespace tracehold
