#pragma once
// The state of the one pass over the rows of a CSV recording. csv_rows.cpp holds what it does with rows, csv_cells.cpp
// with cells.
#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "read/csv_plain_rows.hpp"
#include "read/csv_rows.hpp"
#include "read/decimal.hpp"
#include "read/text_cell.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {

// The pass. p stands at the beginning of a cell, or behind one at its delimiter or line end.
struct CsvPass {
    const CsvLayout& layout;
    std::span<const CsvColumn> columns;
    std::span<const double> factors;
    const std::string& source;
    const char* p;
    const char* end;
    std::size_t line;
    CsvRows rows{};

    const char* row_begin = nullptr;
    bool row_is_spoilt = false;
    bool row_has_value = false;
    bool row_has_quote = false;
    std::vector<std::string_view> last_text{};  // of each marker column
    std::size_t filled_rows = 0;                // rows up to the last one with any value
    double last_clock_s = 0.0;
    RowCount shorter{}, with_nul{}, comments{}, headers{}, blank{};
    std::vector<std::size_t> blank_rows{};  // of a file of one column: rows that a blank line stands for
    std::size_t blank_lines = 0;            // since the last row

    std::vector<PlainRows> plain_pieces{};
    bool all_are_plain = false;  // of the last piece and those beside it

    void run();

private:
    bool ends_here(const char* q) const {
        if (q == end || is_line_end(*q)) return true;
        if (*q != layout.delimiter) return false;
        return layout.delimiter != ' ' || (q + 1 != end && static_cast<unsigned char>(q[1]) > ' ');
    }
    bool at_row_end() const { return p == end || is_line_end(*p); }
    bool is_last_row() const {
        return std::all_of(p, end, [](char c) { return is_line_end(c) || c == ' ' || c == '\t'; });
    }
    std::string place(const char* at) const {
        const std::string_view before(row_begin, static_cast<std::size_t>(at - row_begin));
        return fmt::format("{}:{}", line, utf8_count(before) + 1);
    }
    void row();
    bool skip_what_is_no_row();
    void hear_remark(const char* begin);
    void place_blank_lines();
    void settle_blank_lines();
    void cell(std::size_t column);
    float sample(std::size_t column, double number);
    std::size_t guessed_rows() const;
    void plain_rows();
    void add(const PlainRows& piece);
    void leave_out_row();
    bool plain_number(PlainDecimal& number);
    double number(std::size_t column);
    void time(std::size_t column);
    double odd_number(std::size_t column);
    void stamp(std::size_t column);
    void marker(std::size_t column);
    void change_mark(std::size_t column, std::size_t row, const TextCell& cell);
    void day();
    TextCell checked_cell();
    void end_row();
    void short_row();
    void reject_row();
    void past_extra_cells();
    void next_line();
    void drop_unfinished_row();
    void settle_rows();
    void refuse_split_marks() const;
    [[noreturn]] void refuse_cell(const TextCell& cell, std::size_t column, std::string_view expected) const;
};

}  // namespace tracehold
