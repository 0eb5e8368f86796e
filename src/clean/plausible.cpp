#include "clean/plausible.hpp"

#include <fmt/format.h>

#include <cmath>

#include "clean/frames.hpp"

namespace tracehold {
namespace {

constexpr double kSilence_uv = 0.1;
constexpr double kFullBand_hz = 430.0;
constexpr double kLoudQuantile = 0.97;  // three attempts of 3 s in 5 minutes are loud for 3 % of the time

}  // namespace

double smallest_uv(double low_hz, double high_hz) {
    return high_hz > low_hz ? kSilence_uv * std::sqrt((high_hz - low_hz) / kFullBand_hz) : kSilence_uv;
}

double loud_level(std::span<const float> half_second_powers) { return level_quantile(half_second_powers, kLoudQuantile); }

std::string why_no_rest(const Found& found, ChannelKind kind, double low_hz, double high_hz) {
    if (found.rest_uv < (kind == ChannelKind::raw ? found.step_uv / std::sqrt(3.0) : found.step_uv)) {
        return fmt::format("finer than the recorder's digits of {:.2g} µV can tell", found.step_uv);
    }
    if (found.rest_uv < smallest_uv(low_hz, high_hz)) return "quieter than any electrode with its amplifier (is the unit another? --unit says which)";
    return "";
}

}  // namespace tracehold
