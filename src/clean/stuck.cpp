#include "clean/stuck.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace tracehold {
namespace {

constexpr double kContact_s =
    0.1;  // our choice: no muscle or noise holds one value so long; shorter stops are clipping

// A rail shows as a pile: at least kPile samples at the extreme value (or, with a recorder that overshoots by a digit,
// at the two most extreme), and kPileRatio times as many as one would expect from the kNext values next to it. A
// Gaussian trace has one or two samples at its extreme. Our choice; from 4 samples on there is no doubt.
constexpr std::size_t kPile = 4;
constexpr double kPileRatio = 4.0;
constexpr std::size_t kNext = 4, kOvershoot = 2;

// The most extreme values with their counts. sign +1: highest, -1: lowest.
struct Extreme {
    float value = 0.0F;
    std::size_t count = 0;
};

std::array<Extreme, kNext + kOvershoot> extremes(std::span<const float> samples, float sign) {
    std::array<Extreme, kNext + kOvershoot> top{};
    for (const float v : samples) {
        const Extreme& least = top.back();
        if (std::isnan(v) || (least.count > 0 && sign * least.value > sign * v)) continue;  // nearly all
        std::size_t place = 0;
        while (place < top.size() && top[place].count > 0 && sign * top[place].value > sign * v) ++place;
        if (place == top.size()) continue;
        if (top[place].count > 0 && top[place].value == v) {
            ++top[place].count;
            continue;
        }
        std::copy_backward(top.begin() + static_cast<std::ptrdiff_t>(place), top.end() - 1, top.end());
        top[place] = {v, 1};
    }
    return top;
}

std::optional<float> piled_rail(std::span<const float> samples, float sign) {
    const auto top = extremes(samples, sign);
    if (top.back().count == 0) return std::nullopt;  // so few values that no pile can be told
    std::size_t piled = 0;
    for (std::size_t values = 1; values <= kOvershoot; ++values) {
        piled += top[values - 1].count;
        std::size_t next = 0;
        for (std::size_t i = values; i < values + kNext; ++i) next += top[i].count;
        const double expected = static_cast<double>(values) * std::max(1.0, static_cast<double>(next) / kNext);
        if (piled >= kPile && static_cast<double>(piled) >= kPileRatio * expected) return top[values - 1].value;
    }
    return std::nullopt;
}

// A stated limit counts once the trace has reached it as often as makes a pile: some writers state the trace's own
// extremes.
std::optional<float> rail(std::span<const float> samples, std::optional<float> stated, float sign) {
    if (!stated) return piled_rail(samples, sign);
    const auto reached =
        std::count_if(samples.begin(), samples.end(), [&](float v) { return sign * v >= sign * *stated; });
    return static_cast<std::size_t>(reached) >= kPile ? stated : piled_rail(samples, sign);
}

// Stops come by chance where digits are coarse. How likely a stop that has lasted 10 ms lasts one sample more is
// counted (r); one of n samples is worth masking if chance would make it less than once in a thousand recordings: size
// * r^n < 1e-3. Stops of 0.1 s and more are counted up to there.
std::size_t shortest_stop(std::span<const float> samples, Hertz rate) {
    const auto least = static_cast<std::size_t>(std::ceil(kContact_s * rate.value));
    const std::size_t young = std::max<std::size_t>(2, least / 10);
    std::size_t lasted = 0, ended = 0, run = 0;
    for (std::size_t i = 1; i < samples.size(); ++i) {
        const bool same = samples[i] == samples[i - 1];
        if (run >= young && run <= least) ++(same ? lasted : ended);
        run = same ? run + 1 : 0;
    }
    if (lasted == 0 || ended == 0) return least;
    const double share = static_cast<double>(lasted) / static_cast<double>(lasted + ended);
    const double by_chance = std::log(1e-3 / static_cast<double>(samples.size())) / std::log(share);
    return std::max(least, static_cast<std::size_t>(std::ceil(by_chance)));
}

Ranges stops(std::span<const float> samples, std::size_t shortest) {
    Ranges out;
    for (std::size_t i = 0; i < samples.size();) {
        std::size_t end = i + 1;
        while (end < samples.size() && samples[end] == samples[i]) ++end;
        if (!std::isnan(samples[i]) && end - i >= shortest) out.push_back({i, end});
        i = end;
    }
    return out;
}

}  // namespace

Stuck find_stuck(std::span<const float> samples, const Channel& channel) {
    const auto high = rail(samples, channel.high_limit, 1.0F);
    const auto low = rail(samples, channel.low_limit, -1.0F);
    const Ranges at_rail = ranges_where(
        samples.size(), [&](std::size_t i) { return (high && samples[i] >= *high) || (low && samples[i] <= *low); });
    const auto contact = static_cast<std::size_t>(std::ceil(kContact_s * channel.rate.value));
    Stuck out;
    for (const SampleRange range : at_rail) (range.size() < contact ? out.clipped : out.contact_lost).push_back(range);
    const Ranges still = stops(samples, shortest_stop(samples, channel.rate));
    out.contact_lost.insert(out.contact_lost.end(), still.begin(), still.end());
    out.contact_lost = widened(std::move(out.contact_lost), 0, samples.size());
    return out;
}

double digital_step(std::span<const float> samples) {
    constexpr std::size_t kLook = 50000;  // samples; enough to meet neighbouring values of any recorder at rest
    std::vector<float> values;
    for (const float v : samples.first(std::min(samples.size(), kLook))) {
        if (!std::isnan(v)) values.push_back(v);
    }
    const std::size_t looked = values.size();
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    if (values.size() < 2 || 4 * values.size() > looked) return 0.0;
    double step = static_cast<double>(values.back()) - values.front();
    for (std::size_t i = 1; i < values.size(); ++i)
        step = std::min(step, static_cast<double>(values[i]) - values[i - 1]);
    return step;
}

}  // namespace tracehold
