#pragma once
// What the steps of cleaning saw in one channel, before it is put into words.
#include <string>
#include <vector>

#include "clean/broadband.hpp"
#include "clean/flattened.hpp"
#include "clean/heart_beats.hpp"
#include "clean/mains.hpp"
#include "clean/ranges.hpp"
#include "clean/repeating.hpp"
#include "clean/stuck.hpp"
#include "tracehold/clean/clean.hpp"

namespace tracehold {

struct Found {
    Stuck stuck;
    Ranges spikes;
    Ranges motion;
    Ranges open_hum;
    Ranges only_broadband;
    Ranges left_hum;
    Broadband broadband;
    Peakedness peakedness;
    Ranges missing;  // never recorded, or no number
    MainsTreatment mains;
    double rest_uv = 0.0;  // resting level of the cleaned trace
    HeartBeats beats;
    double loud_uv = 0.0;  // of its loud parts
    double least_uv = 0.0;  // what an electrode gives at least, in this band
    Repeating repeating, repeating_at_rest;
    PulseTrain pulses;
    double rest_with_hum_uv = 0.0;  // resting level before mains was removed
    bool hum_alone = false;         // mains comes and goes, and nothing else does
    double one_line = 0.0;          // share of power of the strongest line in each loud half second
    double near_zero = 0.0;         // of an amplitude: share of its loud samples that fall to nothing
    double copied_s = 0.0;          // whose very samples came before
    std::string no_rest;    // why the resting level cannot be read
    double drift_uv = 0.0;  // range of the baseline, 5th to 95th percentile of its 1-s means
    double step_uv = 0.0;   // of the recorder's digits; 0 = too fine to see
    double valid_s = 0.0;   // what is left
    double duration_s = 0.0;
    double lost_share = 0.0;  // masked, of the whole
};

// In plain words, in a fixed order. Contracts: a reject without spans means that the recording cannot be scored.
std::vector<Finding> put_into_words(const Channel& channel, const Found& found, const CleanSettings& settings);

}  // namespace tracehold
