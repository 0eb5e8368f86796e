// One cell of the pass, by the role of its column.
#include <algorithm>
#include <cmath>
#include <limits>

#include "read/csv_pass.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/side_by_side.hpp"

namespace tracehold {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMostChanges = 1'000'000;  // of a marker column; more are no cues of anybody's

// The beginning of a number or a clock, as the last cell of a cut file may be.
bool may_be_cut(std::string_view text) {
    return text.find_first_not_of("0123456789+-.,eE:TZ ") == std::string_view::npos;
}

}  // namespace

void CsvPass::cell(std::size_t c) {
    switch (columns[c].role) {
        case ColumnRole::value: rows.values[c].push_back(sample(c, number(c))); return;
        case ColumnRole::time:
            if (columns[c].stamps) return stamp(c);
            time(c);
            return;
        case ColumnRole::marker: return marker(c);
        case ColumnRole::day: return day();
        case ColumnRole::ignored: p = checked_cell().next; return;
    }
}

float CsvPass::sample(std::size_t c, double number) {
    const double value = number * factors[c];
    if (std::abs(value) <= std::numeric_limits<float>::max()) return static_cast<float>(value);
    if (!std::isnan(value)) rows.too_large[c].add(line);
    return std::numeric_limits<float>::quiet_NaN();
}

// The fast way for plain decimals.
bool CsvPass::plain_number(PlainDecimal& number) {
    while (p != end && *p == ' ') ++p;
    const char* behind = read_plain_decimal(p, end, layout.decimal, number);
    if (behind == nullptr || !ends_here(behind)) return false;
    p = behind;
    row_has_value = true;
    return true;
}

double CsvPass::number(std::size_t c) {
    PlainDecimal plain;
    return plain_number(plain) ? plain.value() : odd_number(c);
}

void CsvPass::time(std::size_t c) {
    PlainDecimal plain;
    if (plain_number(plain)) {
        rows.time.add(plain);
    } else {
        rows.time.add(odd_number(c));
    }
}

// Reads plain rows up to the first that is another one, or the last: here, and while all are plain ahead of here as well by those
// who help.
void CsvPass::plain_rows() {
    constexpr std::ptrdiff_t kBytes = 1 << 19;  // of each piece; our choice: its rows stay in the second-level cache
    do {
        plain_pieces.resize(all_are_plain ? threads_here() : 1);
        const auto begin_of = [&](std::size_t piece) {
            const char* const about = p + std::min(end - p, static_cast<std::ptrdiff_t>(piece) * kBytes);
            return piece == 0 ? p : after_line_end(line_end(about, end), end);
        };
        each_side_by_side(plain_pieces.size(), [&](std::size_t i) {
            read_plain_rows(layout, columns, factors, begin_of(i), begin_of(i + 1), end, plain_pieces[i]);
        });
        const char* const last = begin_of(plain_pieces.size());
        for (const PlainRows& piece : plain_pieces)
            if (piece.begin == p) add(piece);
        all_are_plain = p == last;
    } while (all_are_plain && p != end);
}

void CsvPass::add(const PlainRows& piece) {
    const std::size_t first_line = line;
    for (const PlainMark& mark : piece.marks) {
        line = first_line + mark.row;
        row_begin = mark.row_begin;
        change_mark(mark.column, rows.count + mark.row, mark.cell);
    }
    for (std::size_t c = 0; c < columns.size(); ++c) rows.values[c].insert(rows.values[c].end(), piece.values[c].begin(), piece.values[c].end());
    rows.time.add(piece.times);
    line = first_line + piece.count;
    if (piece.count > 0) filled_rows = rows.count += piece.count;
    p = piece.behind;
}

// What the row that is read has put into columns.
void CsvPass::leave_out_row() {
    for (auto& values : rows.values) values.resize(std::min(values.size(), rows.count));
    rows.time.cut(rows.count);
}

double CsvPass::odd_number(std::size_t c) {
    const TextCell cell = checked_cell();
    p = cell.next;
    if (const auto value = decimal_value(cell.text, layout.decimal)) {
        row_has_value = true;
        return *value;
    }
    const bool cut = p == end && !cell.text.empty() && may_be_cut(cell.text);  // the file ends inside this number
    if (cut || cell.text.find('\0') != std::string_view::npos) {
        row_is_spoilt = true;
        return kNaN;
    }
    const CellLook look = look_at(cell.text);
    if (look != CellLook::empty && look != CellLook::missing) {
        refuse_cell(cell, c, layout.decimal == '.' ? "a number with decimal point" : "a number with decimal comma");
    }
    ++rows.missing[c];
    return kNaN;
}

void CsvPass::stamp(std::size_t c) {
    const TextCell cell = checked_cell();
    p = cell.next;
    const auto stamp = parse_stamp(cell.text);
    if (!stamp) {
        const CellLook look = look_at(cell.text);
        const bool cut = p == end && may_be_cut(cell.text);
        if (cut || cell.text.find('\0') != std::string_view::npos) {
            row_is_spoilt = true;
        } else if (look != CellLook::empty && look != CellLook::missing) {
            refuse_cell(cell, c, "a time");
        }
        rows.time.add(kNaN);
        return;
    }
    if (!rows.first_stamp) rows.first_stamp = stamp;
    double clock_s = stamp->clock_s;
    if (stamp->day && rows.first_stamp->day)
        clock_s += 86400.0 * static_cast<double>((*stamp->day - *rows.first_stamp->day).count());
    if (stamp->utc_offset && rows.first_stamp->utc_offset) {
        clock_s -= 60.0 * static_cast<double>((*stamp->utc_offset - *rows.first_stamp->utc_offset).count());
    }
    // Without a date the clock starts again at midnight.
    if (!stamp->day) {
        while (clock_s < last_clock_s - 43200.0) clock_s += 86400.0;
    }
    last_clock_s = clock_s;
    rows.time.add(clock_s);
    row_has_value = true;
}

void CsvPass::marker(std::size_t c) {
    const TextCell cell = checked_cell();
    p = cell.next;
    if (cell.text.find('\0') != std::string_view::npos) {
        row_is_spoilt = true;
        return;
    }
    change_mark(c, rows.count, cell);
}

void CsvPass::change_mark(std::size_t c, std::size_t row, const TextCell& cell) {
    auto& changes = rows.changes[c];
    if (cell.text == last_text[c]) return;
    last_text[c] = cell.text;
    const std::string text = look_at(cell.text) == CellLook::missing ? "" : unquoted(cell);
    if (changes.empty() ? text.empty() : changes.back().text == text) return;
    if (changes.size() == kMostChanges) {
        throw Error(ErrorKind::malformed, source, place(cell.begin),
                    fmt::format("more than {} changes in a marker column", kMostChanges));
    }
    changes.push_back({row, text});
}

void CsvPass::day() {
    const TextCell cell = checked_cell();
    p = cell.next;
    if (!rows.day) rows.day = parse_day(cell.text);
}

TextCell CsvPass::checked_cell() {
    const TextCell cell = cell_at(p, end, layout.delimiter);
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

void CsvPass::refuse_cell(const TextCell& cell, std::size_t c, std::string_view expected) const {
    const std::string name =
        columns[c].label.empty() ? fmt::format("column {}", c + 1) : fmt::format("'{}'", shown(columns[c].label));
    throw Error(ErrorKind::malformed, source, place(cell.begin),
                fmt::format("not a {} in {}: saw '{}', expected {}", columns[c].stamps ? "time" : "number", name,
                            shown(cell.text), expected));
}

}  // namespace tracehold
