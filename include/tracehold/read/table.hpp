#pragma once
// Delimited text as people's programs write it: any of comma, semicolon, tab or blanks; quotes; BOM, UTF-16, CRLF; '#'
// lines.
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tracehold/core/note.hpp"

namespace tracehold {

// A small table in text, for lists (sessions, corrections). Recordings take a faster way through the same dialect
// rules.
struct TableRow {
    std::size_t line = 0;  // in the file, from 1
    std::vector<std::string> cells;
    std::vector<std::size_t> columns;  // where each cell begins in its line, in characters from 1

    std::string place(std::size_t cell) const;  // "line:column" of a cell
};
struct Table {
    std::vector<std::pair<std::string, std::string>> comments;  // '# key: value' lines, key lower case
    std::vector<std::string> header;  // lower case, blanks trimmed; empty if the file has none
    std::vector<TableRow> rows;
    std::vector<Note> notes;
};

// In: bytes of any encoding above. The first row is the header unless a cell of it is a number or a time. Rows of empty
// cells are left out; empty cells behind the last column too. Limits: line 1 MiB, 1024 columns. Errors: too_short (no
// row at all), malformed (unclosed quote with the line where it opened, a row of another width), with line:column.
Table read_table(std::string_view bytes, const std::string& source);

// Bytes in any of UTF-8 (with or without BOM), UTF-16 by BOM, Latin-1/cp1252 -> UTF-8; a Note says what was converted.
std::string to_utf8(std::string_view bytes, std::vector<Note>& notes);

}  // namespace tracehold
