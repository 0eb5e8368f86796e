#pragma once
// When something first holds for a while, and whether masked samples could have hidden an earlier moment.
#include <cmath>
#include <cstddef>
#include <optional>

namespace tracehold {

// at: the first index from which the condition holds for `length` samples. hidden: with the masked samples it might
// have been another one, so at must not be used.
struct Lasting {
    std::optional<std::size_t> at;
    bool hidden = false;
};

// In: values[i], NaN where masked, searched over [begin, end): a run must end there too. length >= 1.
template <class Values, class Condition>
Lasting first_lasting(const Values& values, std::size_t begin, std::size_t end, std::size_t length, Condition holds) {
    const auto first = [&](bool masked_holds) -> std::optional<std::size_t> {
        std::size_t run = 0;
        for (std::size_t i = begin; i < end; ++i) {
            const bool held = std::isfinite(values[i]) ? holds(values[i]) : masked_holds;
            run = held ? run + 1 : 0;
            if (run == length) return i + 1 - length;
        }
        return std::nullopt;
    };
    const auto at = first(false);
    return {at, at != first(true)};
}

}  // namespace tracehold
