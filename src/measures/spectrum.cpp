// Where the power of the trace lies, and how it moves while a contraction lasts. Raw traces only.
// Error of a median frequency m of the density G over the band: moving power p across m moves m by p / G(m), and the
// power below less that above scatters with variance V int G^2 over the band, so SE(m) = sqrt(V int G^2) / (2 G(m)). V
// = (1.944 / (L K)) (1 + (6/35) (K - 1) / K) for K Hann segments of length L with half overlap: int h^4 / (int h^2)^2 =
// 35/18 / L, and neighbours correlate by 3/35. Expected squares of an average of K segments are G^2 (1 + 1.056 / K).
#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

#include "measures/families.hpp"
#include "measures/line.hpp"
#include "measures/window.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

constexpr Hertz kLow{20.0};                  // definition
constexpr Hertz kHigh{450.0};                // definition
constexpr double kSegment_s = 0.5;           // definition
constexpr double kWindow_s = 1.0;            // of the slope; definition
constexpr double kShortestForSlope_s = 5.0;  // definition
constexpr double kNeighbourhood_hz =
    10.0;  // our choice: half-width over which G(m) is averaged, narrow against any EMG spectrum
constexpr const char* kExported = "no spectrum from an exported envelope";

std::span<const float> trace_in(const CleanRecording& clean, TimeSpan span) {
    const SampleRange samples = samples_in(span, clean.rate, clean.uv.size());
    return std::span(clean.uv).subspan(samples.begin, samples.size());
}

// Why there is no spectrum of this span; empty if there may be one.
std::string refusal(const CycleView& view, TimeSpan span) {
    if (view.clean.kind != ChannelKind::raw) return kExported;
    const auto uv = trace_in(view.clean, span);
    const auto valid = std::count_if(uv.begin(), uv.end(), [](float v) { return std::isfinite(v); });
    const double expected = span.length_s() * view.clean.rate.value;
    if (expected < 1.0) return "the window is empty";
    return static_cast<double>(valid) < kLeastValidShare * expected - 1.0 ? kTooLittleValid : "";
}

std::optional<double> error_of_median(const PowerSpectrum& spectrum, double median_hz) {
    double squares = 0.0, near = 0.0, bins = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        const double f = static_cast<double>(k) * spectrum.step_hz;
        const double density = spectrum.uv2_per_hz[k];
        if (f >= kLow.value && f <= kHigh.value) squares += density * density * spectrum.step_hz;
        if (std::abs(f - median_hz) <= kNeighbourhood_hz) near += density, bins += 1.0;
    }
    if (!(near > 0.0)) return std::nullopt;
    const double segments = static_cast<double>(spectrum.segments);
    const double scatter =
        35.0 / 18.0 / (segments / spectrum.step_hz) * (1.0 + 6.0 / 35.0 * (segments - 1.0) / segments);
    const double power_error = std::sqrt(scatter * squares / (1.0 + 1.056 / segments));
    return power_error / (2.0 * near / bins);
}

std::size_t segment_samples(const CleanRecording& clean) {
    return static_cast<std::size_t>(std::max(2.0, std::round(kSegment_s * clean.rate.value)));
}

Estimate median_frequency_in(const PowerSpectrum& spectrum) {
    if (spectrum.segments == 0) return Estimate::none("no 0.5 s without masked samples");
    const auto median = median_frequency_hz(spectrum, kLow, kHigh);
    if (!median) return Estimate::none("no power between 20 and 450 Hz");
    return {*median, error_of_median(spectrum, *median), {}};
}

Estimate median_frequency_of(const CycleView& view) {
    const std::string why = refusal(view, view.hold);
    if (!why.empty()) return Estimate::none(why);
    if (view.hold.length_s() < kSegment_s) return Estimate::none("the hold is shorter than 0.5 s");
    return median_frequency_in(welch_spectrum(trace_in(view.clean, view.hold), view.clean.rate, segment_samples(view.clean)));
}

struct Points {
    std::vector<double> times, values, errors;
};

// Whole seconds from the start of the hold; seconds in which nothing can be told are left out.
Points by_second(const CycleView& view) {
    const CleanRecording& clean = view.clean;
    std::vector<double> times;
    std::vector<std::vector<std::size_t>> segments;  // of each second, in the whole trace
    for (int second = 0; (second + 1) * kWindow_s <= view.hold.length_s() + 1e-9; ++second) {
        const double begin_s = view.hold.begin_s + second * kWindow_s;
        const TimeSpan span{begin_s, begin_s + kWindow_s};
        if (!refusal(view, span).empty()) continue;
        times.push_back((second + 0.5) * kWindow_s);
        segments.push_back(valid_segments(trace_in(clean, span), segment_samples(clean)));
        for (std::size_t& begin : segments.back()) begin += samples_in(span, clean.rate, clean.uv.size()).begin;
    }
    const std::vector<PowerSpectrum> spectra = mean_spectra(clean.uv, clean.rate, segments, segment_samples(clean));
    Points points;
    for (std::size_t i = 0; i < times.size(); ++i) {
        const Estimate median = median_frequency_in(spectra[i]);
        if (!median || !median.error) continue;
        points.times.push_back(times[i]);
        points.values.push_back(*median.value);
        points.errors.push_back(*median.error);
    }
    return points;
}

// Error of slope / start for points of one common error s, by the delta method.
double error_of_relative_slope(const Line& line, const Points& points) {
    double mean_time = 0.0, variance = 0.0, time_squares = 0.0;
    const double n = static_cast<double>(points.times.size());
    for (const double t : points.times) mean_time += t / n;
    for (const double t : points.times) time_squares += (t - mean_time) * (t - mean_time);
    for (const double e : points.errors) variance += e * e / n;
    const double ratio = line.slope / line.start;
    // d(slope/start): the slope's share 1 + ratio * mean_time, the mean's share -ratio.
    const double by_slope = std::pow(1.0 + ratio * mean_time, 2) / time_squares;
    return std::sqrt(variance * (by_slope + ratio * ratio / n)) / line.start;
}

Estimate slope_of(const CycleView& view) {
    if (view.clean.kind != ChannelKind::raw) return Estimate::none(kExported);
    if (view.work.length_s() < kShortestForSlope_s - 1e-9) return Estimate::none("the hold is shorter than 5 s");
    const std::string why = refusal(view, view.hold);
    if (!why.empty()) return Estimate::none(why);
    const Points points = by_second(view);
    if (points.times.size() < 3) return Estimate::none("fewer than 3 valid seconds in the hold");
    const auto line = line_through(points.times, points.values);
    if (!line || !(line->start > 0.0)) return Estimate::none("the line through the seconds does not start above 0 Hz");
    return Estimate::of(100.0 * line->slope / line->start, 100.0 * error_of_relative_slope(*line, points));
}

}  // namespace

Measure median_frequency() {
    return {
        .key = "median_frequency_hz",
        .title = "Median frequency",
        .unit = "Hz",
        .ucum = "Hz",
        .family = "spectrum",
        .definition =
            "The frequency that halves the power of the cleaned trace between 20 and 450 Hz over the hold (as "
            "of the hold mean). Power by Welch's method: "
            "Hann windows of 0.5 s, half overlap, linear inside a bin.",
        .edges =
            "Null for exported envelopes, where less than 70 % of the hold or no 0.5 s in a row is valid signal, or "
            "where the contraction was missed. Below 900 Hz sampling the band ends earlier and the value lies lower: "
            "compare one recorder only. Standard error from the scatter of the spectrum, sqrt(V int G^2) / (2 G(m)).",
        .source =
            "Welch 1967; Stulen & De Luca 1981 (median frequency of EMG); error: our derivation, checked by simulation",
        .needs_contraction = true,
        .compute = median_frequency_of};
}

Measure median_frequency_slope() {
    return {.key = "median_frequency_slope_pct_per_s",
            .title = "Median frequency slope",
            .unit = "%/s",
            .ucum = "%/s",
            .family = "spectrum",
            .definition =
                "Slope of the least-squares line through the median frequencies of each whole second of the hold, in "
                "percent of the line's value at the start of the hold, per second. Negative where the spectrum moves "
                "down, as it does when a muscle tires.",
            .edges =
                "Null for exported envelopes, work windows under 5 s, fewer than 3 valid seconds, less than 70 % "
                "valid signal, or where the contraction was missed. Standard error by the delta method from the "
                "errors of the single seconds; in holds of 5 to 10 s it is often larger than the slope itself.",
            .source = "De Luca 1984 (from memory); error: our derivation, checked by simulation",
            .needs_contraction = true,
            .compute = slope_of};
}

}  // namespace tracehold
