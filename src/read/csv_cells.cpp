// One cell of the pass, by the role of its column.
#include <algorithm>
#include <cmath>
#include <limits>

#include "read/csv_pass.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

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

// Reads a row at q to that place among some_values and some_times. Out: at its line end; nullptr: it is something else, or the
// last.
[[gnu::always_inline]] inline const char* CsvPass::plain_row(const char* q, std::size_t place) {
    for (std::size_t c = 0; c < columns.size(); ++c) {
        if (columns[c].role == ColumnRole::marker) {
            const std::string_view same = last_text[c];
            if (!same.empty() && !std::string_view(q, static_cast<std::size_t>(end - q)).starts_with(same)) return nullptr;
            q += same.size();
        } else {
            PlainDecimal number;
            q = read_plain_decimal(q, end, layout.decimal, number);
            if (q == nullptr) return nullptr;
            if (columns[c].role == ColumnRole::value) {
                const double value = number.value() * factors[c];
                if (!(std::abs(value) <= std::numeric_limits<float>::max())) return nullptr;
                some_values[c * kAtOnce + place] = static_cast<float>(value);
            } else {
                some_times[place] = number;
            }
        }
        const bool last = c + 1 == columns.size();
        if (q == end || !(last ? is_line_end(*q) : *q == layout.delimiter)) return nullptr;
        if (!last) ++q;
    }
    return q;
}

// Reads rows of nothing but plain numbers and marks that have not changed, as nearly all rows of a file are, up to the first
// that is another one, or the last.
void CsvPass::plain_rows() {
    for (std::size_t count = kAtOnce; count == kAtOnce;) {
        const char* q = p;
        for (count = 0; count < kAtOnce; ++count) {
            const char* const behind = plain_row(q, count);
            if (behind == nullptr) break;
            q = after_line_end(behind, end);
        }
        for (std::size_t c = 0; c < columns.size(); ++c) {
            const float* const values = &some_values[c * kAtOnce];
            if (columns[c].role == ColumnRole::value) rows.values[c].insert(rows.values[c].end(), values, values + count);
            if (columns[c].role == ColumnRole::time) std::for_each_n(some_times.begin(), count, [&](const PlainDecimal& time) { rows.time.add(time); });
        }
        if (count > 0) filled_rows = rows.count += count;
        line += count;
        p = q;
    }
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
    auto& changes = rows.changes[c];
    if (cell.text == last_text[c]) return;
    last_text[c] = cell.text;
    const std::string text = look_at(cell.text) == CellLook::missing ? "" : unquoted(cell);
    if (changes.empty() ? text.empty() : changes.back().text == text) return;
    if (changes.size() == kMostChanges) {
        throw Error(ErrorKind::malformed, source, place(cell.begin),
                    fmt::format("more than {} changes in a marker column", kMostChanges));
    }
    changes.push_back({rows.count, text});
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
