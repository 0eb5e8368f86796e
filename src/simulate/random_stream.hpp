#pragma once
// Seeded random numbers: xoshiro256** (Blackman & Vigna 2018) filled by splitmix64, the polar method for normal ones.
#include <array>
#include <cstdint>
#include <optional>

namespace tracehold {

// What a stream is for. Each purpose (and number within it) has its own stream, so that drawing more for one of them
// moves none of the others. The order is part of the promise 'same seed, same samples': add at the end.
enum class Purpose : std::uint32_t {
    muscle_noise,
    accessory_noise,
    floor_noise,
    accessory_floor_noise,
    effort,
    accessory_effort,
    extra_effort,
    trial_effort,
    rest_wander,
    fault,
};

class RandomStream {
public:
    RandomStream(std::uint64_t seed, Purpose purpose, std::uint32_t number = 0);

    double uniform();  // [0, 1)
    double uniform(double low, double high);
    double normal();           // mean 0, SD 1
    double spread(double sd);  // normal, SD sd, cut at 2.5 SD

private:
    std::uint64_t next();

    std::array<std::uint64_t, 4> state_;
    std::optional<double> spare_;
};

}  // namespace tracehold
