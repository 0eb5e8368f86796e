#include "read/csv_clock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <span>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kMostJumpsBack = 10;  // our choice: a recorder restarts now and then, not all the time
constexpr double kBlockedShare = 0.1;       // of steps that stand still; our choice, above it the stamps come in blocks
constexpr std::size_t kMostMissing = std::size_t{1} << 40;

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// The differences between neighbours, without a copy: recordings have millions.
struct Steps {
    TimesView times;

    std::size_t size() const { return times.size() - 1; }
    double operator[](std::size_t i) const { return times[i + 1] - times[i]; }
};

// Unreadable stamps stand on the line between their neighbours; at the ends, on the nearest one.
std::vector<double> filled(const TimesView& stamps) {
    std::vector<double> times = all_of(stamps);
    std::size_t last = times.size();
    for (std::size_t i = 0; i < times.size(); ++i) {
        if (std::isnan(times[i])) continue;
        const std::size_t from = last == times.size() ? 0 : last + 1;
        for (std::size_t k = from; k < i; ++k) {
            const double part =
                last == times.size() ? 1.0 : static_cast<double>(k - last) / static_cast<double>(i - last);
            const double before = last == times.size() ? times[i] : times[last];
            times[k] = before + part * (times[i] - before);
        }
        last = i;
    }
    for (std::size_t k = last + 1; last < times.size() && k < times.size(); ++k) times[k] = times[last];
    return times;
}

struct StepFacts {
    double typical = 0.0;      // first guess of the step
    double block = 0.0;        // median step between blocks of equal stamps; 0 without blocks
    std::size_t standing = 0;  // steps of zero
    double coarse = 0.0;       // what the stamps move by at the end, where they lost digits on the way: then also the block
    std::size_t coarse_from = 0;  // the first such step
    bool fine_tells_more = false;  // of the rate, the steps before that
};

// Steps between one and two and a half medians that come at regular distances throughout are rounded stamps of a longer mean
// step, not gaps.
bool is_rounding(const Steps& steps, double median) {
    std::size_t count = 0, first = 0, last = 0, nearest = steps.size(), farthest = 0;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (steps[i] <= 1.5 * median) continue;
        if (steps[i] > 2.5 * median) return false;
        if (count == 0) first = i;
        if (count++ > 0) nearest = std::min(nearest, i - last), farthest = std::max(farthest, i - last);
        last = i;
    }
    const bool throughout = std::max(first, steps.size() - 1 - last) <= farthest + 2;
    return count >= 4 && farthest - nearest <= 2 && throughout;
}

double mean_of(const Steps& steps) {
    return (steps.times.back() - steps.times.front()) / static_cast<double>(steps.size());
}

// Median, over the blocks of equal stamps that are whole, of their length in time over their length in rows.
double block_step(const Steps& steps) {
    std::vector<double> of_block;
    std::size_t begin = 0;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (steps[i] <= 0.0) continue;
        if (begin > 0) of_block.push_back(steps[i] / static_cast<double>(i + 1 - begin));
        begin = i + 1;
    }
    return of_block.empty() ? mean_of(steps) : median_of(std::move(of_block));
}

// Stamps that lose digits as they grow move by ten times as much from some row on, and never again by less.
void find_coarse_end(const Steps& steps, double fine, StepFacts& facts) {
    constexpr std::size_t kFewest = 3;
    std::size_t count = 0, from = 0;
    double coarse = 0.0;
    for (std::size_t i = steps.size(); i-- > 0;) {
        const double step = steps[i];
        if (step <= 0.0) continue;
        if (coarse == 0.0) coarse = step;
        if (std::abs(step - coarse) > 0.01 * coarse) break;
        ++count;
        from = i;
    }
    if (count < kFewest || coarse <= 9.0 * fine) return;
    const TimesView& times = steps.times;
    facts.coarse = coarse;
    facts.coarse_from = from;
    facts.fine_tells_more = (times[from] - times.front()) / fine > (times.back() - times[from]) / coarse;
}

StepFacts facts_of(const Steps& steps, const std::string& source) {
    constexpr std::size_t kPicked = 20'000;  // enough for a first guess
    const std::size_t stride = steps.size() / kPicked + 1;
    StepFacts facts;
    std::vector<double> forward;
    forward.reserve(steps.size() / stride + 1);
    double before = steps.times.front();
    for (std::size_t i = 0, next_picked = 0; i < steps.size(); ++i) {
        const double after = steps.times[i + 1], step = after - before;
        before = after;
        facts.standing += step == 0.0;
        const bool picked = i == next_picked;
        if (picked) next_picked += stride;
        if (step > 0.0 && (picked || forward.empty())) forward.push_back(step);
    }
    if (forward.empty()) {
        throw Error(ErrorKind::malformed, source, "",
                    fmt::format("time never moves on: saw {} in the first row and nothing later, expected rising times",
                                number_text(steps.times[0])),
                    "--rate HZ");
    }
    const double median = median_of(std::move(forward));
    const bool blocks = static_cast<double>(facts.standing) > kBlockedShare * static_cast<double>(steps.size());
    if (blocks) find_coarse_end(steps, median, facts);
    facts.block = blocks ? std::max(median, facts.coarse) : 0.0;
    facts.typical = blocks ? block_step(steps) : is_rounding(steps, median) ? mean_of(steps) : median;
    return facts;
}

struct Walk {
    std::vector<TimeJump> jumps;
    std::size_t back = 0;
    std::size_t first_back = 0;  // its row, from 0
    double left_out = 0.0;  // time in steps that are gaps or jumps back
    std::size_t left_out_steps = 0;
    double most_uneven = 0.0;  // of the other steps, against the mean
};

// early: by how much the rows so far came before their turn; a late row uses that up before it counts as a gap.
Walk walk(const Steps& steps, double mean, double block) {
    Walk result;
    const double patience = std::max(0.5 * mean, 0.5 * block);
    double early = block > 0.0 ? block : 0.0;
    double before = steps.times.front();
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const double after = steps.times[i + 1], step = after - before;
        before = after;
        const double late = step - mean - early;
        if (step < -0.5 * mean) {
            if (result.back++ == 0) result.first_back = i + 1;
            result.jumps.push_back({i + 1, 1});
        } else if (late > patience * (1.0 + 1e-6)) {
            const double missing = std::max(1.0, std::round(late / mean));
            result.jumps.push_back(
                {i + 1, static_cast<std::size_t>(std::min(missing, static_cast<double>(kMostMissing)))});
        } else {
            early = std::max(0.0, -late);
            result.most_uneven = std::max(result.most_uneven, std::abs(step - mean));
            continue;
        }
        early = 0.0;
        result.left_out += step;
        ++result.left_out_steps;
    }
    return result;
}

// Time over steps. Without blocks the steps at gaps are left out with their time; with blocks the gaps count as the
// steps that are missing, and only what lies between the first and the last change of the stamp counts, since the outer
// blocks may be cut.
std::optional<double> mean_step(const Steps& steps, const Walk& walked, const StepFacts& facts) {
    const TimesView& times = steps.times;
    std::size_t first = 0, last = steps.size();
    double length = times.back() - times.front() - walked.left_out;
    double count = static_cast<double>(steps.size() - walked.left_out_steps);
    if (facts.block > 0.0) {
        if (walked.back > 0) return std::nullopt;
        if (facts.coarse > 0.0) (facts.fine_tells_more ? last : first) = facts.coarse_from;  // both together would be off by a half of a block
        while (first < last && steps[first] <= 0.0) ++first;
        while (last > first && steps[last - 1] <= 0.0) --last;
        ++first;  // from the row behind the first change to the row behind the last one
        if (last <= first) return std::nullopt;
        length = times[last] - times[first];
        count = static_cast<double>(last - first);
        for (const TimeJump& jump : walked.jumps) count += jump.row > first && jump.row <= last ? static_cast<double>(jump.missing) : 0.0;
    }
    return count > 0.0 && length > 0.0 ? std::optional(length / count) : std::nullopt;
}

void note_steps(EvenAxis& axis, const Walk& walked, const StepFacts& facts, double resolution) {
    if (facts.block > 0.0) {
        axis.notes.push_back(
            {"time_in_blocks", "",
             fmt::format("rows that repeat the time of the row before: {}; a clock with even steps was fitted",
                         facts.standing)});
    } else if (facts.standing > 0) {
        axis.notes.push_back(
            {"time_repeated", "",
             fmt::format("rows that repeat the time of the row before: {}; even steps were assumed", facts.standing)});
    } else if (walked.most_uneven > std::max(1.01 * resolution, 0.02 * axis.step)) {
        const double percent = 100.0 * walked.most_uneven / axis.step;
        axis.notes.push_back({"time_jitter", "",
                              fmt::format("steps in time vary by up to {} % of a step; even steps were assumed",
                                          fixed_text(percent, 0))});
    }
    if (facts.coarse > 0.0) {
        axis.notes.push_back({"time_loses_digits", "",
                              fmt::format("the times lose digits as they grow, at the end they move by {:.3g} s: shorter gaps may not be seen there",
                                          facts.coarse),
                              true});
    }
    if (walked.back > 0) {
        axis.notes.push_back(
            {"time_goes_back", "",
             fmt::format("places where time goes back: {}; what follows was put behind a gap of one step",
                         walked.back),
             true});
    }
}

// Twice at most: the first mean finds the gaps, the mean without them finds them again, better.
Walk settle_step(double& step, const Steps& steps, const StepFacts& facts) {
    Walk walked = walk(steps, step, facts.block);
    for (int pass = 0; pass < 2; ++pass) {
        const double better = mean_step(steps, walked, facts).value_or(step);
        const bool same = std::abs(better - step) <= 1e-9 * step;
        step = better;
        if (same) break;
        walked = walk(steps, step, facts.block);
    }
    return walked;
}

constexpr std::size_t kGapsInARow = 20;   // our choice: rows that all follow a gap have another rate, not lost samples
constexpr double kOtherRate = 0.02;       // of the step; our choice: far above any clock's error, far below any two rates of a recorder
constexpr double kAstray_steps = 20.0;     // steps by which the even axis must miss a stamp before two rates are asked for

[[noreturn]] void refuse_rate_change(const Steps& steps, std::size_t row, double before, double after, const std::string& source) {
    throw Error(ErrorKind::malformed, source, fmt::format("row {}", row + 1),
                fmt::format("the rate changes at a time of {}: saw steps of {} before and {} behind it, expected one rate",
                            number_text(steps.times[row]), number_text(before), number_text(after)),
                "split the file there; if its times are wrong, --rate HZ says the rate");
}

double mean_between(const Steps& steps, std::size_t from, std::size_t to) {
    return (steps.times[to] - steps.times[from]) / static_cast<double>(to - from);
}

// Whether every row is the same count of ticks behind the one before, as most recorders write them: nothing is left to find out.
bool are_even(std::span<const std::int32_t> ticks) {
    if (ticks.size() < 2) return false;
    const auto between = [](std::int32_t a, std::int32_t b) { return std::int64_t{b} - a; };
    const std::int64_t step = between(ticks[0], ticks[1]);
    return step > 0 && std::adjacent_find(ticks.begin(), ticks.end(), [&](auto a, auto b) { return between(a, b) != step; }) == ticks.end();
}

// The first row from here on whose stamp is another than that of the row before. Where stamps repeat, and the more so as they lose
// digits while they grow, only whole blocks of rows tell a rate.
std::size_t change_from(const Steps& steps, std::size_t row) {
    row = std::max<std::size_t>(row, 1);
    while (row < steps.size() && steps[row - 1] <= 0.0) ++row;
    return row;
}

// Where the even axis is farthest from the stamps, the rates to both sides differ.
void refuse_two_rates(const Steps& steps, const EvenAxis& axis, const StepFacts& facts, const std::string& source) {
    double astray = 0.0, most = 0.0;
    std::size_t begin = 0, end = 0, farthest = 0, run = 0;  // of the stretch between jumps that holds the farthest row
    std::size_t jump = 0, consecutive = 0;
    const auto is_worst = [&] { return std::abs(astray) > most; };
    for (std::size_t row = 1; row < steps.times.size(); ++row) {
        const bool jumps = jump < axis.jumps.size() && axis.jumps[jump].row == row;
        consecutive = jumps ? consecutive + 1 : 0;
        if (consecutive == kGapsInARow) {
            const std::size_t first = row - consecutive;
            refuse_rate_change(steps, first, first > 0 ? mean_between(steps, 0, first) : axis.step, mean_between(steps, first, row), source);
        }
        if (jumps) {
            ++jump;
            run = row;
            astray = 0.0;
            continue;
        }
        astray += steps[row - 1] - axis.step;
        if (!is_worst()) continue;
        most = std::abs(astray);
        farthest = row;
        begin = run;
        end = jump < axis.jumps.size() ? axis.jumps[jump].row - 1 : steps.size();
    }
    if (most <= std::max(kAstray_steps * axis.step, 2.0 * facts.block)) return;
    if (facts.standing > 0) {
        begin = change_from(steps, begin);
        farthest = change_from(steps, farthest);
        while (end > farthest && steps[end - 1] <= 0.0) --end;
    }
    if (farthest <= begin || farthest >= end) return;
    const double before = mean_between(steps, begin, farthest), after = mean_between(steps, farthest, end);
    if (std::abs(before - after) > kOtherRate * axis.step) refuse_rate_change(steps, farthest, before, after, source);
}

}  // namespace

EvenAxis even_axis(const TimesView& stamps, const StampSettings& settings) {
    const bool complete = std::none_of(stamps.values.begin(), stamps.values.end(), [](double t) { return std::isnan(t); });
    const std::vector<double> repaired = complete ? std::vector<double>{} : filled(stamps);
    const Steps steps{complete ? stamps : TimesView(repaired)};
    const bool known = !stamps.empty() && !std::isnan(steps.times[0]);
    if (stamps.size() < 2 || !known) {
        throw Error(ErrorKind::too_short, settings.source, "",
                    fmt::format("too few rows to know the rate: saw {} with a time, expected at least 2",
                                known ? stamps.size() : 0),
                    "--rate HZ");
    }
    EvenAxis axis;
    if (are_even(stamps.ticks)) {
        axis.step = mean_of(steps);
        axis.tolerance = settings.resolution / (axis.step * static_cast<double>(steps.size()));
        return axis;
    }
    const StepFacts facts = facts_of(steps, settings.source);
    axis.step = facts.typical;
    Walk walked = settle_step(axis.step, steps, facts);
    if (walked.back > kMostJumpsBack) {
        throw Error(
            ErrorKind::malformed, settings.source, fmt::format("row {}", walked.first_back + 1),
            fmt::format("time goes back too often: saw {} times, expected at most {}; the first is named here", walked.back, kMostJumpsBack),
            "are the rows in another order, or the times rounded or noisy? where the rows are in order and evenly apart, take the time column "
            "out of the file and say the rate with --rate HZ");
    }
    axis.tolerance = std::max(settings.resolution, facts.block) / (axis.step * static_cast<double>(steps.size()));
    axis.jumps = std::move(walked.jumps);
    refuse_two_rates(steps, axis, facts, settings.source);
    note_steps(axis, walked, facts, settings.resolution);
    return axis;
}

}  // namespace tracehold
