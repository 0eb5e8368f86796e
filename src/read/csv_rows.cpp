#include "read/csv_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "read/csv_dialect.hpp"
#include "read/csv_pass.hpp"
#include "read/csv_sayings.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

}  // namespace

void CsvPass::run() {
    const std::size_t guess = guessed_rows();
    rows.values.resize(layout.width);
    rows.changes.resize(layout.width);
    rows.missing.resize(layout.width);
    rows.too_large.resize(layout.width);
    last_text.resize(layout.width);
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (columns[c].role == ColumnRole::value) rows.values[c].reserve(guess);
        if (columns[c].role == ColumnRole::time) rows.time.reserve(guess);
    }
    const bool plain = have_plain_cells(columns, layout.delimiter);
    while (p != end) {
        if (plain && blank_lines == 0) plain_rows();
        if (p != end) row();
    }
    settle_blank_lines();
    settle_rows();
}

// By the lengths of lines all over the file; rather a few too many, for memory that moves as it grows is held twice.
std::size_t CsvPass::guessed_rows() const {
    constexpr std::size_t kPlaces = 64;
    constexpr double kRather = 1.01;
    const std::size_t bytes = static_cast<std::size_t>(end - p), least = std::max(layout.rows.back().text.size() / 2, 2 * layout.width);
    double guess = 0.0;
    for (std::size_t k = 0; k < kPlaces; ++k) {
        const char* const begin = after_line_end(line_end(p + bytes * k / kPlaces, end), end);
        const auto length = static_cast<std::size_t>(line_end(begin, end) - begin) + 1;
        guess += static_cast<double>(bytes) / kPlaces / static_cast<double>(std::max(length, least));
    }
    return static_cast<std::size_t>(kRather * guess) + kPlaces;
}

void CsvPass::row() {
    row_begin = p;
    row_has_quote = false;
    if (skip_what_is_no_row()) return;
    place_blank_lines();
    row_is_spoilt = row_has_value = false;
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (c > 0) {
            if (at_row_end()) return short_row();
            ++p;
        }
        cell(c);
    }
    if (row_is_spoilt) return reject_row();
    if (!at_row_end()) past_extra_cells();
    end_row();
}

bool CsvPass::skip_what_is_no_row() {
    const char* q = p;
    while (q != end && (*q == ' ' || (*q == '\t' && layout.delimiter != '\t'))) ++q;
    const bool is_blank = q == end || is_line_end(*q);
    const bool is_remark = !is_blank && *q == '#';
    const std::string_view rest(p, static_cast<std::size_t>(end - p));
    const bool is_header = !layout.header.empty() && *p == layout.header[0] && rest.starts_with(layout.header);
    if (!is_blank && !is_remark && !is_header) return false;
    if (is_blank) ++blank_lines;
    if (is_remark) hear_remark(q);
    if (is_header && !is_remark) headers.add(line);
    p = line_end(q, end);
    next_line();
    return true;
}

void CsvPass::hear_remark(const char* begin) {
    constexpr std::size_t kMost = 100;  // different ones; the first two tell that something is wrong
    comments.add(line);
    const SaidLine said = said_line({line, {begin, static_cast<std::size_t>(line_end(begin, end) - begin)}}, layout.delimiter);
    const auto same = [&](const SaidLine& other) { return other.key == said.key && other.value == said.value; };
    if (rows.said.size() < kMost && says_a_fact(said) && std::none_of(rows.said.begin(), rows.said.end(), same)) rows.said.push_back(said);
}

// In a file of one column a blank line between numbers is an empty cell. Elsewhere it is nothing.
void CsvPass::place_blank_lines() {
    for (; layout.width == 1 && blank_lines > 0; --blank_lines) {
        blank.add(line - blank_lines);
        blank_rows.push_back(rows.count++);
        rows.values[0].push_back(kMissing);
    }
    blank_lines = 0;
}

// Blank lines after (nearly) every number are a habit of the writer, not missing samples.
void CsvPass::settle_blank_lines() {
    if (blank_rows.empty()) return;
    const std::string place = std::to_string(blank.first_line);
    if (5 * blank_rows.size() < 2 * rows.count) {
        rows.notes.push_back(
            {"blank_lines_missing", place,
             fmt::format("blank lines between the numbers, read as missing: {}; the first is named here",
                         blank_rows.size())});
        return;
    }
    auto& values = rows.values[0];
    for (const std::size_t row : blank_rows) values[row] = std::numeric_limits<float>::infinity();
    std::erase_if(values, [](float x) { return std::isinf(x); });
    rows.count -= blank_rows.size();
    filled_rows -= static_cast<std::size_t>(
        std::count_if(blank_rows.begin(), blank_rows.end(), [&](std::size_t row) { return row < filled_rows; }));
    rows.notes.push_back({"blank_lines_skipped", place,
                          fmt::format("{} blank lines between the numbers were skipped", blank_rows.size())});
}

void CsvPass::past_extra_cells() {
    const char* const extra = p;
    std::size_t cells = layout.width;
    bool filled = false;
    while (!at_row_end()) {
        ++p;
        const TextCell cell = checked_cell();
        filled = filled || !cell.text.empty();
        ++cells;
        p = cell.next;
    }
    const bool comma = layout.delimiter == ',';
    if (!filled && cells == layout.width + 1 && !comma) return;
    throw Error(ErrorKind::malformed, source, place(extra),
                fmt::format("the row is too long: saw {} cells, expected {}", cells, layout.width) + (comma ? kCommaIsBoth : ""),
                comma ? kOneComma : "");
}

void CsvPass::end_row() {
    ++rows.count;
    if (row_has_value) filled_rows = rows.count;
    next_line();
}

void CsvPass::short_row() {
    if (is_last_row()) return drop_unfinished_row();
    shorter.add(line);
    row_is_spoilt = false;
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (columns[c].role == ColumnRole::value) rows.values[c].resize(rows.count);
    }
    reject_row();
}

// One missing value in every column, whatever the row has given so far.
void CsvPass::reject_row() {
    p = line_end(p, end);
    if (row_is_spoilt && is_last_row()) return drop_unfinished_row();
    if (row_is_spoilt) with_nul.add(line);
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (columns[c].role != ColumnRole::value) continue;
        rows.values[c].resize(rows.count);
        rows.values[c].push_back(kMissing);
    }
    const bool timed =
        std::any_of(columns.begin(), columns.end(), [](const auto& column) { return column.role == ColumnRole::time; });
    if (timed) {
        rows.time.cut(rows.count);
        rows.time.add(kMissing);
    }
    row_has_value = false;
    end_row();
}

void CsvPass::drop_unfinished_row() {
    rows.notes.push_back({"last_row_cut", std::to_string(line), "the last row is cut off; it was left out"});
    leave_out_row();
    for (auto& changes : rows.changes) {
        if (!changes.empty() && changes.back().row == rows.count) changes.pop_back();
    }
    p = end;
}

// Behind the row; quoted cells may have held line ends of their own.
void CsvPass::next_line() {
    for (const char* q = row_begin; row_has_quote && q != p;) {
        if (is_line_end(*q)) {
            ++line;
            q = after_line_end(q, p);
        } else {
            ++q;
        }
    }
    p = after_line_end(p, end);
    ++line;
}

// A column of marks whose numbers change all the time holds the decimals of the column before it.
void CsvPass::refuse_split_marks() const {
    constexpr std::size_t kMany = 1000, kOften = 10;  // our choice: more than any session has cues, and in more than a tenth of the rows
    if (layout.delimiter != ',') return;
    for (std::size_t c = 0; c < layout.width; ++c) {
        const auto is_number = [](const MarkerChange& change) {
            return !change.text.empty() && change.text.find_first_not_of("0123456789") == std::string::npos;
        };
        const auto& changes = rows.changes[c];
        const auto numbers = static_cast<std::size_t>(std::count_if(changes.begin(), changes.end(), is_number));
        if (numbers <= kMany || numbers * kOften <= rows.count) continue;
        throw Error(ErrorKind::malformed, source, "",
                    fmt::format("numbers that are no marks in '{}': saw {} changes in {} rows, expected a few{}", shown(columns[c].label),
                                numbers, rows.count, kCommaIsBoth),
                    kOneComma);
    }
}

void CsvPass::settle_rows() {
    refuse_split_marks();
    const auto note = [&](const char* code, const RowCount& count, const char* text) {
        if (count.rows > 0)
            rows.notes.push_back({code, std::to_string(count.first_line), fmt::format(fmt::runtime(text), count.rows)});
    };
    note("short_rows", shorter, "rows with too few cells, read as missing: {}; the first is named here");
    note("nul_rows", with_nul,
         "rows with NUL bytes (a failing memory card leaves such), read as missing: {}; the first is named here");
    note("header_again", headers, "header rows between the data, skipped: {}; the first is named here");
    note("comment_rows", comments, "'#' lines between the rows, skipped: {}; the first is named here");
    if (2 * (shorter.rows + with_nul.rows) >= rows.count && shorter.rows + with_nul.rows > 0) {
        throw Error(ErrorKind::malformed, source, std::to_string(std::max(shorter.first_line, with_nul.first_line)),
                    fmt::format("too many unusable rows: saw {} of {}, expected fewer than half",
                                shorter.rows + with_nul.rows, rows.count));
    }
    if (filled_rows == 0) throw Error(ErrorKind::too_short, source, "", "no samples: no row holds a number");
    if (filled_rows == rows.count) return;
    rows.notes.push_back(
        {"empty_last_rows", "", fmt::format("last rows without any value, left out: {}", rows.count - filled_rows)});
    for (auto& values : rows.values) values.resize(std::min(values.size(), filled_rows));
    rows.time.cut(filled_rows);
    rows.count = filled_rows;
}

CsvRows read_rows(std::string_view text, const CsvLayout& layout, std::span<const CsvColumn> columns,
                  std::span<const double> factors, const std::string& source) {
    CsvPass pass{.layout = layout,
                 .columns = columns,
                 .factors = factors,
                 .source = source,
                 .p = layout.data,
                 .end = text.data() + text.size(),
                 .line = layout.data_line};
    pass.run();
    return std::move(pass.rows);
}

}  // namespace tracehold
