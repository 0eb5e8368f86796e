#include "tracehold/core/error.hpp"

#include <utility>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// A file's name may hold line breaks: nothing of it may look like a line of our own.
constexpr std::size_t kLongestPart = 2000;

}  // namespace

std::string_view to_string(ErrorKind kind) {
    switch (kind) {
        case ErrorKind::cannot_open: return "cannot_open";
        case ErrorKind::not_recognised: return "not_recognised";
        case ErrorKind::malformed: return "malformed";
        case ErrorKind::unsupported: return "unsupported";
        case ErrorKind::too_short: return "too_short";
        case ErrorKind::bad_setting: return "bad_setting";
        case ErrorKind::cannot_write: return "cannot_write";
        case ErrorKind::wrong_use: return "wrong_use";
    }
    return "unknown";
}

Error::Error(ErrorKind kind_, std::string source_, std::string place_, std::string message_, std::string hint_)
    : kind(kind_),
      source(std::move(source_)),
      place(std::move(place_)),
      message(std::move(message_)),
      hint(std::move(hint_)) {
    text_ = shown(source, kLongestPart);
    if (!place.empty()) text_ += (text_.empty() ? "" : ":") + shown(place, kLongestPart);
    text_ += (text_.empty() ? "" : ": ") + shown(message, kLongestPart);
    if (!hint.empty()) text_ += "\nhint: " + shown(hint, kLongestPart);
}

}  // namespace tracehold
