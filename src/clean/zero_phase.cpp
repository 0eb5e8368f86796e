// The run is cut into pieces, and four pieces go side by side through the sections, so that the processor works on one
// while another waits for its last result. A piece begins to be filtered as many samples before its own as the filter
// remembers (kForgotten), in the steady state for the first of them, and forward goes on as far behind it; backward
// starts there. What these starts get wrong has died out where the piece begins. Before and behind the run stand its
// odd reflections over `pad` samples and then their last value for ever, which leaves a steady state as it is.
#include "tracehold/clean/zero_phase.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLanes = 4;          // pieces side by side
constexpr std::size_t kLongest = 1 << 14;  // samples of a piece; our choice: a group stays in the second-level cache
constexpr double kForgotten = 1e-13;       // of the signal: what the start of a piece may still weigh

// Direct form II transposed, everything once a lane.
struct LaneSection {
    FourDoubles b0, b1, b2, a1, a2;
    FourDoubles first{}, second{};  // the state

    explicit LaneSection(const FilterSection& s)
        : b0(s.b0 - FourDoubles{}),
          b1(s.b1 - FourDoubles{}),
          b2(s.b2 - FourDoubles{}),
          a1(s.a1 - FourDoubles{}),
          a2(s.a2 - FourDoubles{}) {}
};

// Puts the sections in the state that a constant input would have led to, its value another in each lane.
void settle_at(std::span<LaneSection> sections, const double* input) {
    FourDoubles value = four_at(input);
    for (LaneSection& s : sections) {
        const FourDoubles output = value * (s.b0 + s.b1 + s.b2) / (1.0 + s.a1 + s.a2);
        s.first = output - s.b0 * value;
        s.second = s.b2 * value - s.a2 * output;
        value = output;
    }
}

// A few sections, so that their states stay in registers.
template <std::size_t Few>
[[gnu::always_inline]] inline void run_few(LaneSection* sections, double* value, std::size_t samples,
                                           std::ptrdiff_t step) {
    FourDoubles first[Few], second[Few];
    for (std::size_t k = 0; k < Few; ++k) first[k] = sections[k].first, second[k] = sections[k].second;
    for (std::size_t i = 0; i < samples; ++i, value += step) {
        FourInArray& sample = four_at(value);
        FourDoubles in = sample;
        for (std::size_t k = 0; k < Few; ++k) {
            const LaneSection& s = sections[k];
            const FourDoubles out = s.b0 * in + first[k];
            first[k] = s.b1 * in - s.a1 * out + second[k];
            second[k] = s.b2 * in - s.a2 * out;
            in = out;
        }
        sample = in;
    }
    for (std::size_t k = 0; k < Few; ++k) sections[k].first = first[k], sections[k].second = second[k];
}

// In place over `samples` values a lane, step +kLanes or -kLanes from one to the next.
TRACEHOLD_WIDE void run_lanes(std::span<LaneSection> sections, double* value, std::size_t samples,
                              std::ptrdiff_t step) {
    for (; sections.size() >= 4; sections = sections.subspan(4)) run_few<4>(sections.data(), value, samples, step);
    if (sections.size() == 3) run_few<3>(sections.data(), value, samples, step);
    if (sections.size() == 2) run_few<2>(sections.data(), value, samples, step);
    if (sections.size() == 1) run_few<1>(sections.data(), value, samples, step);
}

TRACEHOLD_WIDE void put_lanes(const std::array<const float*, kLanes> from, std::size_t samples, double* values) {
    for (std::size_t i = 0; i < samples; ++i) four_at(values + kLanes * i) = FourDoubles{from[0][i], from[1][i], from[2][i], from[3][i]};
}

TRACEHOLD_WIDE void take_lanes(const double* values, std::size_t samples, const std::array<float*, kLanes> to) {
    for (std::size_t i = 0; i < samples; ++i)
        for (std::size_t lane = 0; lane < kLanes; ++lane) to[lane][i] = static_cast<float>(values[kLanes * i + lane]);
}

double largest_pole(const FilterSection& s) {
    const double discriminant = s.a1 * s.a1 / 4.0 - s.a2;
    return discriminant < 0.0 ? std::sqrt(s.a2) : std::abs(s.a1) / 2.0 + std::sqrt(discriminant);
}

// What stands at place i, counted from the first sample of a part of a run. before: as it was ahead of that part, for
// there the run has been filtered already.
struct Extended {
    std::span<const float> run;
    std::size_t pad = 0;
    std::ptrdiff_t begin = 0;  // of the part
    std::span<const float> before;

    double at(std::ptrdiff_t i) const {
        const auto last = static_cast<std::ptrdiff_t>(run.size()) - 1;
        i = std::clamp(i, -static_cast<std::ptrdiff_t>(pad), last + static_cast<std::ptrdiff_t>(pad));
        if (i < 0) return 2.0 * sample(0) - sample(-i);
        if (i > last) return 2.0 * sample(last) - sample(2 * last - i);
        return sample(i);
    }

private:
    double sample(std::ptrdiff_t i) const {
        const bool is_before = i < begin;
        const auto place = is_before ? static_cast<std::ptrdiff_t>(before.size()) - (begin - i) : i;
        return is_before ? before[static_cast<std::size_t>(place)] : run[static_cast<std::size_t>(place)];
    }
};

// Pieces of one length, side by side: lane k holds [begin + k * piece - warm, begin + (k + 1) * piece + warm).
class Group {
public:
    Group(std::span<const FilterSection> sections, std::size_t warm) : warm_(warm) {
        for (const FilterSection& section : sections) sections_.emplace_back(section);
    }

    void fill(const Extended& x, std::size_t piece) {
        samples_ = piece + 2 * warm_;
        if (room_ < samples_ * kLanes) {
            room_ = samples_ * kLanes;
            values_ = std::make_unique_for_overwrite<double[]>(room_);  // every one is written before it is read
        }
        const auto run_size = static_cast<std::ptrdiff_t>(x.run.size()), samples = static_cast<std::ptrdiff_t>(samples_);
        // Of the places in a lane, those that lie within the run in all of them.
        std::ptrdiff_t first = 0, end = samples;
        std::array<std::ptrdiff_t, kLanes> from;
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            from[lane] = x.begin + static_cast<std::ptrdiff_t>(lane * piece) - static_cast<std::ptrdiff_t>(warm_);
            first = std::max(first, x.begin - from[lane]);
            end = std::min(end, run_size - from[lane]);
            // Where the run's reflection ends, or where the lane does: from there backward goes.
            last_[lane] = std::clamp(run_size + static_cast<std::ptrdiff_t>(x.pad) - from[lane], std::ptrdiff_t{1}, samples) - 1;
        }
        end = std::max(end, first);
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            const auto put = [&](std::ptrdiff_t i) { values_[static_cast<std::size_t>(i) * kLanes + lane] = x.at(from[lane] + i); };
            for (std::ptrdiff_t i = 0; i < first; ++i) put(i);
            for (std::ptrdiff_t i = end; i < samples; ++i) put(i);
        }
        if (first == end) return;
        std::array<const float*, kLanes> inside;
        for (std::size_t lane = 0; lane < kLanes; ++lane) inside[lane] = &x.run[static_cast<std::size_t>(from[lane] + first)];
        put_lanes(inside, static_cast<std::size_t>(end - first), &values_[static_cast<std::size_t>(first) * kLanes]);
    }

    void run() {
        settle_at(sections_, values_.get());
        run_lanes(sections_, values_.get(), samples_, kLanes);
        double* const end = values_.get() + (samples_ - 1) * kLanes;
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            double* const last = values_.get() + static_cast<std::size_t>(last_[lane]) * kLanes + lane;
            for (double* value = last; value <= end + lane; value += kLanes) *value = *last;
        }
        settle_at(sections_, end);
        run_lanes(sections_, end, samples_ - warm_, -static_cast<std::ptrdiff_t>(kLanes));
    }

    // The pieces without what stands around them.
    void put(std::span<float> part) const {
        const std::size_t piece = samples_ - 2 * warm_;
        const double* values = values_.get() + warm_ * kLanes;
        const std::size_t before_last = (kLanes - 1) * piece, alike = part.size() - std::min(part.size(), before_last);  // of all lanes
        if (alike > 0) take_lanes(values, alike, {&part[0], &part[piece], &part[2 * piece], &part[before_last]});
        for (std::size_t lane = 0; lane * piece + alike < part.size(); ++lane) {
            const std::size_t end = std::min(piece, part.size() - lane * piece);
            for (std::size_t i = alike; i < end; ++i) part[lane * piece + i] = static_cast<float>(values[i * kLanes + lane]);
        }
    }

private:
    std::size_t warm_;
    std::size_t samples_ = 0;  // a lane
    std::vector<LaneSection> sections_;
    std::size_t room_ = 0;              // values
    std::unique_ptr<double[]> values_;  // [sample][lane]
    std::ptrdiff_t last_[kLanes] = {};
};

}  // namespace

std::size_t settling_samples(std::span<const FilterSection> sections, double remainder) {
    double radius = 0.0;
    for (const FilterSection& s : sections) radius = std::max(radius, largest_pole(s));
    if (radius <= 0.0) return 1;
    return static_cast<std::size_t>(std::ceil(std::log(remainder) / std::log(radius)));
}

void run_zero_phase(std::span<const FilterSection> sections, std::span<float> run) {
    if (run.size() < 2 || sections.empty()) return;
    const std::size_t pad = std::min(settling_samples(sections), run.size() - 1);
    const std::size_t warm = settling_samples(sections, kForgotten);
    const std::size_t reach = std::max(warm, 2 * pad + 1);  // a reflection may look that far back
    std::vector<Group> groups;
    while (groups.size() < threads_here()) groups.emplace_back(sections, warm);
    std::vector<std::span<float>> parts(groups.size());
    std::vector<float> before, next_before;
    for (std::size_t done = 0; done < run.size();) {
        std::size_t filled = 0;
        for (; filled < groups.size() && done < run.size(); ++filled) {
            const std::size_t left = run.size() - done;
            // What would be left behind a whole group and could not be reflected any more joins it.
            const std::size_t longest = std::max(kLongest, warm);
            const std::size_t size = left < kLanes * longest + reach ? left : kLanes * longest;
            const std::span<float> part = parts[filled] = run.subspan(done, size);
            groups[filled].fill({run, pad, static_cast<std::ptrdiff_t>(done), before}, (size + kLanes - 1) / kLanes);
            next_before.assign(part.end() - static_cast<std::ptrdiff_t>(std::min(size, reach)), part.end());
            before.swap(next_before);
            done += size;
        }
        each_side_by_side(filled, [&](std::size_t k) {
            groups[k].run();
            groups[k].put(parts[k]);
        });
    }
}

std::vector<SampleRange> valid_runs(std::span<const float> samples) {
    constexpr std::size_t kAtOnce = 256;  // most are valid, and so many are told faster than one by one
    std::vector<SampleRange> runs;
    for (std::size_t i = 0; i < samples.size();) {
        if (std::isnan(samples[i])) {
            ++i;
            continue;
        }
        const std::size_t begin = i;
        while (i + kAtOnce <= samples.size() && !any_missing(samples.subspan(i, kAtOnce))) i += kAtOnce;
        while (i < samples.size() && !std::isnan(samples[i])) ++i;
        runs.push_back({begin, i});
    }
    return runs;
}

}  // namespace tracehold
