#include "measures/crosstalk.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kLongestLag_s = 0.01, kLagStep_s = 0.0005;
constexpr double kTimesChance = 4.0;   // of 41 lags of two noises one in 10 000 comes so far
constexpr double kMuchShared = 0.1;    // 10 % of the power is 5 % of the amplitude
constexpr double kMostlyShared = 0.75;  // from here on what is the muscle's own is no longer told: twice the amplitude and more
constexpr double kLeastShared = 0.02;  // where it is rest that it is compared with

struct Shared {
    double r = 0.0;
    double seconds = 0.0;
    double work_power = 0.0;  // mean square of the scored channel
    double share() const { return r * r; }
};

Shared shared_at(const CleanRecording& clean, const CleanRecording& accessory, std::span<const SampleRange> work,
                 std::ptrdiff_t lag) {
    double xx = 0.0, yy = 0.0, xy = 0.0;
    std::size_t n = 0;
    for (const SampleRange range : work) {
        for (std::size_t i = range.begin; i < range.end; ++i) {
            const auto k =
                static_cast<std::size_t>(static_cast<std::ptrdiff_t>(i) + lag);  // before the start: beyond all sizes
            if (k >= accessory.uv.size()) continue;
            const double x = clean.uv[i], y = accessory.uv[k];
            if (std::isnan(x) || std::isnan(y)) continue;
            xx += x * x;
            yy += y * y;
            xy += x * y;
            ++n;
        }
    }
    return {xy / std::sqrt(xx * yy), time_of(n, clean.rate), xx / static_cast<double>(n)};  // r of silence is NaN, which is never the most
}

Shared most_shared(const CleanRecording& clean, const CleanRecording& accessory, std::span<const SampleRange> work) {
    const auto in_samples = [&](double seconds) {
        return static_cast<std::ptrdiff_t>(std::lround(seconds * clean.rate.value));
    };
    const std::ptrdiff_t longest = in_samples(kLongestLag_s),
                         step = std::max<std::ptrdiff_t>(1, in_samples(kLagStep_s));
    Shared most;
    for (std::ptrdiff_t lag = -longest; lag <= longest; lag += step) {
        const Shared at = shared_at(clean, accessory, work, lag);
        if (std::abs(at.r) > std::abs(most.r)) most = at;
    }
    return most;
}

// Median mean square of the rests; 0 where there is none to compare with.
double rest_power(std::span<const CycleView> views) {
    std::vector<double> levels;
    for (const CycleView& view : views) {
        if (view.rest_level) levels.push_back(*view.rest_level.value);
    }
    return levels.empty() ? 0.0 : std::pow(median(levels), 2);
}

std::string excess_text(double share) {
    if (share >= kMostlyShared) return "far too high; what of it is this muscle's own cannot be told";
    return fixed_text(100.0 * (1.0 / std::sqrt(1.0 - share) - 1.0), 0) + " % too high";
}

}  // namespace

std::optional<Finding> crosstalk_finding(std::span<const CycleView> views, const CleanRecording* accessory) {
    if (views.empty() || accessory == nullptr || views.front().accessory == nullptr) return std::nullopt;
    const CleanRecording& clean = views.front().clean;
    if (clean.kind != ChannelKind::raw || accessory->kind != ChannelKind::raw ||
        clean.rate.value != accessory->rate.value)
        return std::nullopt;
    std::vector<SampleRange> work;
    for (const CycleView& view : views) {
        const bool found = view.cycle.status == CycleStatus::done || view.cycle.status == CycleStatus::extra;
        if (found) work.push_back(samples_in(view.work, clean.rate, clean.uv.size()));
    }
    const Shared most = most_shared(clean, *accessory, work);
    const double bandwidth_hz = std::min(clean.bandwidth_hz, accessory->bandwidth_hz);
    if (!(most.share() * bandwidth_hz * most.seconds > kTimesChance * kTimesChance)) return std::nullopt;
    const double rest = rest_power(views);
    const bool as_rest = rest > 0.0 && most.share() >= kLeastShared && most.share() * most.work_power >= rest;
    if (most.share() < kMuchShared && !as_rest) return std::nullopt;
    return Finding{"crosstalk",
                   Severity::caution,
                   fmt::format("{} % of the power in the contractions is the accessory channel's signal as well "
                               "(correlation of the two traces "
                               "{} over {} s): the amplitude may hold the other muscle's signal and read {}, and contractions may "
                               "seem to begin early and end late",
                               fixed_text(100.0 * most.share(), 0), fixed_text(most.r, 2), fixed_text(most.seconds, 0),
                               excess_text(most.share())),
                   {}};
}

}  // namespace tracehold
