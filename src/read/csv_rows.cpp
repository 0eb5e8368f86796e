#include "read/csv_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "read/decimal.hpp"
#include "read/text_cell.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMostChanges = 1'000'000;  // of a marker column; more are no cues of anybody's

struct Count {
    std::size_t rows = 0;
    std::size_t first_line = 0;
    void add(std::size_t line) {
        if (rows++ == 0) first_line = line;
    }
};

// The beginning of a number or a clock, as the last cell of a cut file may be.
bool may_be_cut(std::string_view text) { return text.find_first_not_of("0123456789+-.,eE:TZ ") == std::string_view::npos; }

// The pass. p stands at the beginning of a cell, or behind one at its delimiter or line end.
struct Pass {
    const CsvLayout& layout;
    std::span<const CsvColumn> columns;
    std::span<const double> factors;
    const std::string& source;
    const char* p;
    const char* end;
    std::size_t line;
    CsvRows rows{};

    const char* row_begin = nullptr;
    bool row_has_nul = false;
    bool row_has_value = false;
    bool row_has_quote = false;
    std::vector<std::string_view> last_text{};  // of each marker column
    std::size_t filled_rows = 0;  // rows up to the last one with any value
    std::optional<Stamp> last_stamp{};
    double last_clock_s = 0.0;
    Count shorter{}, with_nul{}, comments{}, blank{};

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
    void cell(std::size_t column);
    double number(std::size_t column);
    double odd_number(std::size_t column);
    void stamp(std::size_t column);
    void marker(std::size_t column);
    void day();
    Cell checked_cell();
    void end_row();
    void short_row();
    void reject_row();
    void past_extra_cells();
    void next_line();
    void drop_unfinished_row();
    void count_notes();
    [[noreturn]] void refuse_cell(const Cell& cell, std::size_t column, std::string_view expected) const;
};

void Pass::run() {
    const std::size_t line_bytes = layout.rows.empty() ? 16 : layout.rows.back().text.size() + 1;
    const std::size_t guess = static_cast<std::size_t>(end - p) / line_bytes + 1;
    rows.values.resize(layout.width);
    rows.changes.resize(layout.width);
    rows.missing.resize(layout.width);
    last_text.resize(layout.width);
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (columns[c].role == ColumnRole::value) rows.values[c].reserve(guess);
        if (columns[c].role == ColumnRole::time) rows.time.reserve(guess);
    }
    while (p != end) row();
    count_notes();
}

void Pass::row() {
    row_begin = p;
    row_has_quote = false;
    if (skip_what_is_no_row()) return;
    row_has_nul = row_has_value = false;
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (c > 0) {
            if (at_row_end()) return short_row();
            ++p;
        }
        cell(c);
    }
    if (row_has_nul) return reject_row();
    if (!at_row_end()) past_extra_cells();
    end_row();
}

bool Pass::skip_what_is_no_row() {
    const char* q = p;
    while (q != end && (*q == ' ' || (*q == '\t' && layout.delimiter != '\t'))) ++q;
    if (q != end && !is_line_end(*q) && *q != '#') return false;
    if (q != end && *q == '#') comments.add(line);
    if (q == end || is_line_end(*q)) blank.add(line);
    p = line_end(q, end);
    next_line();
    return true;
}

void Pass::cell(std::size_t c) {
    switch (columns[c].role) {
        case ColumnRole::value: {
            const double value = number(c) * factors[c];
            rows.values[c].push_back(std::abs(value) <= std::numeric_limits<float>::max() ? static_cast<float>(value)
                                                                                          : std::numeric_limits<float>::quiet_NaN());
            return;
        }
        case ColumnRole::time:
            if (columns[c].stamps) return stamp(c);
            rows.time.push_back(number(c));
            return;
        case ColumnRole::marker: return marker(c);
        case ColumnRole::day: return day();
        case ColumnRole::ignored: p = checked_cell().next; return;
    }
}

// The fast way for plain decimals; all else the long way.
double Pass::number(std::size_t c) {
    while (p != end && *p == ' ') ++p;
    double value = 0.0;
    const char* behind = read_plain_decimal(p, end, layout.decimal, value);
    if (behind == nullptr || !ends_here(behind)) return odd_number(c);
    p = behind;
    row_has_value = true;
    return value;
}

double Pass::odd_number(std::size_t c) {
    const Cell cell = checked_cell();
    p = cell.next;
    if (const auto value = decimal_value(cell.text, layout.decimal)) {
        row_has_value = true;
        return *value;
    }
    const CellLook look = look_at(cell.text);
    if (cell.text.find('\0') != std::string_view::npos) {
        row_has_nul = true;
    } else if (look == CellLook::empty || look == CellLook::missing) {
        ++rows.missing[c];
    } else if (p != end || !may_be_cut(cell.text)) {
        refuse_cell(cell, c, layout.decimal == '.' ? "a number with decimal point" : "a number with decimal comma");
    } else {
        row_has_nul = true;  // the file ends inside this cell: the row is cut
    }
    return kNaN;
}

void Pass::stamp(std::size_t c) {
    const Cell cell = checked_cell();
    p = cell.next;
    const auto stamp = parse_stamp(cell.text);
    if (!stamp) {
        const CellLook look = look_at(cell.text);
        const bool cut = p == end && may_be_cut(cell.text);
        if (cut || cell.text.find('\0') != std::string_view::npos) {
            row_has_nul = true;
        } else if (look != CellLook::empty && look != CellLook::missing) {
            refuse_cell(cell, c, "a time");
        }
        rows.time.push_back(kNaN);
        return;
    }
    if (!rows.first_stamp) rows.first_stamp = stamp;
    double clock_s = stamp->clock_s;
    if (stamp->day && rows.first_stamp->day) clock_s += 86400.0 * static_cast<double>((*stamp->day - *rows.first_stamp->day).count());
    if (stamp->utc_offset && rows.first_stamp->utc_offset) {
        clock_s -= 60.0 * static_cast<double>((*stamp->utc_offset - *rows.first_stamp->utc_offset).count());
    }
    // Without a date the clock starts again at midnight.
    if (!stamp->day) {
        while (clock_s < last_clock_s - 43200.0) clock_s += 86400.0;
    }
    last_clock_s = clock_s;
    rows.time.push_back(clock_s);
    row_has_value = true;
}

void Pass::marker(std::size_t c) {
    const Cell cell = checked_cell();
    p = cell.next;
    if (cell.text.find('\0') != std::string_view::npos) {
        row_has_nul = true;
        return;
    }
    auto& changes = rows.changes[c];
    if (cell.text == last_text[c]) return;
    last_text[c] = cell.text;
    const std::string text = look_at(cell.text) == CellLook::missing ? "" : unquoted(cell);
    if (changes.empty() ? text.empty() : changes.back().text == text) return;
    if (changes.size() == kMostChanges) {
        throw Error(ErrorKind::malformed, source, place(cell.begin), fmt::format("more than {} changes in a marker column", kMostChanges));
    }
    changes.push_back({rows.count, text});
}

void Pass::day() {
    const Cell cell = checked_cell();
    p = cell.next;
    if (!rows.day) rows.day = parse_day(cell.text);
}

Cell Pass::checked_cell() {
    const Cell cell = cell_at(p, end, layout.delimiter);
    row_has_quote = row_has_quote || cell.quoted;
    if (cell.open) {
        throw Error(ErrorKind::malformed, source, place(cell.begin), "a quote is opened here and never closed");
    }
    if (static_cast<std::size_t>(cell.next - row_begin) > kLongestLine) {
        throw Error(ErrorKind::malformed, source, fmt::format("{}:1", line),
                    fmt::format("the line is too long: expected at most {} bytes", kLongestLine));
    }
    return cell;
}

void Pass::refuse_cell(const Cell& cell, std::size_t c, std::string_view expected) const {
    const std::string name = columns[c].label.empty() ? fmt::format("column {}", c + 1) : fmt::format("'{}'", shown(columns[c].label));
    throw Error(ErrorKind::malformed, source, place(cell.begin),
                fmt::format("not a {} in {}: saw '{}', expected {}", columns[c].stamps ? "time" : "number", name, shown(cell.text), expected));
}

void Pass::past_extra_cells() {
    const char* const extra = p;
    std::size_t cells = layout.width;
    bool filled = false;
    while (!at_row_end()) {
        ++p;
        const Cell cell = checked_cell();
        filled = filled || !cell.text.empty();
        ++cells;
        p = cell.next;
    }
    if (!filled && cells == layout.width + 1) return;
    throw Error(ErrorKind::malformed, source, place(extra),
                fmt::format("the row is too long: saw {} cells, expected {}", cells, layout.width));
}

void Pass::end_row() {
    ++rows.count;
    if (row_has_value) filled_rows = rows.count;
    next_line();
}

void Pass::short_row() {
    if (is_last_row()) return drop_unfinished_row();
    shorter.add(line);
    row_has_nul = false;
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (columns[c].role == ColumnRole::value) rows.values[c].resize(rows.count);
    }
    reject_row();
}

// One missing value in every column, whatever the row has given so far.
void Pass::reject_row() {
    p = line_end(p, end);
    if (row_has_nul && is_last_row()) return drop_unfinished_row();
    if (row_has_nul) with_nul.add(line);
    for (std::size_t c = 0; c < layout.width; ++c) {
        if (columns[c].role != ColumnRole::value) continue;
        rows.values[c].resize(rows.count);
        rows.values[c].push_back(std::numeric_limits<float>::quiet_NaN());
    }
    const bool timed = std::any_of(columns.begin(), columns.end(), [](const auto& column) { return column.role == ColumnRole::time; });
    if (timed) {
        rows.time.resize(rows.count);
        rows.time.push_back(kNaN);
    }
    row_has_value = false;
    end_row();
}

void Pass::drop_unfinished_row() {
    rows.notes.push_back({"last_row_cut", std::to_string(line), "the last row is cut off; it was left out"});
    for (auto& values : rows.values) values.resize(std::min(values.size(), rows.count));
    rows.time.resize(std::min(rows.time.size(), rows.count));
    for (auto& changes : rows.changes) {
        if (!changes.empty() && changes.back().row == rows.count) changes.pop_back();
    }
    p = end;
}

// Behind the row; quoted cells may have held line ends of their own.
void Pass::next_line() {
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

void Pass::count_notes() {
    const auto note = [&](const char* code, const Count& count, const char* text) {
        if (count.rows > 0) rows.notes.push_back({code, std::to_string(count.first_line), fmt::format(fmt::runtime(text), count.rows)});
    };
    note("short_rows", shorter, "{} rows with too few cells were read as missing; the first is named here");
    note("nul_rows", with_nul, "{} rows with NUL bytes were read as missing, as a failing memory card leaves them; the first is named here");
    note("comment_rows", comments, "{} '#' lines between the rows were skipped; the first is named here");
    if (shorter.rows + with_nul.rows > rows.count / 2) {
        throw Error(ErrorKind::malformed, source, std::to_string(std::max(shorter.first_line, with_nul.first_line)),
                    fmt::format("too many unusable rows: saw {} of {}, expected fewer than half", shorter.rows + with_nul.rows, rows.count));
    }
    if (filled_rows == 0) throw Error(ErrorKind::too_short, source, "", "no samples: no row holds a number");
    if (filled_rows == rows.count) return;
    rows.notes.push_back({"empty_last_rows", "", fmt::format("{} last rows without any value were left out", rows.count - filled_rows)});
    for (auto& values : rows.values) values.resize(std::min(values.size(), filled_rows));
    rows.time.resize(std::min(rows.time.size(), filled_rows));
    rows.count = filled_rows;
}

}  // namespace

CsvRows read_rows(std::string_view text, const CsvLayout& layout, std::span<const CsvColumn> columns,
                  std::span<const double> factors, const std::string& source) {
    Pass pass{.layout = layout, .columns = columns, .factors = factors, .source = source, .p = layout.data,
              .end = text.data() + text.size(), .line = layout.data_line};
    pass.run();
    return std::move(pass.rows);
}

}  // namespace tracehold
