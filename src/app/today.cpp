#include "app/today.hpp"

#include <fmt/format.h>

#include <cstdlib>

#include "app/console.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

std::chrono::sys_seconds made_at() {
    const char* fixed = std::getenv("SOURCE_DATE_EPOCH");
    const auto seconds = fixed != nullptr ? parse_whole(fixed) : std::nullopt;
    return seconds ? std::chrono::sys_seconds{std::chrono::seconds{*seconds}}
                   : std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

std::optional<std::chrono::sys_days> today(bool quiet) {
    using namespace std::chrono;
    constexpr sys_days kFirst = year{2026} / 1 / 1;
    const sys_days day = floor<days>(made_at());
    if (day >= kFirst) return day;
    if (!quiet) say_note("today", {"clock_impossible", "", fmt::format("this computer's clock shows {}, which cannot be: dates are not checked against it; set the clock", date_text({day, std::nullopt}))});
    return std::nullopt;
}

}  // namespace tracehold
