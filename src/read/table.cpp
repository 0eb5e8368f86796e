#include "tracehold/read/table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "read/csv_layout.hpp"
#include "read/decimal.hpp"
#include "read/text_cell.hpp"
#include "read/text_encoding.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

std::string place_text(std::size_t line, std::size_t column) { return fmt::format("{}:{}", line, column); }

// The rows under one delimiter.
struct RowReader {
    const char* p;
    const char* end;
    char delimiter;
    const std::string& source;
    std::size_t line = 1;
    std::vector<std::pair<std::string, std::string>> comments{};

    std::optional<TableRow> next() {
        while (p != end) {
            const std::string_view rest{p, static_cast<std::size_t>(line_end(p, end) - p)};
            if (trimmed(rest).empty() || trimmed(rest).starts_with('#')) {
                take_comment(trimmed(rest));
                p = after_line_end(rest.data() + rest.size(), end);
                ++line;
                continue;
            }
            TableRow row = one_row();
            const bool filled =
                std::any_of(row.cells.begin(), row.cells.end(), [](const auto& cell) { return !cell.empty(); });
            if (filled) return row;
        }
        return std::nullopt;
    }

private:
    void take_comment(std::string_view text) {
        while (text.starts_with('#')) text = trimmed(text.substr(1));
        std::pair<std::string, std::string> key_value;
        if (split_key_value(text, key_value)) comments.push_back(std::move(key_value));
    }

    TableRow one_row() {
        TableRow row{line, {}, {}};
        const char* const begin = p;
        const char* counted = begin;  // up to here column is known: a long row is counted once
        std::size_t column = 1;
        for (;; ++p) {
            const TextCell cell = cell_at(p, end, delimiter);
            column += utf8_count({counted, static_cast<std::size_t>(cell.begin - counted)});
            counted = cell.begin;
            row.columns.push_back(column);
            check(row, cell, begin);
            row.cells.push_back(unquoted(cell));
            p = cell.next;
            if (p == end || is_line_end(*p)) break;
        }
        const auto ends = [&](const char* q) { return *q == '\n' || (*q == '\r' && (q + 1 == end || q[1] != '\n')); };
        for (const char* q = begin; q != p; ++q) line += ends(q);
        p = after_line_end(p, end);
        ++line;
        return row;
    }

    void check(const TableRow& row, const TextCell& cell, const char* begin) const {
        const std::string place = place_text(row.line, row.columns.back());
        if (cell.open) throw Error(ErrorKind::malformed, source, place, "a quote is opened here and never closed");
        if (static_cast<std::size_t>(cell.next - begin) > kLongestLine) {
            throw Error(ErrorKind::malformed, source, place_text(row.line, 1),
                        fmt::format("the line is too long: expected at most {} bytes", kLongestLine));
        }
        if (row.columns.size() > kMostColumns) {
            throw Error(ErrorKind::malformed, source, place,
                        fmt::format("too many columns: expected at most {}", kMostColumns));
        }
    }
};

// How many of the first rows have the width of the first one; none for a width of one.
struct Fit {
    std::size_t width = 0;
    std::size_t rows = 0;
    std::size_t others = 0;
};

Fit fit_of(std::string_view text, char delimiter, const std::string& source) {
    constexpr std::size_t kRows = 100;
    RowReader reader{text.data(), text.data() + text.size(), delimiter, source};
    Fit fit;
    try {
        for (std::size_t i = 0; i < kRows; ++i) {
            const auto row = reader.next();
            if (!row) break;
            if (i == 0) fit.width = row->cells.size();
            ++(row->cells.size() == fit.width ? fit.rows : fit.others);
        }
    } catch (const Error&) {  // cut at the wrong places, a quote that closes looks as if it were opened
        ++fit.others;
    }
    return fit;
}

// Blanks only where nothing else separates and every row agrees: words hold blanks too. Commas for a list of one
// column.
char delimiter_of(std::string_view text, const std::string& source) {
    char best = '\0';
    Fit best_fit;
    for (const char delimiter : {',', ';', '\t', '|'}) {
        const Fit fit = fit_of(text, delimiter, source);
        const bool better = fit.rows > best_fit.rows || (fit.rows == best_fit.rows && fit.width > best_fit.width);
        if (fit.width > 1 && better) {
            best = delimiter;
            best_fit = fit;
        }
    }
    if (best != '\0') return best;
    const Fit blanks = fit_of(text, ' ', source);
    return blanks.width > 1 && blanks.others == 0 ? ' ' : ',';
}

bool is_header(const TableRow& row) {
    const auto word = [](const std::string& cell) {
        const CellLook look = look_at(cell);
        return look == CellLook::word || look == CellLook::empty || look == CellLook::missing;
    };
    return std::all_of(row.cells.begin(), row.cells.end(), word);
}

void check_width(TableRow& row, std::size_t width, const std::string& source) {
    while (row.cells.size() > width && row.cells.back().empty()) row.cells.pop_back();
    if (row.cells.size() == width) return;
    const std::size_t at = row.cells.size() > width ? row.columns[width] : row.columns.back();
    throw Error(ErrorKind::malformed, source, place_text(row.line, at),
                fmt::format("a row of another width: saw {} cells, expected {}", row.cells.size(), width));
}

}  // namespace

std::string TableRow::place(std::size_t cell) const {
    return place_text(line, cell < columns.size() ? columns[cell] : 1);
}

Table read_table(std::string_view bytes, const std::string& source) {
    Table table;
    std::string storage;
    const std::string_view text = utf8_view(bytes, storage, table.notes);
    RowReader reader{text.data(), text.data() + text.size(), delimiter_of(text, source), source};
    auto row = reader.next();
    if (!row) throw Error(ErrorKind::too_short, source, "", "an empty list: expected a header row");
    std::size_t width = row->cells.size();
    if (is_header(*row)) {
        while (width > 1 && row->cells[width - 1].empty()) --width;
        for (std::size_t c = 0; c < width; ++c) table.header.push_back(lower_case(trimmed(row->cells[c])));
        row = reader.next();
    }
    for (; row; row = reader.next()) {
        check_width(*row, width, source);
        table.rows.push_back(std::move(*row));
    }
    table.comments = std::move(reader.comments);
    return table;
}

}  // namespace tracehold
