#include "simulate/random_stream.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

#include "simulate/plain_math.hpp"

namespace tracehold {
namespace {

std::uint64_t splitmix64(std::uint64_t& state) {
    std::uint64_t z = state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

}  // namespace

RandomStream::RandomStream(std::uint64_t seed, Purpose purpose, std::uint32_t number) {
    std::uint64_t place = (static_cast<std::uint64_t>(purpose) << 32) | number;
    std::uint64_t mixed = seed ^ splitmix64(place);
    for (std::uint64_t& word : state_) word = splitmix64(mixed);
}

std::uint64_t RandomStream::next() {
    auto& s = state_;
    const std::uint64_t result = std::rotl(s[1] * 5, 7) * 9;
    const std::uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = std::rotl(s[3], 45);
    return result;
}

double RandomStream::uniform() { return static_cast<double>(next() >> 11) * 0x1p-53; }

double RandomStream::uniform(double low, double high) { return low + (high - low) * uniform(); }

double RandomStream::normal() {
    if (spare_) {
        const double value = *spare_;
        spare_.reset();
        return value;
    }
    for (;;) {
        const double x = uniform(-1, 1), y = uniform(-1, 1);
        const double r2 = x * x + y * y;
        if (r2 >= 1 || r2 < 1e-300) continue;
        const double scale = std::sqrt(-2 * plain::log(r2) / r2);
        spare_ = y * scale;
        return x * scale;
    }
}

double RandomStream::spread(double sd) {
    constexpr double kCut = 2.5;  // our choice: one draw in 80 is moved, none makes an absurd contraction
    return sd * std::clamp(normal(), -kCut, kCut);
}

}  // namespace tracehold
