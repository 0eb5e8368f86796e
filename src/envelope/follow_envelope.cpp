#include "tracehold/envelope/follow_envelope.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/envelope/levels.hpp"

namespace tracehold {
namespace {

std::size_t odd_window(Seconds window, Hertz rate) {
    constexpr double kLongest_s = 10.0;
    const double samples = window.value * rate.value;
    if (!(samples >= 2.0) || window.value > kLongest_s) {
        throw Error{ErrorKind::bad_setting, "", "envelope window",
                    fmt::format("window out of range: saw {} s at {} Hz, expected at least 2 samples and at most {} s",
                                window.value, rate.value, kLongest_s)};
    }
    return 2 * static_cast<std::size_t>(std::llround((samples - 1.0) / 2.0)) + 1;
}

std::vector<float> linear_envelope(const CleanRecording& clean) {
    const Hertz corner = low_pass_corner_for_two_passes(kLinearEnvelopeOrder, kLinearEnvelopeCorner, clean.rate);
    const auto sections = butterworth_low_pass(kLinearEnvelopeOrder, corner, clean.rate);
    std::vector<float> uv = clean.uv;
    for (float& v : uv) v = std::abs(v);
    for (const SampleRange run : valid_runs(uv)) {
        const std::span<float> part(uv.data() + run.begin, run.size());
        if (run.size() < settling_samples(sections)) {
            std::fill(part.begin(), part.end(), std::nanf(""));
            continue;
        }
        run_zero_phase(sections, part);
        for (float& v : part) v = std::max(v, 0.0F);  // the low-pass may swing a little below zero
    }
    return uv;
}

std::vector<float> exported_amplitude(const CleanRecording& clean) {
    std::vector<float> uv = clean.uv;
    for (float& v : uv) v = v < 0.0F ? 0.0F : v;  // keeps NaN
    return uv;
}

// In power: independent noise adds to the square of the amplitude.
void subtract_in_power(std::vector<float>& uv, double noise_uv) {
    for (float& v : uv) v = static_cast<float>(subtract_noise(v, noise_uv));
}

void subtract_baseline(Envelope& envelope) {
    for (std::size_t i = 0; i < envelope.uv.size(); ++i) {
        const float lifted = envelope.uv[i] - envelope.baseline_uv[i];
        envelope.uv[i] = lifted < 0.0F ? 0.0F : lifted;
    }
    envelope.baseline_subtracted = true;
}

}  // namespace

std::string_view to_string(EnvelopeMethod method) {
    switch (method) {
        case EnvelopeMethod::moving_rms: return "moving_rms";
        case EnvelopeMethod::rectified: return "rectified";
        case EnvelopeMethod::as_exported: return "as_exported";
    }
    return "";
}

double subtract_noise(double envelope_uv, double noise_uv) {
    if (std::isnan(envelope_uv)) return envelope_uv;
    return std::sqrt(std::max(0.0, envelope_uv * envelope_uv - noise_uv * noise_uv));
}

Envelope follow_envelope(const CleanRecording& clean, const EnvelopeSettings& settings) {
    Envelope out;
    out.rate = clean.rate;
    if (clean.kind == ChannelKind::envelope) {
        out.method = EnvelopeMethod::as_exported;
        out.window = Seconds{1.0 / clean.rate.value};
        out.uv = exported_amplitude(clean);
        out.baseline_uv = running_lower_decile(out.uv, clean.rate);
    } else if (settings.method == EnvelopeMethod::rectified) {
        out.method = EnvelopeMethod::rectified;
        out.window = Seconds{1.0 / kLinearEnvelopeCorner.value};
        out.uv = linear_envelope(clean);
    } else {
        const std::size_t window = odd_window(settings.window, clean.rate);
        out.window = Seconds{static_cast<double>(window) / clean.rate.value};
        out.uv = moving_rms(clean.uv, window);
    }
    out.noise_floor_uv = noise_floor(out.uv, clean.rate);
    if (settings.subtract_noise_floor) {
        subtract_in_power(out.uv, out.noise_floor_uv);
        out.noise_subtracted = true;
    }
    if (settings.subtract_baseline && !out.baseline_uv.empty()) subtract_baseline(out);
    return out;
}

}  // namespace tracehold
