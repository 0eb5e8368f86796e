#pragma once
#include <cstddef>
#include <string>
#include <vector>

namespace tracehold::test {

// A reader of RFC 4180 that knows nothing else.
inline std::vector<std::vector<std::string>> rows_of(const std::string& text) {
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string> row(1);
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted) {
            const bool doubled = c == '"' && i + 1 < text.size() && text[i + 1] == '"';
            if (c != '"' || doubled)
                row.back() += c;
            else
                quoted = false;
            i += doubled ? 1 : 0;
        } else if (c == '"')
            quoted = true;
        else if (c == ',')
            row.emplace_back();
        else if (c == '\n')
            rows.push_back(row), row.assign(1, "");
        else
            row.back() += c;
    }
    return rows;
}

}  // namespace tracehold::test
