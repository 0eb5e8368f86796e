// Forward: the sections run over the run and its odd reflections, their state kept from block to block.
// Backward: each block needs the forward result of its own samples and of as many after it as the filter remembers
// (kWarm); it starts there in the steady state of the last sample, and what that start gets wrong has died out when the
// block begins.
#include "tracehold/clean/zero_phase.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {
namespace {

constexpr std::size_t kBlock = 1 << 18;  // samples; our choice: 2 MiB of doubles, no effect on the result
constexpr double kForgotten = 1e-13;     // of the signal: what the start of a backward block may still weigh

// Direct form II transposed, one state pair a section.
class Cascade {
public:
    explicit Cascade(std::span<const FilterSection> sections) : sections_(sections), state_(sections.size()) {}

    // The state that a constant input would have led to.
    void settle_at(double input) {
        for (std::size_t i = 0; i < sections_.size(); ++i) {
            const FilterSection& s = sections_[i];
            const double output = input * (s.b0 + s.b1 + s.b2) / (1.0 + s.a1 + s.a2);
            state_[i] = {output - s.b0 * input, s.b2 * input - s.a2 * output};
            input = output;
        }
    }

    double step(double value) {
        for (std::size_t i = 0; i < sections_.size(); ++i) {
            const FilterSection& s = sections_[i];
            const double output = s.b0 * value + state_[i].first;
            state_[i].first = s.b1 * value - s.a1 * output + state_[i].second;
            state_[i].second = s.b2 * value - s.a2 * output;
            value = output;
        }
        return value;
    }

private:
    struct Pair {
        double first = 0.0, second = 0.0;
    };
    std::span<const FilterSection> sections_;
    std::vector<Pair> state_;
};

double largest_pole(const FilterSection& s) {
    const double discriminant = s.a1 * s.a1 / 4.0 - s.a2;
    return discriminant < 0.0 ? std::sqrt(s.a2) : std::abs(s.a1) / 2.0 + std::sqrt(discriminant);
}

// The run with its odd reflections; i counts from the first sample of the run.
struct Extended {
    std::span<const float> run;
    double at(std::ptrdiff_t i) const {
        const auto last = static_cast<std::ptrdiff_t>(run.size()) - 1;
        if (i < 0) return 2.0 * run.front() - run[static_cast<std::size_t>(-i)];
        if (i > last) return 2.0 * run.back() - run[static_cast<std::size_t>(2 * last - i)];
        return run[static_cast<std::size_t>(i)];
    }
};

// From the end of `forward` backwards; the results of its first `keep` samples go to `out`.
void run_backward(std::span<const FilterSection> sections, std::span<const double> forward, std::size_t keep,
                  std::span<float> out) {
    Cascade back(sections);
    back.settle_at(forward.back());
    for (std::size_t i = forward.size(); i-- > 0;) {
        const double value = back.step(forward[i]);
        if (i < keep) out[i] = static_cast<float>(value);
    }
}

}  // namespace

std::size_t settling_samples(std::span<const FilterSection> sections, double remainder) {
    double radius = 0.0;
    for (const FilterSection& s : sections) radius = std::max(radius, largest_pole(s));
    if (radius <= 0.0) return 1;
    return static_cast<std::size_t>(std::ceil(std::log(remainder) / std::log(radius)));
}

void run_zero_phase(std::span<const FilterSection> sections, std::span<float> run) {
    if (run.size() < 2 || sections.empty()) return;
    const std::size_t size = run.size();
    const std::size_t pad = std::min(settling_samples(sections), size - 1);
    const std::size_t warm = settling_samples(sections, kForgotten);
    const Extended extended{run};
    Cascade ahead(sections);
    ahead.settle_at(extended.at(-static_cast<std::ptrdiff_t>(pad)));
    for (std::size_t i = pad; i > 0; --i) ahead.step(extended.at(-static_cast<std::ptrdiff_t>(i)));

    std::vector<double> forward;  // results of [done, done + forward.size())
    for (std::size_t done = 0; done < size;) {
        // The last block takes all that is left, so that no reflected sample has been overwritten when it is read.
        const bool last = size - done < kBlock + 2 * (warm + pad);
        const std::size_t keep = last ? size - done : kBlock;
        const std::size_t need = last ? keep + pad : keep + warm;
        while (forward.size() < need) {
            forward.push_back(ahead.step(extended.at(static_cast<std::ptrdiff_t>(done + forward.size()))));
        }
        run_backward(sections, forward, keep, run.subspan(done, keep));
        forward.erase(forward.begin(), forward.begin() + static_cast<std::ptrdiff_t>(keep));
        done += keep;
    }
}

std::vector<SampleRange> valid_runs(std::span<const float> samples) {
    std::vector<SampleRange> runs;
    for (std::size_t i = 0; i < samples.size();) {
        if (std::isnan(samples[i])) {
            ++i;
            continue;
        }
        const std::size_t begin = i;
        while (i < samples.size() && !std::isnan(samples[i])) ++i;
        runs.push_back({begin, i});
    }
    return runs;
}

}  // namespace tracehold
