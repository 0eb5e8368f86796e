#include "clean/hum_steps.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

namespace tracehold {
namespace {

constexpr std::size_t kApart = 3;  // a step is seen by two looks at most, which overlap by half
constexpr std::size_t kLeastBetween = 2;  // looks for what is between steps to be told; our choice
constexpr double kSure = 40.0;     // times the variance: of a variance from ten bins, once in a million looks by chance
constexpr double kPart = 0.5;      // of the larger size; wobbling hum swells by less than a fifth in that time. Our choice

struct Change {
    double sureness = 0.0;  // 0: none
    bool begins = false;
};

Change change_between(const Look& before, const Look& after) {
    const double from = std::abs(before.amplitude), to = std::abs(after.amplitude), by = std::abs(to - from);
    const double sureness = by * by / (before.variance + after.variance);
    if (by < kPart * std::max(from, to) || sureness < kSure) return {};
    return {sureness, to > from};
}

void add(std::vector<HumStep>& steps, HumStep step) {
    if (!steps.empty() && step.before < steps.back().after + kLeastBetween) {
        steps.back() = {steps.back().before, step.after, true};
    } else {
        steps.push_back(step);
    }
}

}  // namespace

std::vector<HumStep> hum_steps(std::span<const Look> looks) {
    std::vector<std::size_t> seen;
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (looks[i].variance > 0.0) seen.push_back(i);
    std::vector<HumStep> out;
    for (std::size_t k = 0; k + kApart < seen.size(); ++k) {
        const auto change_at = [&](std::size_t at) {
            return at + kApart < seen.size() ? change_between(looks[seen[at]], looks[seen[at + kApart]]) : Change{};
        };
        Change best = change_at(k);
        if (best.sureness == 0.0) continue;
        // The surest of those that follow each other and go the same way.
        std::size_t at = k;
        for (Change next = change_at(k + 1); next.sureness > 0.0 && next.begins == best.begins; next = change_at(++k + 1)) {
            if (next.sureness > best.sureness) best = next, at = k + 1;
        }
        add(out, {seen[at], seen[at + kApart]});
    }
    return out;
}

void part_at(std::span<const HumStep> steps, std::span<Look> looks) {
    for (const HumStep step : steps) {
        for (std::size_t i = step.before + 1; i < step.after; ++i) looks[i].variance = 0.0;
        looks[step.before + 1].anew = true;
    }
}

}  // namespace tracehold
