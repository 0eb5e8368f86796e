#pragma once
// One fixed-width text field of an EDF header, and how tolerantly its content is understood.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "read/edf_notes.hpp"

namespace tracehold {

struct EdfField {
    std::size_t byte = 0;  // offset in the file
    std::string name;      // "record duration", "signal 3 unit"
    std::string_view raw;

    std::string place() const;      // "byte 244, record duration"
    std::string_view text() const;  // without the blanks and NULs around it
};

// A finite number. A decimal comma is taken as a point, with a Note; a text with both is no number.
std::optional<double> edf_number(const EdfField& field, EdfNotes& notes);

// The same for whole numbers; "2,0" is two.
std::optional<long long> edf_whole(const EdfField& field, EdfNotes& notes);

// UTF-8 of a text that should be ASCII: kept if it is UTF-8, else read as Latin-1, both with a Note; control characters
// become U+FFFD with a Note.
std::string edf_label(const EdfField& field, EdfNotes& notes);

// Building blocks of the above, for annotations.
std::string latin1_to_utf8(std::string_view bytes);
std::string without_controls(std::string_view utf8, std::string_view allowed = {});
std::optional<double> number_with_comma(std::string_view text);

}  // namespace tracehold
