#include "tracehold/simulate/scenario.hpp"

namespace tracehold {

std::string_view to_string(RampShape shape) {
    switch (shape) {
        case RampShape::linear: return "linear";
        case RampShape::cosine: return "cosine";
        case RampShape::exponential: return "exponential";
        case RampShape::quadratic: return "quadratic";
    }
    return "unknown";
}

std::string_view to_string(FaultKind kind) {
    switch (kind) {
        case FaultKind::hum: return "hum";
        case FaultKind::wobbling_hum: return "wobbling_hum";
        case FaultKind::drift: return "drift";
        case FaultKind::heart_beats: return "heart_beats";
        case FaultKind::motion_burst: return "motion_burst";
        case FaultKind::spikes: return "spikes";
        case FaultKind::twitch: return "twitch";
        case FaultKind::clipping: return "clipping";
        case FaultKind::contact_flat: return "contact_flat";
        case FaultKind::contact_rail: return "contact_rail";
        case FaultKind::contact_open: return "contact_open";
        case FaultKind::gap: return "gap";
    }
    return "unknown";
}

}  // namespace tracehold
