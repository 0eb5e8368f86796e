#pragma once
// Recordings as files of open formats.
#include <string>

#include "tracehold/read/recording.hpp"

namespace tracehold {

struct RecordingCsvStyle {
    char delimiter = ',';
    char decimal = '.';
    std::string unit = "uV";  // uV, mV or V
    bool time_column = true;  // else the rate stands in a '# rate_hz' line
    int decimals = 3;         // of the values, in that unit; 0..9
};

// '# key: value' lines (person, start, posture, rate_hz, unit, kind), a header row, one row a sample; a missing sample
// is an empty cell. Marks as a column 'marker': each stands at the first sample not before it and its text is repeated
// until the next one; ahead of a mark with the text of the one before it one cell is empty, so that every mark is a
// change. In: all channels of one rate, one kind. Times have as many decimals as the rate needs, at most 6. Errors:
// bad_setting (several rates, lengths or kinds; an unknown unit; a delimiter that is the decimal mark).
std::string recording_csv(const Recording& recording, const RecordingCsvStyle& style = {});

// EDF+C, 16 bit, with marks as annotations. Records without any valid sample are left out, which makes it an EDF+D
// file. A missing sample inside a record, or behind the last one in its record, is the digital minimum (never a zero,
// which would look like rest) and is named by an annotation 'no data' with its length. Physical limits: the channel's
// rails where known, else 1 % beyond the data and the same on both sides; so only rails reach the digital limits. Half
// a digital step is lost at most. Start dates before 1985 or after 2084 are written as removed. Labels, person and unit
// in ASCII ('µ' becomes 'u', a blank in a person's code '_'). Errors: bad_setting (a rate of which no record of up to
// 10 s holds a whole number of samples; text that is not ASCII; a label over 16 characters; values that 8 characters
// cannot hold; no valid sample at all).
std::string recording_edf(const Recording& recording);

}  // namespace tracehold
