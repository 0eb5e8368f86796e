#pragma once
#include <cstddef>
#include <span>
#include <string_view>

#include "read/csv_layout.hpp"
#include "read/text_cell.hpp"

namespace tracehold {

struct CsvDialect {
    char delimiter = ';';
    std::size_t width = 0;  // 0: no line has a number under any delimiter
};

// As described in csv_layout.hpp. In: lines that are not '#' lines.
CsvDialect guess_dialect(std::span<const SampleLine> lines);

// Point or comma. With commas between the columns only quoted cells can hold decimal commas. Otherwise the only mark
// that occurs in the data; where both occur, the one in most of the cells that look like numbers, counted over the
// whole file.
char guess_decimal(std::string_view data, char delimiter, std::span<const SampleLine> rows);

std::vector<TextCell> cells_of(std::string_view line, char delimiter);

}  // namespace tracehold
