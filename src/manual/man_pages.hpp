#pragma once
// Manual pages in the man macros of roff, UTF-8.
#include <span>
#include <string>
#include <string_view>

#include "manual/commands.hpp"

namespace tracehold {

// Of the version, as in the changelog.
inline constexpr std::string_view kPageDate = "2026-11-25";

// Text as it stands: backslashes, hyphens and a dot or apostrophe at the begin of a line are no commands.
std::string roff_text(std::string_view text);

std::string commands_page(std::span<const ManualCommand> commands);  // tracehold(1)
std::string formats_page();                                          // tracehold-formats(5)
std::string measures_page();                                         // tracehold-measures(7)

}  // namespace tracehold
