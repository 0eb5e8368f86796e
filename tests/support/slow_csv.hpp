#pragma once
// A CSV reader that is slow and plain: the whole text cut into lines, lines into cells, cells into numbers, each kept.
// It knows one delimiter, one mark, one header row and nothing else; where the text is that simple, the fast reader
// must agree bit for bit.
#include <charconv>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace tracehold::test {

struct SlowCsvStyle {
    char delimiter = ',';
    char mark = '.';
    bool header = true;
};

inline std::vector<std::string> cut(const std::string& text, char at) {
    std::vector<std::string> parts(1);
    for (const char c : text) {
        if (c == at) {
            parts.emplace_back();
        } else {
            parts.back() += c;
        }
    }
    return parts;
}

inline double slow_number(std::string cell, char mark) {
    for (char& c : cell) c = c == mark ? '.' : c;
    double value = 0.0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    const bool whole = error == std::errc() && end == cell.data() + cell.size() && std::isfinite(value);
    return whole ? value : std::numeric_limits<double>::quiet_NaN();
}

// Columns of numbers.
inline std::vector<std::vector<double>> slow_csv(const std::string& text, const SlowCsvStyle& style) {
    std::vector<std::vector<double>> columns;
    bool header = style.header;
    for (std::string line : cut(text, '\n')) {
        if (!line.empty() && line.back() == '\r') line.pop_back();
        if (line.empty()) continue;
        const auto cells = cut(line, style.delimiter);
        if (header) {
            header = false;
            continue;
        }
        columns.resize(std::max(columns.size(), cells.size()));
        for (std::size_t c = 0; c < cells.size(); ++c) columns[c].push_back(slow_number(cells[c], style.mark));
    }
    return columns;
}

}  // namespace tracehold::test
