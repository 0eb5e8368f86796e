#include "cycles/onset_posterior.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Idea: for each contraction the likelihood of every start and length is walked through its table; summed over starts
// it is the evidence for a length, from which the session learns its habits; then, with lengths weighed by what was
// learned, summed over lengths and kinds it is the probability of each start:
//     m_k(d) = log mean_t e^(c LL(d, t)),    p_k(t) = sum_s p(s) sum_d p_k(d | s) e^(c LL(d, t)) / sum_t e^(c LL(d, t))
// The median answers, 2.5 and 97.5 % bound it. c < 1 because neighbouring energies are not quite independent.
// Limits: starts outside the searched range have no probability, so what piles up at its ends is reported.

namespace {

constexpr double kTemper = 0.8;       // c, measured: intervals cover 95 % of linear rises
constexpr int kFine = 4;              // starts per hop in the answer: 2.5 ms
constexpr double kNegligible = 1e-4;  // probability of a length or kind that is left out
constexpr double kBorder = 5.0;       // hops at each end of the search that count as its border
// A rise of the longest lengths may be longer still and have begun earlier. Our choices, measured on rises of 2 s.
constexpr std::size_t kSlowest = 2;          // lengths, from the longest
constexpr double kSomeSlowest = 0.1;         // probability of these from which on the interval is widened
constexpr double kEarlierShare = 0.25;       // of the longest length
constexpr double kLongestSwelling_s = 0.6;   // of those that hardly rise at first: a longer one is not told from rest that creeps
constexpr double kImpossible = -1e6;         // nats
// Before the evidence of a session, in the order of kRiseKinds. Our choice, measured: the first keeps the
// errors of linear rises small, the second keeps the coverage of the others near 90 %.
constexpr std::array<double, kKinds> kAnswerPrior{0.56, 0.15, 0.05, 0.05, 0.11, 0.04, 0.02, 0.02};
constexpr std::array<double, kKinds> kIntervalPrior{0.35, 0.10, 0.10, 0.15, 0.15, 0.08, 0.07, 0.05};
constexpr double kLikeOther = 0.5;  // of the prior of a side: the kind of the other side

// The log likelihoods of every start of one ramp, phase by phase. One object for many ramps keeps its memory.
class Starts {
public:
    std::span<const float> of(const LevelTable& table, const Ramp& ramp, std::size_t blocks) {
        all_.resize(blocks * ramp.levels.size());
        for (std::size_t phase = 0; phase < ramp.levels.size(); ++phase)
            onset_log_likelihood(table, ramp, static_cast<int>(phase), std::span(all_).subspan(phase * blocks, blocks));
        return all_;
    }

private:
    std::vector<float> all_;
};

TRACEHOLD_WIDE float largest(std::span<const float> values) {
    return largest_of(values, -std::numeric_limits<float>::infinity(), [](float v) { return v; });
}

constexpr std::size_t kAtOnce = 32;

// most: of every kAtOnce values.
TRACEHOLD_WIDE void largest_of_each(std::span<const float> values, std::span<float> most) {
    const auto larger = [](float a, float b) { return a < b ? b : a; };
    for (std::size_t i = 0; i < most.size(); ++i) {
        const float* const v = &values[i * kAtOnce];
        const std::size_t count = std::min(kAtOnce, values.size() - i * kAtOnce);
        EightFloats some = EightFloats{} - std::numeric_limits<float>::infinity();
        std::size_t k = 0;
        for (; k + 8 <= count; k += 8) some = some < eight_at(v + k) ? eight_at(v + k) : some;
        most[i] = larger(larger(larger(some[0], some[1]), larger(some[2], some[3])),
                         larger(larger(some[4], some[5]), larger(some[6], some[7])));
        for (; k < count; ++k) most[i] = larger(most[i], v[k]);
    }
}

bool likeliest_at_border(std::span<const float> ll, std::size_t phases) {
    if (ll.empty()) return true;
    const std::size_t blocks = ll.size() / phases;
    const auto at = static_cast<std::size_t>(std::max_element(ll.begin(), ll.end()) - ll.begin()) % blocks;
    return static_cast<double>(std::min(at, blocks - 1 - at)) < kBorder;
}

constexpr float kFarBelow = 40.0F;  // nats below the likeliest start; those beyond add nothing, and they are nearly all

// log of the mean over starts of e^(c LL).
double log_mean_tempered(std::span<const float> ll) {
    std::vector<float> most((ll.size() + kAtOnce - 1) / kAtOnce);
    largest_of_each(ll, most);
    const float top = largest(most);
    double sum = 0.0;
    for (std::size_t i = 0; i < ll.size(); ++i) {
        if (i % kAtOnce == 0 && most[i / kAtOnce] < top - kFarBelow) {
            i += kAtOnce - 1;
            continue;
        }
        const double below = static_cast<double>(ll[i]) - static_cast<double>(top);
        if (below > -static_cast<double>(kFarBelow)) sum += std::exp(kTemper * below);
    }
    return kTemper * static_cast<double>(top) + std::log(sum / static_cast<double>(ll.size()));
}

// Probabilities on the fine grid; none outside of [begin, end).
struct FineProbabilities {
    std::vector<double> p;
    std::size_t size = 0, begin = 0, end = 0;
};

// Blocks outside of [begin, end) have no start, and are next to none, that is not far below the likeliest.
struct LikelyBlocks {
    float top = 0.0F;
    std::size_t begin = 0, end = 0;
};

LikelyBlocks likely_blocks(std::span<const float> ll, std::size_t phases) {
    const std::size_t blocks = ll.size() / phases, chunks = (blocks + kAtOnce - 1) / kAtOnce;
    std::vector<float> most(chunks * phases);
    for (std::size_t phase = 0; phase < phases; ++phase)
        largest_of_each(ll.subspan(phase * blocks, blocks), std::span(most).subspan(phase * chunks, chunks));
    LikelyBlocks out{largest(most), blocks, 0};
    for (std::size_t i = 0; i < most.size(); ++i) {
        if (most[i] < out.top - kFarBelow) continue;
        const std::size_t begin = i % chunks * kAtOnce;
        out.begin = std::min(out.begin, begin > 0 ? begin - 1 : 0);
        out.end = std::max(out.end, std::min(begin + kAtOnce, blocks));
    }
    return out;
}

// Tempered likelihood on the fine grid, scaled to a sum of 1; between starts the logarithm is interpolated.
void fine_probabilities(std::span<const float> ll, std::size_t phases, FineProbabilities& out) {
    const std::size_t step = kFine / phases, blocks = ll.size() / phases;
    const auto [top, first_block, last_block] = likely_blocks(ll, phases);
    out.size = blocks * kFine;
    out.begin = first_block * kFine;
    out.end = last_block * kFine;
    out.p.resize(std::max(out.p.size(), out.size));
    double sum = 0.0;
    for (std::size_t block = first_block; block < last_block; ++block) {
        for (std::size_t phase = 0; phase < phases; ++phase) {
            const float* const now = &ll[phase * blocks + block];
            const bool last = block + 1 == blocks && phase + 1 == phases;
            const float next = last ? *now : phase + 1 < phases ? now[blocks] : ll[block + 1];
            double* const fine = &out.p[(block * phases + phase) * step];
            std::fill_n(fine, step, 0.0);
            if (std::max(*now, next) < top - kFarBelow) continue;
            for (std::size_t f = 0; f < step; ++f) {
                const double share = static_cast<double>(f) / static_cast<double>(step);
                const double value = (1.0 - share) * static_cast<double>(*now) + share * static_cast<double>(next);
                sum += fine[f] = std::exp(kTemper * (value - static_cast<double>(top)));
            }
        }
    }
    for (std::size_t i = out.begin; i < out.end; ++i) out.p[i] /= sum;
}

// In: probabilities on the fine grid, summing to 1. Each stands for a cell centred on its grid point.
double quantile_of(std::span<const double> p, double share) {
    double sum = 0.0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        if (sum + p[i] >= share) return static_cast<double>(i) - 0.5 + (p[i] > 0.0 ? (share - sum) / p[i] : 0.0);
        sum += p[i];
    }
    return static_cast<double>(p.size()) - 0.5;
}

double spread_of(std::span<const double> p) {
    double mean = 0.0, square = 0.0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        mean += p[i] * static_cast<double>(i);
        square += p[i] * static_cast<double>(i) * static_cast<double>(i);
    }
    return std::sqrt(std::max(0.0, square - mean * mean));
}

double border_mass(std::span<const double> p) {
    const std::size_t border = std::min(p.size(), static_cast<std::size_t>(kBorder * kFine));
    double begin = 0.0, end = 0.0;
    for (std::size_t i = 0; i < border; ++i) {
        begin += p[i];
        end += p[p.size() - 1 - i];
    }
    return std::max(begin, end);
}

struct Mixture {
    std::vector<double> start, fifth;  // for the answer
    std::vector<double> open;          // of the start, for the interval
    double rise = 0.0;
    double slowest = 0.0;  // probability of the longest lengths

    void add(const FineProbabilities& fine, double weight, double open_weight, double length, double share) {
        const auto shift = static_cast<std::size_t>(std::lround(length * share * kFine));
        start.resize(std::max(start.size(), fine.size), 0.0);
        open.resize(start.size(), 0.0);
        fifth.resize(std::max(fifth.size(), fine.size + shift), 0.0);
        for (std::size_t i = fine.begin; i < fine.end; ++i) {
            start[i] += weight * fine.p[i];
            open[i] += open_weight * fine.p[i];
            fifth[i + shift] += weight * fine.p[i];
        }
        rise += weight * length;
    }
};

// What no likelihood of energies can know: activity with a bandwidth of a few hundred hertz starts within a millisecond
// or two.
void blur(std::vector<double>& p) {
    constexpr double kBlur = 0.8;  // standard deviation in fine steps: 2 ms
    constexpr int kReach = 4;
    std::array<double, 2 * kReach + 1> kernel{};
    double sum = 0.0;
    for (int i = -kReach; i <= kReach; ++i)
        sum += kernel[static_cast<std::size_t>(i + kReach)] = std::exp(-0.5 * i * i / (kBlur * kBlur));
    for (double& weight : kernel) weight /= sum;
    std::vector<double> out(p.size(), 0.0);
    const int last = static_cast<int>(p.size()) - 1;
    const auto spread = [&](int i) {  // what would leave at an end stays there
        for (int j = -kReach; j <= kReach; ++j)
            out[static_cast<std::size_t>(std::clamp(i + j, 0, last))] +=
                p[static_cast<std::size_t>(i)] * kernel[static_cast<std::size_t>(j + kReach)];
    };
    const int inner = std::max(kReach, last + 1 - kReach);  // from kReach to here nothing meets an end
    for (int i = 0; i < std::min(kReach, last + 1); ++i) spread(i);
    for (int j = kReach; j >= -kReach; --j) {
        const double weight = kernel[static_cast<std::size_t>(j + kReach)];
        for (int i = kReach; i < inner; ++i)
            out[static_cast<std::size_t>(i + j)] += p[static_cast<std::size_t>(i)] * weight;
    }
    for (int i = inner; i <= last; ++i) spread(i);
    p = std::move(out);
}

EventPosterior summary(const Mixture& mixture, std::size_t first, double longest) {
    const auto at = [&](double index) { return static_cast<double>(first) + index / kFine; };
    const double median = quantile_of(mixture.start, 0.5);
    const double earlier = mixture.slowest > kSomeSlowest ? kEarlierShare * longest : 0.0;
    return {.q025 = at(std::min(median, quantile_of(mixture.open, 0.025))) - earlier,
            .q02 = at(quantile_of(mixture.start, 0.02)),
            .median = at(median),
            .q975 = at(std::max(median, quantile_of(mixture.open, 0.975))),
            .spread = std::hypot(spread_of(mixture.open) / kFine, earlier / std::sqrt(12.0)),
            .rise = mixture.rise,
            .fifth = at(quantile_of(mixture.fifth, 0.5)),
            .at_border = border_mass(mixture.open)};
}

// Ready for quantiles: what was left out as negligible is made up for.
void finish(Mixture& mixture) {
    mixture.rise /= scale_to_one(mixture.start);
    scale_to_one(mixture.fifth);
    scale_to_one(mixture.open);
    blur(mixture.start);
    blur(mixture.open);
}

using OfKinds = std::array<double, kKinds>;

OfKinds weighed(const OfKinds& prior, const OfKinds& log_evidence) {
    const double top = *std::max_element(log_evidence.begin(), log_evidence.end());
    OfKinds p{};
    double sum = 0.0;
    for (std::size_t k = 0; k < kKinds; ++k) sum += p[k] = prior[k] * std::exp(log_evidence[k] - top);
    for (double& value : p) value /= sum;
    return p;
}

OfKinds weighed_with_other(const OfKinds& prior, const OfKinds& log_evidence, const OfKinds& log_evidence_of_other) {
    OfKinds mixed = weighed(prior, log_evidence_of_other);
    for (std::size_t k = 0; k < kKinds; ++k) mixed[k] = kLikeOther * mixed[k] + (1.0 - kLikeOther) * prior[k];
    return weighed(mixed, log_evidence);
}

// Amplitude of rest over that of the plateau, of all contractions.
double rest_share(std::span<const SideLevels> levels) {
    double rest = 0.0, plateau = 0.0;
    for (const SideLevels& side : levels) {
        for (std::size_t k = 0; k < side.rest.size(); ++k) {
            rest += side.weight[k] * side.rest[k];
            plateau += side.weight[k] * (side.rest[k] + side.activity[k]);
        }
    }
    return plateau > 0.0 ? std::sqrt(rest / plateau) : 0.0;
}

LevelTable table_of(const BlockEnergies& energies, const Side& side, const SideLevels& levels, const RiseModel& model,
                    LevelTable old) {
    const std::size_t padding = model.ramps[0].back().levels[0].size() + 4, first = side.search.begin;
    return make_level_table(energies, levels, first, std::max(side.plateau.end, side.search.end), padding,
                            std::move(old));
}

// Log evidence of each length of one contraction's rise.
std::vector<double> weigh_lengths(Starts& starts, const LevelTable& table, std::span<const Ramp> ramps, std::size_t blocks) {
    std::vector<double> of_length;
    for (const Ramp& ramp : ramps) of_length.push_back(log_mean_tempered(starts.of(table, ramp, blocks)));
    return of_length;
}

bool swells(RiseShape shape) { return shape == RiseShape::quadratic || shape == RiseShape::growing; }

void leave_out_long(std::vector<double>& of_length, std::span<const Ramp> ramps, double hop_s) {
    for (std::size_t d = 0; d < ramps.size(); ++d) {
        if (ramps[d].length * hop_s > kLongestSwelling_s) of_length[d] = kImpossible;
    }
}

}  // namespace

RiseModel make_rise_model(double hop_s, BlockView view) {
    RiseModel model;
    for (std::size_t k = 0; k < kKinds; ++k) {
        if (!kRiseKinds[k].from_rest) model.ramps[k] = make_ramps(kRiseKinds[k].shape, hop_s, 0.0, view);
    }
    static const std::vector<RiseHabit> habits = make_rise_habits();
    model.habits = habits;
    return model;
}

WeighedSide weigh_side(const BlockEnergies& energies, const SessionRest& rest, std::vector<Side> sides,
                       const RiseModel& model, std::span<const std::size_t> kinds) {
    WeighedSide out{std::move(sides), {}, model.ramps, {}, {}};
    out.log_evidence.fill(-std::numeric_limits<double>::infinity());
    out.levels = estimate_levels(energies, rest, out.sides);
    const double share = rest_share(out.levels);
    for (const std::size_t k : kinds) {
        if (kRiseKinds[k].from_rest) out.ramps[k] = make_ramps(kRiseKinds[k].shape, energies.hop_s, share, energies.view);
    }
    std::array<std::vector<std::vector<double>>, kKinds> evidence;  // [kind][contraction][length]
    Starts starts;
    LevelTable table;
    std::size_t at_border = 0;
    for (std::size_t i = 0; i < out.sides.size(); ++i) {
        table = table_of(energies, out.sides[i], out.levels[i], model, std::move(table));
        const std::size_t blocks = out.sides[i].search.size();
        for (const std::size_t k : kinds) {
            const std::vector<Ramp>& ramps = out.ramps[k];
            std::vector<double> of_length = weigh_lengths(starts, table, ramps, blocks);
            if (k == kLinear) {
                const auto best = std::max_element(of_length.begin(), of_length.end()) - of_length.begin();
                const Ramp& ramp = ramps[static_cast<std::size_t>(best)];
                at_border += likeliest_at_border(starts.of(table, ramp, blocks), ramp.levels.size());
            }
            if (swells(kRiseKinds[k].shape)) leave_out_long(of_length, ramps, energies.hop_s);
            evidence[k].push_back(std::move(of_length));
        }
    }
    for (const std::size_t k : kinds) {
        out.by_kind[k] = learn_rises(evidence[k], model.habits);
        out.log_evidence[k] = 2 * at_border > out.sides.size() ? 0.0 : out.by_kind[k].log_evidence;
    }
    return out;
}

KindProbabilities kind_probabilities(const WeighedSide& side, const WeighedSide& other) {
    return {weighed_with_other(kAnswerPrior, side.log_evidence, other.log_evidence),
            weighed_with_other(kIntervalPrior, side.log_evidence, other.log_evidence)};
}

std::vector<EventPosterior> event_posteriors(const BlockEnergies& energies, const WeighedSide& side,
                                             const RiseModel& model, const KindProbabilities& kinds) {
    std::vector<EventPosterior> out;
    Starts starts;
    LevelTable table;
    FineProbabilities fine;
    for (std::size_t i = 0; i < side.sides.size(); ++i) {
        table = table_of(energies, side.sides[i], side.levels[i], model, std::move(table));
        Mixture mixture;
        for (std::size_t k = 0; k < kKinds; ++k) {
            const double answer = kinds.answer[k], interval = kinds.interval[k];
            if (std::max(answer, interval) < kNegligible) continue;
            const double share = share_at_a_fifth(kRiseKinds[k].shape);
            for (std::size_t d = 0; d < side.ramps[k].size(); ++d) {
                const double length = side.by_kind[k].of_length[i][d];
                if (std::max(answer, interval) * length < kNegligible) continue;
                const Ramp& ramp = side.ramps[k][d];
                fine_probabilities(starts.of(table, ramp, side.sides[i].search.size()), ramp.levels.size(), fine);
                mixture.add(fine, answer * length, interval * length, ramp.length, share);
                if (d + kSlowest >= side.ramps[k].size()) mixture.slowest += interval * length;
            }
        }
        finish(mixture);
        out.push_back(summary(mixture, side.sides[i].search.begin, model.ramps[0].back().length));
    }
    return out;
}

}  // namespace tracehold
