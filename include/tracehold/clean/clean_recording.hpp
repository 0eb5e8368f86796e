#pragma once
// The verb of this room.
#include "tracehold/clean/clean.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// Masks what cannot be believed, removes the mean, filters to the band, removes mains hum and heart beats where found,
// and writes down what it found. One channel at a time; time and memory grow with its length alone (24 h at 2 kHz:
// about 40 s). In: a recording, the number of one of its channels from 0. Out: same length and rate as the channel.
// Edges: an exported amplitude is masked but never filtered, and where it falls to nothing though rest does not contact was
// lost; runs of valid samples shorter than the filter's settling are masked; tops of waves that stand at a limit of the
// recorder are kept, as the least that they can have been; a channel without a valid second comes out masked and not
// usable, with the reason among its findings.
// Findings: masked_much, missing, contact_lost, reference_off, clipping, motion, spikes, mains, heart_beats,
// undersampled (below 1000 Hz, reject below 220 Hz),
// header_prefilter, quantised, drift, already_envelope; repeating (tones and regular pulses: caution from a tenth of the
// power, of the whole or at rest, reject from half of the whole), too_large (loud parts above 1500 µV RMS), too_small
// (loud parts below what electrode and amplifier make by themselves, 0.1 µV RMS over 20-450 Hz: reject),
// rest_unreadable (a resting level finer than the digits, below step / sqrt 3, or below that noise: caution, and no
// resting level may be given); and the doubts of the recording and of the channel. Errors: too_short (a channel under 1 s),
// bad_setting (no such channel, no band left), unsupported (channel kind other).
CleanRecording clean_recording(const Recording& recording, std::size_t channel, const CleanSettings& settings = {});

}  // namespace tracehold
