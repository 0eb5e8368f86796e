#include "tracehold/course/other_versions.hpp"

#include <fmt/format.h>

#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"

namespace tracehold {

Note other_versions_note(const std::string& which, const std::set<std::string>& versions) {
    return {"other_program_version", "",
            fmt::format("{} scored by another version of the program ({}; this one is {}): a small difference may be the program's; "
                        "scoring again settles it",
                        which, shown(fmt::format("{}", fmt::join(versions, ", "))), kVersion)};
}

}  // namespace tracehold
