// Which stretches are looked at depends on their samples alone, not on their place, so both of a pair are.
#include "clean/copies.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <vector>

#include "tracehold/core/many_values.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLength = 64, kFewestValues = 16;
constexpr std::uint64_t kBase = 0x9E3779B97F4A7C15;  // odd, of no other meaning
constexpr int kChosenBits = 6;                       // the highest: one in 64

std::uint64_t bits_of(float v) { return std::bit_cast<std::uint32_t>(v) * kBase ^ kBase; }

// Noise has enough different values among its first twenty; sorting all of them would take longer than everything else here.
bool varies(std::span<const float> stretch) {
    if (any_of_many(stretch, [](float v) { return v - v != 0.0F; })) return false;  // not finite
    std::array<float, kFewestValues> different{};
    std::size_t count = 0;
    for (auto v = stretch.begin(); v != stretch.end() && count < kFewestValues; ++v) {
        if (std::find(different.begin(), different.begin() + count, *v) == different.begin() + count) different[count++] = *v;
    }
    return count == kFewestValues;
}

}  // namespace

double copied_seconds(std::span<const float> samples, Hertz rate) {
    std::uint64_t hash = 0, leaving = 1;  // leaving: kBase to the power of kLength
    for (std::size_t i = 0; i < kLength; ++i) leaving *= kBase;
    std::vector<std::uint64_t> chosen;
    const auto choose = [&](std::size_t end) {
        if (hash >> (64 - kChosenBits) == 0 && varies(samples.subspan(end - kLength, kLength))) chosen.push_back(hash);
    };
    for (std::size_t i = 0; i < std::min(kLength, samples.size()); ++i) hash = hash * kBase + bits_of(samples[i]);
    if (samples.size() >= kLength) choose(kLength);
    for (std::size_t i = kLength; i < samples.size(); ++i) {
        hash = hash * kBase + (bits_of(samples[i]) - leaving * bits_of(samples[i - kLength]));
        choose(i + 1);
    }
    std::sort(chosen.begin(), chosen.end());
    const auto again = static_cast<std::size_t>(chosen.end() - std::unique(chosen.begin(), chosen.end()));
    return time_of(again << kChosenBits, rate);
}

}  // namespace tracehold
