#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace tracehold {

// A text as one cell of a CSV file. For texts only: a number written as such is never touched.
// Quoted where RFC 4180 asks for it. A text that a spreadsheet would run as a formula (it begins, blanks aside, with =
// + - @ or their full-width forms) gets a leading apostrophe: quoting alone does not stop it (CWE-1236, OWASP
// ASVS 1.2.10). Control and bidi characters, tab and line breaks among them, become \xNN: a row stays one line, a
// terminal safe.
std::string csv_text_cell(std::string_view text);

// In full; empty for none.
std::string number_cell(std::optional<double> value);

}  // namespace tracehold
