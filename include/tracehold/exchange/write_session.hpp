#pragma once
// Scored sessions for other programs. All text UTF-8, '\n', full precision, never NaN.
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// One JSON object, schema tracehold.session/1, keys in fixed order. indent 0: one line (NDJSON). Ends with a line
// break. Where a number is null its key stands in the nearest "reasons" (or "reason"). Steps and contractions are
// counted from 1. Edges: text that is no UTF-8 is written with U+FFFD; control and bidi characters as \uXXXX.
std::string session_json(const SessionScore& score, int indent = 2);

// Reads one back: write(read(x)) == x. Keys and measures unknown here are passed over (a later version may add them); a
// measure of the list that the file lacks is null with the reason 'not in this file'. Errors: malformed (not JSON,
// line:column; a wrong type or word, a number or count that cannot be, a key that is missing: JSON pointer), unsupported
// (another schema, numbers by other definitions, or over 64 MiB).
SessionScore read_session_json(std::string_view text, const std::string& source);

// Results one after the other, as lines or spread over lines, at least one; blanks between them and a byte order mark
// do not matter. Errors: as read_session_json, each with its line in the whole text (line:column, or the line where the
// result begins and the pointer in it); malformed where something else stands between them, or they stand in a list,
// or there is none. The first error stops; see read_what_results.
std::vector<SessionScore> read_session_results(std::string_view text, const std::string& source);

// Whether read_session_results is the reader for these bytes, the first of a file: a '{' (or a '[', which it refuses by
// name), blanks aside, and the name of the schema.
bool looks_like_results(std::string_view bytes);

// Tidy CSV: one row a contraction and measure, '\n' after each, '.' as decimal sign, units as UCUM codes, yes_no as 1
// and 0. Empty = missing, with a reason column. Quotes as in RFC 4180. Text cells that a spreadsheet would run as a
// formula get a leading apostrophe; numbers are never touched.
std::string session_csv_header();
std::string session_csv_rows(const SessionScore& score);

// Names of what is published of the formats, and the text of one; empty if there is none of that name. They describe what
// this version writes and reads, strictly: no other keys. The text lives as long as the program.
//   audit, course, events-description, inspection, plan, rules, session, truth, validation: JSON Schemas (draft 2020-12)
//   table-NAME                                 Frictionless Table Schemas of the CSV outputs; datapackage has them all
//   fhir-codes                                 the FHIR CodeSystem of the codes in FHIR outputs
std::vector<std::string_view> schema_names();
std::string_view schema_text(std::string_view name);

}  // namespace tracehold
