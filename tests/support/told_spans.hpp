#pragma once
// Spans as they stand in golden files.
#include <fmt/format.h>

#include <cstddef>
#include <string>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold::test {

// Many by their number, how long they last and where they lie.
inline std::string told(const std::vector<TimeSpan>& spans) {
    constexpr std::size_t kFew = 6;
    std::string each;
    double begins_s = 0.0, lengths_s = 0.0;
    for (const TimeSpan& span : spans) {
        if (spans.size() <= kFew) each += fmt::format(" {:.4f} {:.4f}", span.begin_s, span.end_s);
        begins_s += span.begin_s, lengths_s += span.length_s();
    }
    if (spans.size() <= kFew) return each;
    return fmt::format(" {} spans {:.6g} {:.6g}", spans.size(), lengths_s, begins_s / static_cast<double>(spans.size()));
}

}  // namespace tracehold::test
