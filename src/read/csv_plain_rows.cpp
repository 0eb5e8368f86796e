#include "read/csv_plain_rows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string_view>

#include "read/decimal.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kAtOnce = 256;  // rows

struct PlainReader {
    const CsvLayout& layout;
    std::span<const CsvColumn> columns;
    std::span<const double> factors;
    const char* end;
    PlainRows& rows;

    // Reads a mark at q. Out: behind it; nullptr: it is none that is plain.
    const char* mark(const char* q, const char* row_begin, std::size_t row, std::size_t c) {
        const TextCell cell = cell_at(q, end, layout.delimiter);
        const bool plain = !cell.quoted && !cell.open && cell.text.find('\0') == std::string_view::npos;
        if (!plain || static_cast<std::size_t>(cell.next - row_begin) > kLongestLine) return nullptr;
        const bool same = rows.last_marks[c].begin != nullptr && rows.last_marks[c].text == cell.text;
        rows.last_marks[c] = cell;
        if (!same) rows.marks.push_back({row, c, row_begin, cell});
        return cell.next;
    }

    // Reads a row at q, at that place of some. Out: at its line end; nullptr: it is something else, or the last.
    [[gnu::always_inline]] inline const char* row(const char* q, std::size_t place) {
        const char* const row_begin = q;
        for (std::size_t c = 0; c < columns.size(); ++c) {
            if (columns[c].role == ColumnRole::marker) {
                const TextCell& last = rows.last_marks[c];
                const char* const behind = q + last.text.size();
                const bool same = last.begin != nullptr && last.text.size() < static_cast<std::size_t>(end - q) &&
                                  std::string_view(q, last.text.size()) == last.text && (is_line_end(*behind) || *behind == layout.delimiter);
                q = same ? behind : mark(q, row_begin, rows.count + place, c);
                if (q == nullptr) return nullptr;
            } else {
                PlainDecimal number;
                q = read_plain_decimal(q, end, layout.decimal, number);
                if (q == nullptr) return nullptr;
                if (columns[c].role == ColumnRole::value) {
                    const double value = number.value() * factors[c];
                    if (!(std::abs(value) <= std::numeric_limits<float>::max())) return nullptr;
                    rows.some_values[c * kAtOnce + place] = static_cast<float>(value);
                } else {
                    rows.some_times[place] = number;
                }
            }
            const bool last = c + 1 == columns.size();
            if (q == end || !(last ? is_line_end(*q) : *q == layout.delimiter)) return nullptr;
            if (!last) ++q;
        }
        return q;
    }

    void read(const char* q, const char* until) {
        for (std::size_t count = kAtOnce; count == kAtOnce;) {
            for (count = 0; count < kAtOnce && q < until; ++count) {
                const char* const behind = row(q, count);
                if (behind == nullptr) break;
                q = after_line_end(behind, end);
            }
            for (std::size_t c = 0; c < columns.size(); ++c) {
                const float* const values = &rows.some_values[c * kAtOnce];
                if (columns[c].role == ColumnRole::value) rows.values[c].insert(rows.values[c].end(), values, values + count);
                if (columns[c].role == ColumnRole::time)
                    std::for_each_n(rows.some_times.begin(), count, [&](const PlainDecimal& time) { rows.times.add(time); });
            }
            rows.count += count;
        }
        rows.behind = q;
        std::erase_if(rows.marks, [&](const PlainMark& mark) { return mark.row >= rows.count; });  // of a row that was none
    }
};

}  // namespace

bool have_plain_cells(std::span<const CsvColumn> columns, char delimiter) {
    return delimiter != ' ' && std::all_of(columns.begin(), columns.end(), [](const CsvColumn& column) {
        const bool number = column.role == ColumnRole::value || (column.role == ColumnRole::time && !column.stamps);
        return number || column.role == ColumnRole::marker;
    });
}

void read_plain_rows(const CsvLayout& layout, std::span<const CsvColumn> columns, std::span<const double> factors, const char* begin,
                     const char* until, const char* end, PlainRows& rows) {
    rows.begin = begin;
    rows.count = 0;
    rows.values.resize(columns.size());
    for (std::vector<float>& values : rows.values) values.clear();
    rows.times.clear();
    rows.marks.clear();
    rows.last_marks.assign(columns.size(), {});
    rows.some_values.resize(columns.size() * kAtOnce);
    rows.some_times.resize(kAtOnce);
    PlainReader{layout, columns, factors, end, rows}.read(begin, until);
}

}  // namespace tracehold
