#include "tracehold/core/error.hpp"

#include <utility>

namespace tracehold {

std::string_view to_string(ErrorKind kind) {
    switch (kind) {
        case ErrorKind::cannot_open: return "cannot_open";
        case ErrorKind::not_recognised: return "not_recognised";
        case ErrorKind::malformed: return "malformed";
        case ErrorKind::unsupported: return "unsupported";
        case ErrorKind::too_short: return "too_short";
        case ErrorKind::bad_setting: return "bad_setting";
        case ErrorKind::cannot_write: return "cannot_write";
    }
    return "unknown";
}

Error::Error(ErrorKind kind_, std::string source_, std::string place_, std::string message_, std::string hint_)
    : kind(kind_),
      source(std::move(source_)),
      place(std::move(place_)),
      message(std::move(message_)),
      hint(std::move(hint_)) {
    text_ = source;
    if (!place.empty()) text_ += (text_.empty() ? "" : ":") + place;
    text_ += (text_.empty() ? "" : ": ") + message;
    if (!hint.empty()) text_ += "\nhint: " + hint;
}

}  // namespace tracehold
