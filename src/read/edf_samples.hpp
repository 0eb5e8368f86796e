#pragma once
// Digital values of one signal to samples in its physical unit.
#include <optional>
#include <string>
#include <string_view>

#include "read/edf_header.hpp"
#include "read/edf_timeline.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// physical = (digital - digital_min) * gain + physical_min, all times factor (to µV, or 1).
// gain = (physical_max - physical_min) / (digital_max - digital_min); negative where the physical limits are reversed.
// Source: EDF specification 1992.
struct EdfScale {
    double digital_min = 0.0;
    double digital_max = 0.0;
    double physical_min = 0.0;
    double gain = 1.0;
    double factor = 1.0;

    double physical(double digital) const { return ((digital - digital_min) * gain + physical_min) * factor; }
};

// Empty, with a Note, where a limit is no number, where both digital or both physical limits are equal, where the
// digital ones are reversed, or where float32 cannot hold the scale: nothing is known about that signal then. Reversed
// physical limits get a Note and are used as they stand.
std::optional<EdfScale> edf_scale(const EdfSignal& signal, double factor, EdfNotes& notes);

// Fills samples, low_limit, high_limit and step of channel (its rate is set); without a scale all samples are NaN. A
// side whose limit some samples pass is no rail: its limit stays empty, with a doubt of the channel.
void read_edf_samples(std::string_view bytes, const EdfHeader& header, const EdfTimeline& timeline,
                      const EdfSignal& signal, const std::optional<EdfScale>& scale, Channel& channel);

}  // namespace tracehold
