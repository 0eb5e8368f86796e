#include "measures/level_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choices. Pelvic-floor muscle at rest reads a few µV at a vaginal or anal probe (published resting levels, from memory).
constexpr double kHighRest_uv = 20.0;
constexpr double kFarFromReference = 4.0;  // a muscle gains or loses less from one visit to the next
constexpr double kJump = 1.5, kSameFactor = 1.5;
constexpr double kClearOfScatter = 5.0;  // standard errors: a stretch is looked for among many
constexpr double kLeftOfLine = 0.5;      // tiring and growing restless are steady, a gain is not
constexpr double kLeastWeight = 1.0;     // of contractions that have others of their kind to compare with
constexpr std::size_t kKindCount = 4;        // of StepKind
constexpr std::size_t kFewestOnSide = 3;  // on either side: one loud contraction is no other gain

struct SessionLevels {
    std::vector<double> rests, holds;
    std::vector<double> times_s;
    std::vector<StepKind> kinds;
};

SessionLevels levels_in(std::span<const CycleView> views) {
    SessionLevels levels;
    for (const CycleView& view : views) {
        if (!view.cues_in_step || view.cycle.status != CycleStatus::done || !view.rest_level || !view.hold_level) continue;
        if (!(*view.rest_level.value > 0.0) || !(*view.hold_level.value > 0.0)) continue;
        levels.rests.push_back(*view.rest_level.value);
        levels.holds.push_back(*view.hold_level.value);
        levels.times_s.push_back(view.work.begin_s);
        levels.kinds.push_back(view.cycle.kind);
    }
    return levels;
}

// Logarithms of levels, each less the mean of its kind, so that quick ones and holds compare; sums[i] is that of all before i.
struct LogLevels {
    std::vector<double> sums{0.0};
    double squares = 0.0;
    double beside_line = 0.0;  // of the squares, what a steady change with time leaves
};

// How many of each kind come before each contraction.
using KindCounts = std::vector<std::array<double, kKindCount>>;

KindCounts count_kinds(std::span<const StepKind> kinds) {
    KindCounts counts(1);
    for (const StepKind kind : kinds) {
        counts.push_back(counts.back());
        counts.back()[static_cast<std::size_t>(kind)] += 1.0;
    }
    return counts;
}

std::vector<double> less_means(std::vector<double> values, std::span<const StepKind> kinds, const KindCounts& counts) {
    const auto kind = [&](std::size_t i) { return static_cast<std::size_t>(kinds[i]); };
    std::array<double, kKindCount> means{};
    for (std::size_t i = 0; i < values.size(); ++i) means[kind(i)] += values[i] / counts.back()[kind(i)];
    for (std::size_t i = 0; i < values.size(); ++i) values[i] -= means[kind(i)];
    return values;
}

LogLevels course_of(std::vector<double> levels, const SessionLevels& session, const KindCounts& counts) {
    for (double& level : levels) level = std::log(level);
    const std::vector<double> values = less_means(std::move(levels), session.kinds, counts);
    const std::vector<double> times_s = less_means(session.times_s, session.kinds, counts);
    LogLevels course;
    double with_time = 0.0, time_squares = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        course.sums.push_back(course.sums.back() + values[i]);
        course.squares += values[i] * values[i];
        with_time += values[i] * times_s[i];
        time_squares += times_s[i] * times_s[i];
    }
    course.beside_line = course.squares - (time_squares > 0.0 ? with_time * with_time / time_squares : 0.0);
    return course;
}

// One factor between the contractions of a stretch and all others of their kind.
struct GainStep {
    std::size_t begin = 0, end = 0;
    double hold = 0.0;  // logarithm of the factor
    double left = 0.0;  // of the squares of both, what the step leaves
};

// The squares of a step of 1 from `begin` to `end`, less its mean in each kind.
double step_weight(const KindCounts& counts, std::size_t begin, std::size_t end) {
    double weight = 0.0;
    for (std::size_t k = 0; k < kKindCount; ++k) {
        const double in = counts[end][k] - counts[begin][k], all = counts.back()[k];
        if (all > 0.0) weight += in * (1.0 - in / all);
    }
    return weight;
}

struct Fit {
    double factor = 0.0;  // logarithm
    double left = 0.0;    // of the squares
};

// Empty where it is small or not clear of scatter.
std::optional<Fit> fit(const LogLevels& course, const KindCounts& counts, std::size_t begin, std::size_t end) {
    const double weight = step_weight(counts, begin, end);
    if (weight < kLeastWeight) return std::nullopt;
    const double factor = (course.sums[end] - course.sums[begin]) / weight, said = factor * factor * weight;
    const double left = std::max(0.0, course.squares - said), freedom = static_cast<double>(counts.size()) - 2.0;
    if (std::abs(factor) < std::log(kJump) || said < kClearOfScatter * kClearOfScatter * left / freedom) return std::nullopt;
    return Fit{factor, left};
}

// The rest before a contraction holds the moment of the change, and counts on either side of it: the one that leaves less.
std::optional<Fit> fit_rest(const LogLevels& course, const KindCounts& counts, std::size_t begin, std::size_t end) {
    std::optional<Fit> best;
    for (const std::size_t from : {begin, begin + 1}) {
        for (const std::size_t to : {end, std::min(end + 1, counts.size() - 1)}) {
            const auto now = fit(course, counts, from, to);
            if (now && (!best || now->left < best->left)) best = now;
        }
    }
    return best;
}

std::optional<GainStep> step_at(std::size_t begin, std::size_t end, const LogLevels& rest, const LogLevels& hold, const KindCounts& counts) {
    const auto of_hold = fit(hold, counts, begin, end);
    const auto of_rest = of_hold ? fit_rest(rest, counts, begin, end) : std::nullopt;
    if (!of_rest || std::abs(of_rest->factor - of_hold->factor) > std::log(kSameFactor)) return std::nullopt;
    return GainStep{begin, end, of_hold->factor, of_rest->left + of_hold->left};
}

// The step that leaves least; none where a steady change with time says as much.
std::optional<GainStep> gain_step(const SessionLevels& levels) {
    const std::size_t size = levels.rests.size();
    const KindCounts counts = count_kinds(levels.kinds);
    const LogLevels rest = course_of(levels.rests, levels, counts), hold = course_of(levels.holds, levels, counts);
    std::optional<GainStep> best;
    for (std::size_t begin = 1; begin + kFewestOnSide <= size; ++begin) {
        for (std::size_t end = begin + kFewestOnSide; end <= size && size - (end - begin) >= kFewestOnSide; ++end) {
            const auto step = step_at(begin, end, rest, hold, counts);
            if (step && (!best || step->left < best->left)) best = step;
        }
    }
    if (best && best->left > kLeftOfLine * (rest.beside_line + hold.beside_line)) best.reset();
    return best;
}

std::optional<Finding> high_rest(const SessionLevels& levels) {
    if (levels.rests.empty() || median(levels.rests) <= kHighRest_uv) return std::nullopt;
    return Finding{"rest_high", Severity::caution,
                   fmt::format("rest reads {} µV between the contractions, far more than a pelvic floor at rest gives: the unit or gain may be "
                               "another, contact may be poor, or the muscle does not let go",
                               fixed_text(median(levels.rests), 0)),
                   {}};
}

std::optional<Finding> changed_gain(const SessionLevels& levels) {
    const auto step = gain_step(levels);
    if (!step) return std::nullopt;
    const bool comes_back = step->end < levels.times_s.size();
    return Finding{"gain_changed", Severity::caution,
                   fmt::format("from {} s on{} rest and contractions alike read {} times {} than before{}: gain, contact or electrode probably "
                               "changed, so amplitudes of the {} parts do not compare",
                               fixed_text(levels.times_s[step->begin], 0),
                               comes_back ? fmt::format(", until {} s,", fixed_text(levels.times_s[step->end], 0)) : "",
                               fixed_text(std::exp(std::abs(step->hold)), 1), step->hold > 0.0 ? "more" : "less", comes_back ? " and after" : "",
                               comes_back ? "three" : "two"),
                   {}};
}

}  // namespace

std::vector<Finding> level_findings(std::span<const CycleView> views) {
    const SessionLevels levels = levels_in(views);
    std::vector<Finding> findings;
    for (auto& finding : {high_rest(levels), changed_gain(levels)}) {
        if (finding) findings.push_back(*finding);
    }
    return findings;
}

std::optional<Finding> reference_finding(const Plan* plan, const Estimate& best_uv) {
    if (plan == nullptr || !plan->threshold || !plan->threshold->reference_uv || !best_uv) return std::nullopt;
    const double own_uv = *plan->threshold->reference_uv, ratio = *best_uv.value / own_uv;
    if (ratio <= kFarFromReference && ratio >= 1.0 / kFarFromReference) return std::nullopt;
    return Finding{"reference_differs", Severity::caution,
                   fmt::format("the best second reads {} µV, {} times the plan's own reference of {} µV: unit, gain, electrode or its place may be "
                               "others than those of the reference, and the threshold then means nothing",
                               fixed_text(*best_uv.value, 1), fixed_text(ratio, ratio < 1.0 ? 2 : 1), fixed_text(own_uv, 1)),
                   {}};
}

}  // namespace tracehold
