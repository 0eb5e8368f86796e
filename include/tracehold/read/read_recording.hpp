#pragma once
// The verb of this room: bytes in, Recording out.
#include <cstddef>
#include <string>
#include <string_view>

#include "tracehold/read/recording.hpp"

namespace tracehold {

// All bytes of a regular file; "-" reads standard input to its end.
// Errors: cannot_open (missing, a folder, a device, no permission, empty name), unsupported (over 2 GiB), those of
// check_stream.
std::string read_bytes(const std::string& path);

// What is taken of a recording from standard input, whose length nobody knows before its end: an hour of a channel at 1 kHz
// as text. Our choice.
inline constexpr std::size_t kMostOfStream = std::size_t{1} << 26;  // bytes
inline constexpr std::size_t kMostOfFile = std::size_t{1} << 31;    // of anything; a day of 8 channels at 2 kHz

// Errors: unsupported if more than that were taken from standard input.
void check_stream(std::size_t bytes, std::size_t most = kMostOfStream);

// Errors: not_recognised, where no recording begins with these bytes (64 KiB are enough to tell).
void refuse_no_recording(std::string_view begin, const std::string& source);

// Our choice: slower than any recorder or exported amplitude of this training.
inline constexpr double kSlowestRate_hz = 4.0;

// Recognises the format by content, never by name, and reads it.
// In: the bytes of one file; source: its name for messages. Out: a Recording with sha256 set.
// Errors: not_recognised, malformed, unsupported (also a file without a channel of kSlowestRate_hz: its times are of another unit), too_short.
Recording read_recording(std::string_view bytes, const std::string& source, const ReadSettings& settings = {});

// Notes of this room that cast doubt (core/note.hpp), since the numbers may be off:
//   units and kind   unit_assumed, unit_doubtful, kind_doubtful, outside_digital_limits, channel_twice (of their channel alone)
//   rate             rate_differs, rate_said_twice, rate_given against what the file says, record_duration_wrong
//   time             time_goes_back, time_loses_digits, records_overlap, record_times_jump, records_apart_alike, record_times_drift above 0.1 s,
//                    record_time_lost and record_times_missing in a discontinuous file, record_count_wrong, start_differs,
//                    start_date_conflict, start_date_unknown of a day that is none
//   marks            annotation_unreadable, too_many_annotations, marks_outside from a tenth of them on
// What contradicts itself beyond that is refused: two units, a rate that changes, a record duration more than 5 % off its
// stamps, a rate given against a sound time column or an EDF header, times that would make less than kSlowestRate_hz. All other notes tell a
// repair, a loss that is masked or counted elsewhere, or an assumption that another line of the result shows.
//
// One reader per family; read_recording picks.
//
// EDF, EDF+, BDF, BDF+: times count from the first sample, so marks are moved by the first record's own start, and start
// includes it. Gaps between records are NaN on one time axis and listed in gaps; a record stamped before the one ahead of
// it ends is put right behind it. person is the EDF+ patient code alone, never a name or birth date. Equal or unreadable
// limits make that channel NaN. Refused as unsupported: annotations without a signal, more than 512 signals, 31 days or
// 1 MHz, gaps of more than four times the data and 32 Mi samples. Source where readers differ: the EDF and EDF+
// specifications.
Recording read_edf(std::string_view bytes, const std::string& source, const ReadSettings& settings = {});
Recording read_csv(std::string_view bytes, const std::string& source, const ReadSettings& settings = {});

// True if the bytes start like EDF or BDF (version field "0       ", or 0xFF "BIOSEMI"), tolerating a damaged version field when the rest is
// consistent.
bool looks_like_edf(std::string_view bytes);

}  // namespace tracehold
