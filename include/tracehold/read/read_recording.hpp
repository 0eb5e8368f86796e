#pragma once
// The verb of this room: bytes in, Recording out.
#include <string>
#include <string_view>

#include "tracehold/read/recording.hpp"

namespace tracehold {

// All bytes of a regular file; "-" reads standard input to its end.
// Errors: cannot_open (missing, a folder, a device, no permission, empty name), unsupported (over 2 GiB).
std::string read_bytes(const std::string& path);

// Recognises the format by content, never by name, and reads it.
// In: the bytes of one file; source: its name for messages. Out: a Recording with sha256 set.
// Errors: not_recognised, malformed, unsupported, too_short.
Recording read_recording(std::string_view bytes, const std::string& source, const ReadSettings& settings = {});

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
