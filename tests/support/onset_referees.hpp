#pragma once
// Published ways to find the onset of muscle activity, as referees: plain, one contraction at a time.
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace tracehold::testing {

// rest: [cue_s - 2, cue_s - 0.05]; the onset is looked for in [cue_s - 0.5, until_s].
struct RefereeTask {
    std::span<const float> uv;  // band-passed, nothing masked
    double rate_hz = 2000.0;
    double cue_s = 0.0;
    double until_s = 0.0;
};
using Referee = std::optional<double> (*)(const RefereeTask&);

// 50-ms moving RMS above mean + 3 SD of rest, for 50 ms (common practice, no source).
std::optional<double> rms_threshold_onset(const RefereeTask& task);
// Hodges & Bui 1996 (from memory): rectified, 50-Hz low-pass, mean of 25 ms above mean + 3 SD of rest.
std::optional<double> hodges_bui_onset(const RefereeTask& task);
// Teager-Kaiser energy x[n]^2 - x[n-1] x[n+1], rectified, 50-Hz low-pass, mean + 3 SD of rest for 25 ms (after Solnik
// et al. 2010, from memory; papers differ in the factor of SD; 8 found hardly anything below 10 dB).
std::optional<double> teager_kaiser_onset(const RefereeTask& task);
// Approximated generalised likelihood ratio (after Staude & Wolf 1999, from memory): whitened by an AR(8) model of
// rest; alarm when the log likelihood ratio of a change of variance in a 40-ms window passes 10; then the most likely
// change time before it.
std::optional<double> aglr_onset(const RefereeTask& task);

struct NamedReferee {
    std::string_view name;
    Referee onset;
};
std::span<const NamedReferee> referees();

// The same referee on the reversed trace, from a second after the relax cue back to from_s.
std::optional<double> referee_offset(Referee referee, std::span<const float> uv, double rate_hz, double relax_s,
                                     double from_s);

}  // namespace tracehold::testing
