#include "tracehold/clean/welch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "clean/block_transform.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

// What depends on the length of a segment alone.
struct SegmentTables {
    explicit SegmentTables(std::size_t size) : window(size), transform(size) {
        for (std::size_t i = 0; i < size; ++i) {
            window[i] = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(size));
            window_power += window[i] * window[i];
        }
    }
    std::vector<double> window;
    double window_power = 0.0;
    BlockTransform transform;
};

// Kept from call to call, for a session asks for hundreds of spectra with few lengths, most of them shorter than the work
// to make the tables.
SegmentTables& tables_for(std::size_t size) {
    constexpr std::size_t kMostKept = 4;
    thread_local std::vector<SegmentTables> kept;
    const auto fits = [size](const SegmentTables& tables) { return tables.window.size() == size; };
    const auto found = std::find_if(kept.begin(), kept.end(), fits);
    if (found != kept.end()) return *found;
    if (kept.size() == kMostKept) kept.erase(kept.begin());
    kept.emplace_back(size);
    return kept.back();
}

// The starts of the segments without a masked sample.
std::vector<std::size_t> valid_segments(std::span<const float> uv, std::size_t size) {
    std::vector<std::size_t> begins;
    const std::size_t step = size - size / 2;
    for (std::size_t begin = 0; begin + size <= uv.size(); begin += step) {
        if (!any_missing(uv.subspan(begin, size))) begins.push_back(begin);
    }
    return begins;
}

// Eight sums side by side, for a single one would wait for itself at every sample.
TRACEHOLD_WIDE double mean_of(std::span<const float> uv) {
    FourDoubles even{}, odd{};
    std::size_t i = 0;
    for (; i + 8 <= uv.size(); i += 8) {
        even += FourDoubles{uv[i], uv[i + 1], uv[i + 2], uv[i + 3]};
        odd += FourDoubles{uv[i + 4], uv[i + 5], uv[i + 6], uv[i + 7]};
    }
    const FourDoubles sums = even + odd;
    double sum = (sums[0] + sums[1]) + (sums[2] + sums[3]);
    for (; i < uv.size(); ++i) sum += uv[i];
    return sum / static_cast<double>(uv.size());
}

// The segments that begin there, freed of their means and windowed.
void put_segments(std::span<const float> uv, std::span<const std::size_t> begins, SegmentTables& tables) {
    std::array<const float*, BlockTransform::kMostBlocks> segments;
    std::array<double, BlockTransform::kMostBlocks> means;
    for (std::size_t k = 0; k < begins.size(); ++k) {
        segments[k] = &uv[begins[k]];
        means[k] = mean_of(uv.subspan(begins[k], tables.window.size()));
    }
    tables.transform.put_windowed(std::span(segments).first(begins.size()), std::span(means).first(begins.size()), tables.window);
}

// From the mean of the squares of `segments` transforms to a one-sided density.
void scale_to_density(std::span<double> power, std::size_t segments, Hertz rate, const SegmentTables& tables) {
    const double scale = 1.0 / (static_cast<double>(segments) * rate.value * tables.window_power);
    for (std::size_t k = 0; k < power.size(); ++k) {
        const bool alone = k == 0 || 2 * k == tables.window.size();  // no mirror image
        power[k] *= alone ? scale : 2.0 * scale;
    }
}

// The share of bin k that lies in [low, high).
double overlap(const PowerSpectrum& spectrum, std::size_t k, Hertz low, Hertz high) {
    const double left = (static_cast<double>(k) - 0.5) * spectrum.step_hz;
    const double inside = std::min(high.value, left + spectrum.step_hz) - std::max(low.value, left);
    return std::clamp(inside / spectrum.step_hz, 0.0, 1.0);
}

}  // namespace

PowerSpectrum welch_spectrum(std::span<const float> uv, Hertz rate, std::size_t segment_samples) {
    PowerSpectrum out;
    out.step_hz = rate.value / static_cast<double>(segment_samples);
    if (segment_samples < 2 || uv.size() < segment_samples) return out;
    const std::vector<std::size_t> begins = valid_segments(uv, segment_samples);
    out.segments = begins.size();
    if (out.segments == 0) return out;
    SegmentTables& tables = tables_for(segment_samples);
    const std::size_t bins = segment_samples / 2 + 1;
    std::vector<double> power(bins);
    for (std::size_t first = 0; first < begins.size(); first += BlockTransform::kMostBlocks) {
        const std::size_t count = std::min(BlockTransform::kMostBlocks, begins.size() - first);
        put_segments(uv, std::span(begins).subspan(first, count), tables);
        tables.transform.run();
        tables.transform.add_powers(power);
    }
    scale_to_density(power, out.segments, rate, tables);
    out.uv2_per_hz = std::move(power);
    return out;
}

void each_spectrum(std::span<const float> uv, Hertz rate, std::span<const std::size_t> begins, std::size_t segment_samples,
                   const std::function<void(std::size_t, const PowerSpectrum&)>& use) {
    constexpr std::size_t kMost = BlockTransform::kMostBlocks;
    SegmentTables& tables = tables_for(segment_samples);
    const std::size_t bins = segment_samples / 2 + 1;
    std::array<PowerSpectrum, kMost> spectra;
    spectra.fill({rate.value / static_cast<double>(segment_samples), std::vector<double>(bins), 1});
    for (std::size_t first = 0; first < begins.size(); first += kMost) {
        const auto some = begins.subspan(first, std::min(kMost, begins.size() - first));
        put_segments(uv, some, tables);
        tables.transform.run();
        for (std::size_t k = 0; k < bins; ++k) {
            const auto squares = tables.transform.squares(k);
            for (std::size_t b = 0; b < kMost; ++b) spectra[b].uv2_per_hz[k] = squares[b];
        }
        for (std::size_t b = 0; b < some.size(); ++b) {
            scale_to_density(spectra[b].uv2_per_hz, 1, rate, tables);
            use(some[b], spectra[b]);
        }
    }
}

std::optional<double> median_frequency_hz(const PowerSpectrum& spectrum, Hertz low, Hertz high) {
    double total = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        total += spectrum.uv2_per_hz[k] * overlap(spectrum, k, low, high);
    }
    if (!(total > 0.0)) return std::nullopt;
    double below = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        const double share = overlap(spectrum, k, low, high);
        const double power = spectrum.uv2_per_hz[k] * share;
        if (power > 0.0 && below + power >= total / 2) {
            const double left = std::max(low.value, (static_cast<double>(k) - 0.5) * spectrum.step_hz);
            return left + share * spectrum.step_hz * (total / 2 - below) / power;
        }
        below += power;
    }
    return std::nullopt;
}

std::optional<double> mean_frequency_hz(const PowerSpectrum& spectrum, Hertz low, Hertz high) {
    double total = 0.0, weighted = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        const double power = spectrum.uv2_per_hz[k] * overlap(spectrum, k, low, high);
        total += power;
        weighted += power * static_cast<double>(k) * spectrum.step_hz;
    }
    return total > 0.0 ? std::optional(weighted / total) : std::nullopt;
}

double statistical_bandwidth_hz(const PowerSpectrum& spectrum) {
    double sum = 0.0, squares = 0.0;
    for (const double g : spectrum.uv2_per_hz) {
        sum += g;
        squares += g * g;
    }
    if (!(squares > 0.0)) return 0.0;
    // Half-overlapping Hann segments are worth 1/1.056 of independent ones (Welch 1967: correlation 1/6 between
    // neighbours); the mean square of an average of K independent periodograms is (1 + 1/K) times the square of the
    // density.
    const double independent = std::max(1.0, static_cast<double>(spectrum.segments) / 1.056);
    return sum * sum * spectrum.step_hz / (squares / (1.0 + 1.0 / independent));
}

}  // namespace tracehold
