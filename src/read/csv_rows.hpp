#pragma once
// The data part of a CSV recording: one pass over the bytes, cells appended straight to their columns.
//
// A row that cannot be used (too short, NUL bytes) keeps its place in time as a missing value in every column, so that
// what follows is not shifted. A row that is cut at the end of the file, and last rows without any value, are dropped.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "read/csv_columns.hpp"
#include "read/csv_layout.hpp"
#include "read/csv_times.hpp"
#include "read/time_stamp.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

// From this row on, until the next change, a marker column holds this text; "" = nothing.
struct MarkerChange {
    std::size_t row = 0;
    std::string text;
};

// How many rows, and where the first one stands.
struct RowCount {
    std::size_t rows = 0;
    std::size_t first_line = 0;
    void add(std::size_t line) {
        if (rows++ == 0) first_line = line;
    }
};

struct CsvRows {
    std::size_t count = 0;
    std::vector<std::vector<float>> values;  // one a column of the layout, filled for values only; NaN = missing
    std::vector<std::size_t> missing;        // one a column: cells without a number, rejected rows left out
    std::vector<RowCount> too_large;         // one a column: numbers that no float holds, NaN among the values
    CsvTimes time;                           // as the column counts (seconds for clocks); NaN = missing
    std::vector<std::vector<MarkerChange>> changes;  // one a column, filled for markers only
    std::optional<Stamp> first_stamp;
    std::optional<std::chrono::sys_days> day;  // of the first row of a day column
    std::vector<SaidLine> said;  // '#' lines between the rows that say a fact, alike ones once
    std::vector<Note> notes;
};

// factors: what a number in each column is multiplied with, in double, before it becomes a float.
// Errors: malformed with line:column (a word where a number belongs, a row with more cells than columns, a quote never
// closed, more rejected rows than good ones), too_short (no row with a value).
CsvRows read_rows(std::string_view text, const CsvLayout& layout, std::span<const CsvColumn> columns,
                  std::span<const double> factors, const std::string& source);

}  // namespace tracehold
