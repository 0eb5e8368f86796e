#include "tracehold/cycles/cycles.hpp"

namespace tracehold {

std::string_view to_string(CueSource source) {
    switch (source) {
        case CueSource::marks: return "marks";
        case CueSource::start: return "start";
        case CueSource::aligned: return "aligned";
        case CueSource::trace: return "trace";
    }
    return "unknown";
}

std::string_view to_string(CycleStatus status) {
    switch (status) {
        case CycleStatus::done: return "done";
        case CycleStatus::missed: return "missed";
        case CycleStatus::extra: return "extra";
        case CycleStatus::unusable: return "unusable";
    }
    return "unknown";
}

std::string_view to_string(Begins begins) {
    switch (begins) {
        case Begins::as_usual: return "as usual";
        case Begins::early: return "early";
        case Begins::late: return "late";
    }
    return "unknown";
}

}  // namespace tracehold
