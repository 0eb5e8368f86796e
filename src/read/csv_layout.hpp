#pragma once
// What stands where in a CSV recording, decided from its first lines (and, for the decimal mark, from all of them).
//
// Delimiter: each candidate splits the first lines; the one under which most cells of lines of one common width are
// numbers or clocks wins; on a tie the wider, then the first in the order ; tab | , blanks. '0,5' alone is two whole
// numbers or one decimal: a header without comma, or a second half with a leading zero ('0,05'), decides for the
// decimal. Data begin at the first line of the common width whose number columns hold no word; the last line of words
// alone above it is the header; rows between the two are data with a fault and are reported as such.
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tracehold/core/note.hpp"

namespace tracehold {

enum class ColumnLook { empty, number, stamp, word };

struct SampleLine {
    std::size_t number = 0;  // in the file, from 1
    std::string_view text;   // without its line end
};

// A line above the data; key lower case, "" where the line is no 'key: value'.
struct SaidLine {
    std::size_t number = 0;
    std::string key;
    std::string value;
    std::string whole;
};

struct CsvLayout {
    char delimiter = ',';  // ' ' = any run of blanks and tabs
    char decimal = '.';
    std::size_t width = 1;
    std::vector<SaidLine> said;      // the lines above the data, header left out
    std::vector<std::string> names;  // one a column, units row merged in; empty without a header
    std::string_view header;         // the line of the names; a recorder that starts again may write it again
    std::vector<ColumnLook> looks;   // one a column
    std::vector<SampleLine> rows;    // the data lines among the first lines
    const char* data = nullptr;      // where the first data row begins
    std::size_t data_line = 1;
};

// Errors: not_recognised (no rows of numbers), too_short (a header and nothing else), malformed (line or width beyond
// the limits).
CsvLayout find_layout(std::string_view text, const std::string& source);

// 'key: value', 'key = value', 'key := value', or two cells of the file's own delimiter.
SaidLine said_line(const SampleLine& sample, char delimiter);

// Splits at the first ':' or '=' (':=' too); false if there is no key in front.
bool split_key_value(std::string_view line, std::pair<std::string, std::string>& key_value);

}  // namespace tracehold
