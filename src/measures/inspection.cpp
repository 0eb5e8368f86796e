#include "tracehold/measures/inspection.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {
namespace {

ChannelInspection describe(const Channel& channel) {
    ChannelInspection seen;
    seen.label = channel.label;
    seen.rate_hz = channel.rate.value;
    seen.kind = channel.kind;
    seen.unit = channel.unit;
    seen.samples = channel.samples.size();
    for (const float sample : channel.samples) {
        if (!std::isfinite(sample)) continue;
        const double value = sample;
        ++seen.valid;
        seen.low = seen.low ? std::min(*seen.low, value) : value;
        seen.high = seen.high ? std::max(*seen.high, value) : value;
    }
    return seen;
}

}  // namespace

Inspection describe(const Recording& recording) {
    Inspection seen{.source = recording.source, .sha256 = recording.sha256, .format = recording.format, .person = recording.person,
                    .start = recording.start, .posture = recording.posture, .duration_s = recording.duration_s(),
                    .channels = {}, .marks = recording.marks, .gaps = recording.gaps, .notes = recording.notes};
    for (const Channel& channel : recording.channels) seen.channels.push_back(describe(channel));
    return seen;
}

}  // namespace tracehold
