#pragma once
// Units and kinds of the value columns of a CSV recording.
#include <string>
#include <vector>

#include "read/csv_columns.hpp"
#include "read/csv_sayings.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// The unit of a value column: of its name, else of a 'unit:' line; the user's word beats all. A word of unknown size stays
// as it was written, and microvolts are assumed.
struct ColumnUnit {
    std::string text;
    bool known = true;
    bool voltage = true;
    double factor = 1.0;  // to µV; 1 for what is no voltage
};

// Errors: bad_setting (a unit of the user that is none of uV, mV, V), malformed (the name and the line say different ones).
ColumnUnit unit_of(const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings,
                   const std::string& source);

// Says of a channel whose label, unit, rate and samples are set whether it is raw or an envelope, with a Note saying
// why where it is no plain raw trace; and, as doubts of the channel, that microvolts were assumed and that its kind is not
// sure. In this order: the user, no voltage -> other, the name of the column, a 'kind:' line, what it looks like
// (signal_kind.hpp).
void settle_kind(Channel& channel, const ColumnUnit& unit, const CsvColumn& column, const CsvSayings& sayings,
                 const ReadSettings& settings, std::vector<Note>& notes);

}  // namespace tracehold
