#include "tracehold/measures/same_numbers.hpp"

#include <bit>

namespace tracehold {
namespace {

constexpr std::size_t kFewestNumbers = 8;  // our choice

// FNV-1a, 64 bits (Fowler, Noll, Vo).
class NumbersMark {
public:
    void add(double value) {
        std::uint64_t bits = std::bit_cast<std::uint64_t>(value);
        for (int i = 0; i < 8; ++i, bits >>= 8) hash_ = (hash_ ^ (bits & 0xFF)) * 0x100000001B3ULL;
        ++numbers_;
    }
    std::uint64_t value() const { return numbers_ < kFewestNumbers ? 0 : hash_; }

private:
    std::uint64_t hash_ = 0xCBF29CE484222325ULL;
    std::size_t numbers_ = 0;
};

}  // namespace

std::uint64_t mark_of_numbers(const SessionScore& score) {
    NumbersMark mark;
    for (const ScoredCycle& scored : score.cycles) {
        for (const Estimate& estimate : scored.values) {
            if (estimate.value) mark.add(*estimate.value);
        }
    }
    return mark.value();
}

}  // namespace tracehold
