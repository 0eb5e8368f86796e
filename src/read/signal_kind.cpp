#include "read/signal_kind.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr double kEnvelopeRate_hz = 100.0;  // surface EMG has its power above 20 Hz, so no one keeps its trace at this rate
constexpr double kFewNegative = 0.01;
constexpr double kSmooth = 0.25;  // of the roughness of white noise, which is 1; a straight line over the window has 0.015
constexpr double kRough_s = 0.1, kLag_s = 0.005, kSwing_s = 0.025;
constexpr std::size_t kFewestInWindow = 8;
constexpr std::size_t kMostWindows = 2000;

struct Range {
    std::size_t count = 0;
    std::size_t negative = 0;
    float least = 0.0f;
    float most = 0.0f;
};

Range range_of(const std::vector<float>& samples) {
    constexpr float kFarthest = std::numeric_limits<float>::infinity();
    std::array<float, 8> least, most;  // eight side by side: a single one would wait for itself at every sample
    least.fill(kFarthest);
    most.fill(-kFarthest);
    Range range;
    for (std::size_t i = 0; i < samples.size(); i += least.size()) {
        const std::size_t lanes = std::min(least.size(), samples.size() - i);
        for (std::size_t k = 0; k < lanes; ++k) {  // a missing sample is neither below nor above anything
            const float x = samples[i + k];
            range.count += x == x;
            range.negative += x < 0.0f;
            least[k] = x < least[k] ? x : least[k];
            most[k] = x > most[k] ? x : most[k];
        }
    }
    if (range.count == 0) return range;
    range.least = *std::min_element(least.begin(), least.end());
    range.most = *std::max_element(most.begin(), most.end());
    return range;
}

float at_share(std::vector<float>& values, double share) {
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

// At least one, where there is one.
std::vector<float> some_of(const std::vector<float>& samples) {
    constexpr std::size_t kPicked = 100'000;
    const std::size_t stride = samples.size() / kPicked + 1;
    std::vector<float> picked;
    picked.reserve(samples.size() / stride + 1);
    for (std::size_t i = 0; i < samples.size(); i += stride) {
        if (!std::isnan(samples[i])) picked.push_back(samples[i]);
    }
    if (picked.empty()) picked.push_back(*std::find_if(samples.begin(), samples.end(), [](float x) { return x == x; }));
    return picked;
}

struct Window {
    double mean = 0.0;
    double sd = 0.0;
};

Window window_of(std::span<const float> x) {
    double sum = 0.0, squares = 0.0;
    for (const float v : x) sum += v;
    const double mean = sum / static_cast<double>(x.size());
    for (const float v : x) squares += (v - mean) * (v - mean);
    return {mean, std::sqrt(squares / static_cast<double>(x.size()))};
}

// Whole windows of the length, evenly picked; those with a missing sample come back empty.
template <class Visit>
void visit_windows(const std::vector<float>& samples, std::size_t length, Visit visit) {
    const std::size_t windows = samples.size() / length, stride = windows / kMostWindows + 1;
    for (std::size_t w = 0; w < windows; w += stride) {
        const std::span<const float> x(samples.data() + w * length, length);
        if (std::none_of(x.begin(), x.end(), [](float v) { return std::isnan(v); })) visit(x);
    }
}

std::size_t samples_for(double seconds, Hertz rate, std::size_t fewest) {
    return std::max(fewest, static_cast<std::size_t>(std::lround(seconds * rate.value)));
}

// Mean square of the change over a lag, over twice the variance within windows (von Neumann's ratio): 1 for white noise.
double roughness(const std::vector<float>& samples, Hertz rate) {
    const std::size_t lag = samples_for(kLag_s, rate, 1);
    double changes = 0.0, variances = 0.0;
    visit_windows(samples, samples_for(kRough_s, rate, kFewestInWindow), [&](std::span<const float> x) {
        double sum = 0.0;
        for (std::size_t i = lag; i < x.size(); ++i) sum += (x[i] - x[i - lag]) * (x[i] - x[i - lag]);
        const double sd = window_of(x).sd;
        changes += sum / static_cast<double>(x.size() - lag);
        variances += sd * sd;
    });
    return variances > 0.0 ? changes / (2.0 * variances) : 0.0;
}

// How much higher the liveliest quarter of the windows stands than the calmest, in units of what its standard deviation has
// more; empty where they are alike or few.
std::optional<double> rise_with_swing(const std::vector<float>& samples, Hertz rate) {
    constexpr double kAlike = 1.5;
    std::vector<Window> windows;
    visit_windows(samples, samples_for(kSwing_s, rate, kFewestInWindow),
                  [&](std::span<const float> x) { windows.push_back(window_of(x)); });
    if (windows.size() < 8) return std::nullopt;
    std::sort(windows.begin(), windows.end(), [](const Window& a, const Window& b) { return a.sd < b.sd; });
    const std::size_t quarter = windows.size() / 4;
    const auto middle = [&](std::size_t from) {
        std::vector<float> means;
        for (std::size_t i = from; i < from + quarter; ++i) means.push_back(static_cast<float>(windows[i].mean));
        return Window{at_share(means, 0.5), windows[from + quarter / 2].sd};
    };
    const Window calm = middle(0), lively = middle(windows.size() - quarter);
    if (lively.sd <= kAlike * calm.sd) return std::nullopt;
    return (lively.mean - calm.mean) / (lively.sd - calm.sd);
}

// In: hardly ever negative.
void see_movement(SignalLook& look, const std::vector<float>& samples, Hertz rate) {
    look.shape = SignalShape::amplitude;
    if (rate.value <= kEnvelopeRate_hz || roughness(samples, rate) < kSmooth) return;
    std::vector<float> picked = some_of(samples);
    const float low = at_share(picked, 0.01), high = at_share(picked, 0.99);
    if (const auto rise = rise_with_swing(samples, rate)) {
        if (*rise < 0.5) look.shape = SignalShape::on_offset;
        look.sure = std::abs(*rise - 0.5) > 0.25;
        return;
    }
    const bool both_ways = look.median - low >= 0.6f * (high - look.median);
    look.sure = both_ways == (low > 0.5f * look.median);
    if (both_ways) look.shape = SignalShape::on_offset;
}

std::string percent_text(double share) { return fixed_text(100.0 * share, share < 0.1 ? 1 : 0) + " %"; }

std::string movement_text(const SignalLook& look) {
    return look.shape == SignalShape::on_offset
               ? fmt::format("it is never negative, but swings both ways around {}", number_text(double{look.median}))
           : look.negative > 0.0 ? "it is hardly ever negative"
                                 : "it is never negative";
}

std::string contradiction(const SignalLook& look, Hertz rate, ChannelKind said) {
    if (said == ChannelKind::envelope && look.shape == SignalShape::signed_) {
        return fmt::format("{} of its values are negative, which an amplitude never is", percent_text(look.negative));
    }
    const bool looks_raw = look.shape == SignalShape::on_offset;
    const bool looks_amplitude = look.shape == SignalShape::amplitude && rate.value > kEnvelopeRate_hz;
    if (!look.sure || !(said == ChannelKind::raw ? looks_amplitude : looks_raw)) return "";
    return movement_text(look) + (looks_raw ? ", as a raw trace does" : ", as an amplitude");
}

}  // namespace

SignalLook look_of(const std::vector<float>& samples, Hertz rate) {
    SignalLook look;
    const Range range = range_of(samples);
    look.whole = std::all_of(samples.begin(), samples.end(), [](float x) { return std::isnan(x) || x == std::trunc(x); });
    if (range.count == 0) return look;
    look.negative = static_cast<double>(range.negative) / static_cast<double>(range.count);
    if (look.negative <= kFewNegative) {
        std::vector<float> picked = some_of(samples);
        look.median = at_share(picked, 0.5);
    }
    if (range.least == range.most) return look;
    look.shape = SignalShape::signed_;
    if (look.negative <= kFewNegative) see_movement(look, samples, rate);
    return look;
}

KindFound find_kind(const SignalLook& look, Hertz rate, std::optional<ChannelKind> said, const std::string& why) {
    if (said) {
        const std::string against = contradiction(look, rate, *said);
        if (against.empty()) return {*said, why, ""};
        return {*said, why, fmt::format("{}, but {}", why, against)};
    }
    const bool slow = rate.value <= kEnvelopeRate_hz;
    const std::string rate_text = fmt::format("a rate of {} Hz is too low for a raw trace", number_text(rate.value));
    switch (look.shape) {
        case SignalShape::flat: return {slow ? ChannelKind::envelope : ChannelKind::raw, slow ? rate_text : "", ""};
        case SignalShape::signed_: {
            if (!slow) return {};
            const std::string decided = fmt::format("{} of its values are negative, though {}", percent_text(look.negative), rate_text);
            return {ChannelKind::raw, decided,
                    decided + ", as an amplitude less an offset has them; --kind raw or --kind envelope settles it"};
        }
        default: break;
    }
    const ChannelKind kind = look.shape == SignalShape::on_offset ? ChannelKind::raw : ChannelKind::envelope;
    const std::string decided = slow ? rate_text : movement_text(look);
    if (look.sure) return {kind, decided, ""};
    return {kind, decided, decided + ", which is not sure; --kind raw or --kind envelope settles it"};
}

}  // namespace tracehold
