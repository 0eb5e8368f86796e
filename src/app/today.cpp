#include "app/today.hpp"

#include <cstdlib>

#include "tracehold/core/number_text.hpp"

namespace tracehold {

std::chrono::sys_seconds made_at() {
    const char* fixed = std::getenv("SOURCE_DATE_EPOCH");
    const auto seconds = fixed != nullptr ? parse_whole(fixed) : std::nullopt;
    return seconds ? std::chrono::sys_seconds{std::chrono::seconds{*seconds}}
                   : std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

std::chrono::sys_days today() { return std::chrono::floor<std::chrono::days>(made_at()); }

}  // namespace tracehold
