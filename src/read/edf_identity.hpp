#pragma once
// Who and when: the parts of an EDF header that name a person or a moment. Names and birth dates are never kept or
// shown.
#include <optional>
#include <string>

#include "read/edf_field.hpp"
#include "tracehold/core/civil_time.hpp"

namespace tracehold {

// Years 85-99 are 1985-1999, 00-84 are 2000-2084 (EDF+ specification, 2.1.3.2).
int edf_year(int two_digits);

// The start from "dd.mm.yy" and "hh.mm.ss"; other separators get a Note. Impossible dates or times, and the usual sign
// of a removed date (1 January 1985, midnight), give an empty result and a Note. In EDF+ the recording field's
// "Startdate dd-MMM-yyyy" is compared and stands in where the date is unreadable.
std::optional<CivilTime> edf_start(const EdfField& date, const EdfField& time, const EdfField& recording, bool plus,
                                   EdfNotes& notes);

// The code subfield of an EDF+ patient field; "" for X, and, with a Note, where the four subfields code, sex, birth
// date and name are not there: the first word could then be a name.
std::string edf_person(const EdfField& patient, bool plus, EdfNotes& notes);

}  // namespace tracehold
