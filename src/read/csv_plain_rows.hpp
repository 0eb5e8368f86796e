#pragma once
// Rows of nothing but plain numbers and marks, as nearly all rows of a file are: read many at once, and from several places of
// the text side by side.
#include <cstddef>
#include <span>
#include <vector>

#include "read/csv_columns.hpp"
#include "read/csv_times.hpp"
#include "read/text_cell.hpp"

namespace tracehold {

// The first mark of some rows, or one that differs from the mark before it.
struct PlainMark {
    std::size_t row = 0, column = 0;
    const char* row_begin = nullptr;
    TextCell cell;
};

struct PlainRows {
    const char *begin = nullptr, *behind = nullptr;
    std::size_t count = 0;
    std::vector<std::vector<float>> values;  // one a column, filled for values only
    CsvTimes times;
    std::vector<PlainMark> marks;

    // For those who read them: a few rows at once, one value column behind the other, and the mark before in each column.
    std::vector<float> some_values;
    std::vector<PlainDecimal> some_times;
    std::vector<TextCell> last_marks;
};

// Only these columns have plain cells.
bool have_plain_cells(std::span<const CsvColumn> columns, char delimiter);

// The rows that begin in [begin, until), up to the first that is another one, or the last of the text, which ends at `end`. In: the
// beginning of a line. rows: its memory is used again.
void read_plain_rows(const CsvLayout& layout, std::span<const CsvColumn> columns, std::span<const double> factors, const char* begin,
                     const char* until, const char* end, PlainRows& rows);

}  // namespace tracehold
