#pragma once
// What a reader of an output would see of one text in it: the inverses of the escapers, plain and strict.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold::test {

// The text content of markup without tags; empty if something in it could be markup: a bare < > " ' or & that is none of
// the five entities. A pair that sets the direction of what stands between is stepped over.
std::optional<std::string> html_as_text(std::string_view markup);

// One line of Markdown without its backslashes; empty if a character that means something in GitHub's Markdown, or would
// start a list, a rule or a link, stands without one.
std::optional<std::string> markdown_as_text(std::string_view line);

// The cells of one CSV row (RFC 4180, comma); empty if a quote stands where none may or a row would end.
std::optional<std::vector<std::string>> csv_as_cells(std::string_view row);

// What a spreadsheet would run: = + - @, their full-width forms, tab or line break in front, blanks aside.
bool is_formula(std::string_view cell);

// Bytes that a terminal, an editor or a browser obeys: C0, DEL, C1, bidi overrides and isolates, zero-width marks,
// line and paragraph separators; also what is no UTF-8.
bool has_control(std::string_view text);

// Texts made of pieces that mean something somewhere, and of random bytes; the same for the same seed.
std::vector<std::string> made_hostile_texts(std::size_t count, unsigned seed);

}  // namespace tracehold::test
