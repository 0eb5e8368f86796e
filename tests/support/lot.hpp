#pragma once
// What is drawn by lot, the same on every machine: the standard says what the engine gives, not what its distributions
// do.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <random>

namespace tracehold::test {

class Lot {
public:
    explicit Lot(std::uint64_t seed) : engine_(seed) {}
    double share() { return static_cast<double>(engine_() >> 11) * 0x1p-53; }  // 0..1
    double between(double low, double high) { return low + (high - low) * share(); }
    double by_factors(double low, double high) {
        return low * std::pow(high / low, share());
    }  // alike in every doubling
    int whole(int low, int high) { return low + static_cast<int>(share() * (high - low + 1)); }
    bool chance(double p) { return share() < p; }
    template <class List>
    auto one_of(const List& list) {
        return list.begin()[whole(0, static_cast<int>(list.size()) - 1)];
    }

private:
    std::mt19937_64 engine_;
};

}  // namespace tracehold::test
