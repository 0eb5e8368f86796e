#pragma once
// Units and kinds of the value columns of a CSV recording.
#include <string>
#include <vector>

#include "read/csv_columns.hpp"
#include "read/csv_sayings.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// The unit of a value column: of its name, else of a 'unit:' line, else unknown (microvolts assumed); the user's word
// beats all.
struct ColumnUnit {
    std::string text;
    bool known = true;
    double factor = 1.0;  // to µV; 1 for what is no voltage
};

// Errors: bad_setting (a unit of the user that is none of uV, mV, V).
ColumnUnit unit_of(const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings,
                   const std::string& source);

// Says of a channel whose label, unit, rate and samples are set whether it is raw or an envelope, with a Note saying
// why where it is an envelope or where the values do not speak for themselves; and that microvolts were assumed. In
// this order: the user, no voltage -> other, the name of the column, a 'kind:' line, a rate of 100 Hz or less, never
// negative but varying. An offset with swings to both sides (converter counts) is raw although never negative.
void settle_kind(Channel& channel, const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings,
                 std::vector<Note>& notes);

}  // namespace tracehold
