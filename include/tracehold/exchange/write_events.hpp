#pragma once
// What was scored, beside the trace it was scored from, for viewers and statistics programs.
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// The events of a scored session in order of time, seconds from the start of the recording: for each contraction its
// work window ("hold 3, done", with the window's length) and, where known, "onset 3" and "offset 3"; for each stretch
// that a check of the signal named "found: CODE" with its length. None of these texts is a cue mark.
std::vector<Mark> scored_events(const SessionScore& score);

// The recording with two more channels, "EMG clean" and "EMG envelope" (µV, the rate of the scored channel, NaN where
// masked), and the scored events among its marks. Labels that EDF cannot hold are shortened to it, each with a note.
// In: all of one recording and its channel. recording_edf writes it.
Recording scored_recording(const Recording& recording, const CleanRecording& clean, const Envelope& envelope,
                           const SessionScore& score);

// EDF+ with the scored events alone: no signal but the annotations, one record of no length. Person, start and edges as
// recording_edf.
std::string events_edf(const SessionScore& score);

// One row a sample: time_s, trace (as recorded, in its unit), clean_uv, envelope_uv, contraction (its number while its
// work window lasts) and phase ("work", "rest" or empty). A missing value is an empty cell.
std::string trace_csv(const Channel& channel, const CleanRecording& clean, const Envelope& envelope,
                      const SessionScore& score);

// The pair of a BIDS events file (BIDS 1.9, "Events"): tab-separated, a row a contraction with onset and duration of
// its work window, and a row a stretch that a finding names; 'n/a' where there is no value. The second text describes the
// columns, as JSON.
std::string events_tsv(const SessionScore& score);
std::string events_description_json(const SessionScore& score);

}  // namespace tracehold
