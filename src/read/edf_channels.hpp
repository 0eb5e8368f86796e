#pragma once
// What a signal of an EDF file is to the rest of the program: its unit, its kind, its samples in µV.
#include <string>
#include <string_view>
#include <vector>

#include "read/edf_header.hpp"
#include "read/edf_timeline.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// All signals with samples that are no annotations, in the order of the file.
// Errors: bad_setting (a unit that is none), malformed (no signal has a usable scale).
std::vector<Channel> read_edf_channels(std::string_view bytes, const std::string& source, const EdfHeader& header,
                                       const EdfTimeline& timeline, const ReadSettings& settings, EdfNotes& notes);

}  // namespace tracehold
