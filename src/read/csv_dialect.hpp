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

// Where commas separate, what a comma inside of a number would make of a file must not be read.
inline constexpr const char* kCommaIsBoth = "; a comma that separates cannot be told from one inside a number";
inline constexpr const char* kOneComma = "write numbers with a decimal point and without thousands separators, or put semicolons between the columns";

// The first cell, in rows separated by commas, that looks like the decimals of the number before it: all of its column are digits
// alone, all of the column before are whole numbers, and it begins with a zero or follows a '-0', as decimals do and whole
// numbers don't. text and begin are null without one.
struct FractionCell {
    std::size_t line = 0;
    TextCell cell{};
    std::string_view row{};
};
FractionCell find_fraction(std::span<const SampleLine> rows, std::size_t width);

}  // namespace tracehold
