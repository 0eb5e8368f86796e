#include "clean/stuck.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>

#include "clean/frames.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"

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

using Extremes = std::array<Extreme, kNext + kOvershoot>;

TRACEHOLD_WIDE float most_extreme(std::span<const float> samples, float sign) {
    return largest_of(samples, -std::numeric_limits<float>::infinity(), [sign](float v) { return sign * v; });
}

// Nearly all samples are less extreme than all of these, which is told of many at once.
void take_extremes(std::span<const float> samples, float sign, Extremes& top) {
    const auto is_less = [&](float extreme) { return top.back().count > 0 && sign * top.back().value > extreme; };
    if (is_less(most_extreme(samples, sign))) return;
    for (const float v : samples) {
        if (std::isnan(v) || is_less(sign * v)) continue;
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
}

Extremes extremes(std::span<const float> samples, float sign) {
    constexpr std::size_t kAtOnce = 256;
    Extremes top{};
    for (std::size_t begin = 0; begin < samples.size(); begin += kAtOnce)
        take_extremes(samples.subspan(begin, std::min(kAtOnce, samples.size() - begin)), sign, top);
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

// Limits that hold for a part of the recording, as of an amplifier that is driven too far for a while: half seconds with a pile of
// their own, reached again and again, below values that the recording has elsewhere.
constexpr double kPart_s = 0.5, kBlock_s = 0.05;  // our choice
constexpr std::size_t kReached = 3;               // times: a pulse with a flat top reaches its own once. Our choice

TRACEHOLD_WIDE std::size_t how_many(std::span<const float> samples, float value) {
    std::uint32_t count = 0;
    for (const float v : samples) count += v == value ? 1 : 0;
    return count;
}

std::optional<float> rail_of_part(std::span<const float> part, float sign) {
    if (how_many(part, sign * most_extreme(part, sign)) < kPile) return std::nullopt;
    const auto value = piled_rail(part, sign);
    if (!value) return std::nullopt;
    const Ranges tops = ranges_where(part.size(), [&](std::size_t i) { return sign * part[i] >= sign * *value; });
    return tops.size() >= kReached ? value : std::nullopt;
}

// The part's own samples at its limit, and those beside it in blocks that go up to it and no further.
void add_part(std::span<const float> samples, SampleRange part, std::size_t block, float value, float sign, Ranges& out) {
    for (std::size_t begin = part.begin - std::min(part.begin, part.size()); begin < std::min(part.end + part.size(), samples.size()); begin += block) {
        const auto within = samples.subspan(begin, std::min(block, samples.size() - begin));
        const bool inside = begin >= part.begin && begin + within.size() <= part.end;
        if (!inside && most_extreme(within, sign) != sign * value) continue;
        for (const SampleRange top : ranges_where(within.size(), [&](std::size_t i) { return sign * within[i] >= sign * value; }))
            out.push_back({begin + top.begin, begin + top.end});
    }
}

Ranges at_rails_of_parts(std::span<const float> samples, Hertz rate) {
    const auto block = std::max<std::size_t>(1, static_cast<std::size_t>(kBlock_s * rate.value));
    const auto size = static_cast<std::size_t>(kPart_s / kBlock_s) * block;
    Ranges out;
    for (std::size_t begin = 0; begin + size <= samples.size(); begin += size) {
        for (const float sign : {1.0F, -1.0F}) {
            const auto value = rail_of_part(samples.subspan(begin, size), sign);
            if (value) add_part(samples, {begin, begin + size}, block, *value, sign, out);
        }
    }
    return widened(std::move(out), 0, samples.size());
}

// Tops cut off waves that are otherwise there say least of all what they were, and without them there would be smaller samples only. A
// rail far from the trace is none of its waves.
constexpr double kLongestTop_s = 0.025, kNearTop_s = 0.05, kFarthest = 5.0, kLeastLeft = 0.25;  // our choices

bool is_torn(std::span<const float> samples, SampleRange top, Hertz rate) {
    if (time_of(top.size(), rate) > kLongestTop_s) return true;
    const auto near = static_cast<std::size_t>(kNearTop_s * rate.value);
    const std::size_t begin = top.begin - std::min(top.begin, near), end = std::min(top.end + near, samples.size());
    const float rail = samples[top.begin];
    double count = 0.0, sum = 0.0, squares = 0.0;
    for (std::size_t i = begin; i < end; ++i) {
        if (std::isnan(samples[i]) || samples[i] == rail) continue;
        count += 1.0, sum += samples[i], squares += static_cast<double>(samples[i]) * samples[i];
    }
    if (count < kLeastLeft * static_cast<double>(end - begin)) return true;
    const double mean = sum / count;
    return std::abs(rail - mean) > kFarthest * std::sqrt(std::max(0.0, squares / count - mean * mean));
}

TRACEHOLD_WIDE float repeating_share(std::span<const float> samples) {
    std::uint32_t again = 0;
    for (std::size_t i = 1; i < samples.size(); ++i) again += samples[i] == samples[i - 1] ? 1 : 0;
    return static_cast<float>(again) / static_cast<float>(samples.size() - 1);
}

// Stretches that hold one value for more than `least` samples, in order. Looked for at every least-th sample only: none of
// them passes between two of those.
Ranges stops_beyond(std::span<const float> samples, std::size_t least) {
    Ranges out;
    for (std::size_t at = least; at < samples.size(); at += least) {
        if (samples[at] != samples[at - 1]) continue;
        SampleRange stop{at - 1, at + 1};
        while (stop.begin > 0 && samples[stop.begin - 1] == samples[at]) --stop.begin;
        while (stop.end < samples.size() && samples[stop.end] == samples[at]) ++stop.end;
        if (stop.size() > least) out.push_back(stop);
        at = (stop.end - 1) / least * least;
    }
    return out;
}

// How long a stop must last for chance to make it, or a longer one, less than once in a thousand recordings, where one that
// has lasted so far lasts a sample more with probability `share`: size * share^n < 1e-3.
double beyond_chance(double share, std::size_t size) {
    if (share >= 1.0) return INFINITY;
    return share > 0.0 ? std::log(1e-3 / static_cast<double>(size)) / std::log(share) : 0.0;
}

// Stops come by chance where digits are coarse. How likely a stop that has lasted 10 ms lasts one sample more is
// counted, stops of `least` samples and more up to there.
double chance_in_stops(const Ranges& stops, std::size_t young, std::size_t least, std::size_t size) {
    std::size_t lasted = 0, ended = 0;
    for (const SampleRange stop : stops) {
        const std::size_t repeats = stop.size() - 1;
        if (std::min(repeats, least + 1) > young) lasted += std::min(repeats, least + 1) - young;
        if (repeats <= least && stop.end < size) ++ended;
    }
    return ended == 0 ? 0.0 : static_cast<double>(lasted) / static_cast<double>(lasted + ended);
}

// The share of samples that repeat the one before, in the seconds of the recording that repeat most but for a tenth of them:
// where digits are coarse, rest is among these; stops by lost contact may be, if they fill less than that.
double chance_in_seconds(std::span<const float> samples, Hertz rate) {
    const auto second = std::max<std::size_t>(2, static_cast<std::size_t>(rate.value));
    std::vector<float> shares;
    for (std::size_t begin = 0; begin + second <= samples.size(); begin += second)
        shares.push_back(repeating_share(samples.subspan(begin, second)));
    return valid_quantile(shares, 0.9);
}

// Many short losses of contact look, among the stops, like chance that makes long ones; among all neighbours they do not.
// Noise within a digit stands still twice as long as neighbours at random would.
Ranges long_stops(std::span<const float> samples, Hertz rate) {
    const auto least = static_cast<std::size_t>(std::ceil(kContact_s * rate.value));
    const std::size_t young = std::max<std::size_t>(2, least / 10), shorter = std::max(young, least / 2);
    Ranges stops = stops_beyond(samples, young);
    const double in_stops = beyond_chance(chance_in_stops(stops, young, least, samples.size()), samples.size());
    const double in_seconds = 2.0 * beyond_chance(chance_in_seconds(samples, rate), samples.size());
    const double shortest = std::min(std::max(static_cast<double>(least), in_stops), std::max(static_cast<double>(shorter), in_seconds));
    std::erase_if(stops, [&](SampleRange stop) { return static_cast<double>(stop.size()) < shortest; });
    return stops;
}

// Those that are numbers, each once, in no order; no more than `most` of them. Met again in a table, since sorting all would
// take as long as finding everything else here.
std::vector<float> different_values(std::span<const float> samples, std::size_t most) {
    const std::size_t places = std::bit_ceil(2 * most + 1);
    std::vector<float> table(places, std::nanf("")), out;
    for (const float v : samples) {
        if (out.size() == most) break;
        if (std::isnan(v)) continue;
        constexpr std::uint64_t kSpread = 0x9E3779B97F4A7C15;                              // 2^64 over the golden ratio
        std::size_t at = std::bit_cast<std::uint32_t>(v + 0.0F) * kSpread >> 32 & (places - 1);  // -0 is 0
        while (table[at] < v || table[at] > v) at = (at + 1) & (places - 1);
        if (table[at] == v) continue;
        out.push_back(table[at] = v);
    }
    return out;
}

}  // namespace

Stuck find_stuck(std::span<const float> samples, const Channel& channel) {
    const auto high = rail(samples, channel.high_limit, 1.0F);
    const auto low = rail(samples, channel.low_limit, -1.0F);
    Ranges at_rail;
    if (high || low) {
        const auto fits = [&](std::size_t i) { return (high && samples[i] >= *high) || (low && samples[i] <= *low); };
        at_rail = ranges_where(samples.size(), fits);
    }
    const Ranges of_parts = at_rails_of_parts(samples, channel.rate);
    at_rail.insert(at_rail.end(), of_parts.begin(), of_parts.end());
    at_rail = widened(std::move(at_rail), 0, samples.size());
    const auto contact = static_cast<std::size_t>(std::ceil(kContact_s * channel.rate.value));
    Stuck out;
    for (const SampleRange range : at_rail) (range.size() < contact ? out.clipped : out.contact_lost).push_back(range);
    for (const SampleRange top : out.clipped)
        if (is_torn(samples, top, channel.rate)) out.torn.push_back(top);
    const Ranges still = long_stops(samples, channel.rate);
    out.contact_lost.insert(out.contact_lost.end(), still.begin(), still.end());
    out.contact_lost = widened(std::move(out.contact_lost), 0, samples.size());
    return out;
}

double digital_step(std::span<const float> samples) {
    constexpr std::size_t kLook = 50000;  // samples; enough to meet neighbouring values of any recorder at rest
    samples = samples.first(std::min(samples.size(), kLook));
    const auto looked = static_cast<std::size_t>(std::count_if(samples.begin(), samples.end(), [](float v) { return !std::isnan(v); }));
    std::vector<float> values = different_values(samples, looked / 4 + 1);
    std::sort(values.begin(), values.end());
    if (values.size() < 2 || 4 * values.size() > looked) return 0.0;
    std::vector<float> steps;
    for (std::size_t i = 1; i < values.size(); ++i) steps.push_back(values[i] - values[i - 1]);
    return valid_quantile(steps, 0.5);
}

Ranges find_lost_amplitude(std::span<const float> uv, Hertz rate, double step_uv) {
    constexpr double kNothing = 0.1, kLeast_s = 0.3, kMargin_s = 0.1, kDigits = 2.0;  // our choices
    const float first = uv.empty() ? 0.0F : uv.front();
    if (std::all_of(uv.begin(), uv.end(), [first](float v) { return v == first; })) return {{0, uv.size()}};
    const double quiet_uv = valid_quantile(uv, 0.1);
    if (quiet_uv < kDigits * step_uv) return {};
    Ranges lost = ranges_where(uv.size(), [&](std::size_t i) { return static_cast<double>(uv[i]) < kNothing * quiet_uv; });
    const double least = std::max(2.0, std::ceil(kLeast_s * rate.value));
    std::erase_if(lost, [&](SampleRange run) { return static_cast<double>(run.size()) < least; });
    return widened(std::move(lost), static_cast<std::size_t>(std::ceil(kMargin_s * rate.value)), uv.size());
}

}  // namespace tracehold
