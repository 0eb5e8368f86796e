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

struct Stretch {
    std::uint64_t hash = 0;
    std::size_t begin = 0;
};

std::uint64_t bits_of(float v) { return std::bit_cast<std::uint32_t>(v) * kBase ^ kBase; }

// Noise has enough different values among its first twenty; sorting all of them would take longer than everything else here.
bool has_many_values(std::span<const float> stretch) {
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
    std::vector<Stretch> chosen;
    chosen.reserve((samples.size() >> kChosenBits) * 5 / 4 + kLength);
    const auto varies = [&](const Stretch& s) { return has_many_values(samples.subspan(s.begin, kLength)); };
    const auto choose = [&](std::size_t end) {
        if (hash >> (64 - kChosenBits) != 0) return;
        if (chosen.size() == chosen.capacity()) std::erase_if(chosen, [&](const Stretch& s) { return !varies(s); });  // a pattern
        chosen.push_back({hash, end - kLength});
    };
    for (std::size_t i = 0; i < std::min(kLength, samples.size()); ++i) hash = hash * kBase + bits_of(samples[i]);
    if (samples.size() >= kLength) choose(kLength);
    for (std::size_t i = kLength; i < samples.size(); ++i) {
        hash = hash * kBase + (bits_of(samples[i]) - leaving * bits_of(samples[i - kLength]));
        choose(i + 1);
    }
    std::vector<std::uint64_t> met(std::bit_ceil(2 * chosen.size() + 1));  // each hash plus one, from its place on
    std::size_t again = 0;
    for (const Stretch& s : chosen) {
        std::size_t at = s.hash >> 32 & (met.size() - 1);
        while (met[at] != 0 && met[at] != s.hash + 1) at = (at + 1) & (met.size() - 1);
        again += met[at] != 0 && varies(s) ? 1 : 0;
        met[at] = s.hash + 1;
    }
    return time_of(again << kChosenBits, rate);
}

}  // namespace tracehold
