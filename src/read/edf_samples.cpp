#include "read/edf_samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "tracehold/core/memory.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

constexpr double kScaleIsWrong = 0.05;  // of the samples; our choice: a recorder seldom leaves its own limits
constexpr float kNoSample = std::numeric_limits<float>::quiet_NaN();

std::string signal_place(const EdfSignal& signal) {
    return fmt::format("byte {}, signal {} scale", signal.header_byte, signal.number);
}

// Little-endian two's complement.
template <std::size_t Bytes>
[[gnu::always_inline]] inline std::int32_t digital_at(const char* bytes) {
    static_assert(Bytes == 2 || Bytes == 3);
    const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[i])); };
    const std::uint32_t low = byte(0) | (byte(1) << 8);
    if (Bytes == 2) return static_cast<std::int16_t>(low);
    const auto value = static_cast<std::int32_t>(low | (byte(Bytes - 1) << 16));
    return value >= 0x800000 ? value - 0x1000000 : value;
}

// Both limits, the span and one step must survive float32 as normal numbers.
bool fits_float(const EdfScale& scale) {
    const double step = std::abs(scale.gain * scale.factor);
    const double high = (scale.digital_max - scale.digital_min) * scale.gain + scale.physical_min;
    const double largest = std::max(std::abs(scale.physical_min), std::abs(high)) * scale.factor + step * 0x1000000;
    constexpr double low = std::numeric_limits<float>::min(), top = std::numeric_limits<float>::max();
    return step >= low && largest < top;
}

// Why the limits of a signal give no scale; empty if they do.
std::string no_scale(const EdfSignal& signal) {
    if (!signal.physical_min || !signal.physical_max) return "a physical limit is no number";
    if (!signal.digital_min || !signal.digital_max) return "a digital limit is no number";
    if (*signal.digital_min == *signal.digital_max) {
        return fmt::format("digital minimum and maximum are both {}", number_text(*signal.digital_min));
    }
    if (*signal.digital_min > *signal.digital_max) {
        return fmt::format("the digital minimum {} is above the maximum {}", number_text(*signal.digital_min),
                           number_text(*signal.digital_max));
    }
    if (*signal.physical_min == *signal.physical_max) {
        return fmt::format("physical minimum and maximum are both {}", number_text(*signal.physical_min));
    }
    return {};
}

struct Outside {
    std::size_t below = 0;
    std::size_t above = 0;
};

template <std::size_t Bytes>
[[gnu::always_inline]] inline Outside decode_all(const char* from, const EdfScale& scale, float* to, std::size_t count) {
    const EdfScale by = scale;  // a copy, which what is written cannot be suspected to change
    const double low = std::min(by.digital_min, by.digital_max), high = std::max(by.digital_min, by.digital_max);
    Outside outside;
    for (std::size_t i = 0; i < count; ++i) {
        const double digital = digital_at<Bytes>(from + i * Bytes);
        outside.below += digital < low;
        outside.above += digital > high;
        to[i] = static_cast<float>(by.physical(digital));
    }
    return outside;
}

TRACEHOLD_WIDE Outside decode_record(const char* from, std::size_t sample_bytes, const EdfScale& scale, float* to, std::size_t count) {
    return sample_bytes == 2 ? decode_all<2>(from, scale, to, count) : decode_all<3>(from, scale, to, count);
}

// The rails, unless samples lie beyond them.
void state_limits(const EdfScale& scale, Outside outside, Channel& channel) {
    const bool rising = scale.gain > 0.0;
    const auto ends = std::minmax(
        {static_cast<float>(scale.physical(scale.digital_min)), static_cast<float>(scale.physical(scale.digital_max))});
    const std::size_t beyond_low = rising ? outside.below : outside.above;
    const std::size_t beyond_high = rising ? outside.above : outside.below;
    if (beyond_low == 0) channel.low_limit = ends.first;
    if (beyond_high == 0) channel.high_limit = ends.second;
    channel.step = static_cast<float>(std::abs(scale.gain * scale.factor));
}

}  // namespace

std::optional<EdfScale> edf_scale(const EdfSignal& signal, double factor, EdfNotes& notes) {
    const auto unusable = [&](const std::string& why) {
        notes.add(
            "scale_unusable", signal_place(signal),
            fmt::format("signal '{}' has no usable scale, {}: it has no valid samples", shown(signal.label), why));
        return std::nullopt;
    };
    if (const std::string why = no_scale(signal); !why.empty()) return unusable(why);
    const double gain = (*signal.physical_max - *signal.physical_min) / (*signal.digital_max - *signal.digital_min);
    const EdfScale scale{*signal.digital_min, *signal.digital_max, *signal.physical_min, gain, factor};
    if (!fits_float(scale)) return unusable("its numbers are too large or too small");
    if (*signal.physical_min > *signal.physical_max) {
        notes.add(
            "polarity_reversed", signal_place(signal),
            fmt::format("signal '{}': the physical minimum {} is above the maximum {}, an inverted amplifier: "
                        "polarity kept as stated",
                        shown(signal.label), number_text(*signal.physical_min), number_text(*signal.physical_max)));
    }
    return scale;
}

void read_edf_samples(std::string_view bytes, const EdfHeader& header, const EdfTimeline& timeline,
                      const EdfSignal& signal, const std::optional<EdfScale>& scale, Channel& channel) {
    const std::vector<std::size_t> begins = edf_run_begins(header, timeline, signal);
    reserve_large(channel.samples, begins.back());
    channel.samples.assign(begins.back(), kNoSample);
    if (!scale) return;
    Outside outside;
    for (std::size_t run = 0; run < timeline.runs.size(); ++run) {
        for (std::size_t i = 0; i < timeline.runs[run].records; ++i) {
            const std::size_t record = timeline.runs[run].first_record + i;
            const char* from = bytes.data() + header.header_bytes + record * header.record_bytes + signal.record_byte;
            float* to = channel.samples.data() + begins[run] + i * signal.samples;
            const Outside here = decode_record(from, header.sample_bytes, *scale, to, signal.samples);
            outside.below += here.below;
            outside.above += here.above;
        }
    }
    state_limits(*scale, outside, channel);
    if (outside.below + outside.above == 0) return;
    channel.doubts.push_back(
        {"outside_digital_limits", signal_place(signal),
         fmt::format("signal '{}': {} samples lie outside the digital limits {} to {}: kept, and the limit is not taken for the "
                     "recorder's rail{}",
                     shown(signal.label), outside.below + outside.above, number_text(scale->digital_min), number_text(scale->digital_max),
                     static_cast<double>(outside.below + outside.above) > kScaleIsWrong * static_cast<double>(channel.samples.size())
                         ? "; so many say that the limits are wrong, and then all amplitudes are off by one factor"
                         : ""),
         true});
}

}  // namespace tracehold
