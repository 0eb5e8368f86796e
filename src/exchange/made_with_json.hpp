#pragma once
#include "exchange/json_text.hpp"
#include "tracehold/core/made_with.hpp"

namespace tracehold {

// Without the rules, which only a course has.
inline Json made_with_json(const MadeWith& files) {
    return {{"plans_sha256", files.plans},
            {"corrections_sha256", files.corrections},
            {"sessions_sha256", json_text(files.sessions)},
            {"left_out", json_text(files.left_out)}};
}

}  // namespace tracehold
