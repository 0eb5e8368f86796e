#pragma once
#include <cstddef>
#include <string>
#include <string_view>

namespace tracehold::test {

inline bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

inline std::size_t count_of(std::string_view whole, std::string_view part) {
    std::size_t count = 0;
    for (std::size_t at = whole.find(part); at != std::string_view::npos; at = whole.find(part, at + 1)) ++count;
    return count;
}

}  // namespace tracehold::test
