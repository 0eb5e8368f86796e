#include "cycles/onset_posterior.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "cycles/wide_math.hpp"
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

// Starts of lengths that have less evidence than the best by more nats are not kept, nor those of contractions beyond so
// many, a few ten kilobytes each: they are walked again where they count.
constexpr double kMayCount = 12.0;
constexpr std::size_t kMostKept = 500;

bool likeliest_at_border(const Starts& starts) {
    for (std::size_t phase = 0; phase < starts.phases(); ++phase) {
        const std::span<const float> ll = starts.of_phase(phase);
        const auto likeliest = std::find(ll.begin(), ll.end(), starts.top());
        if (likeliest == ll.end()) continue;
        const std::size_t at = starts.begin() + static_cast<std::size_t>(likeliest - ll.begin());
        return static_cast<double>(std::min(at, starts.blocks() - 1 - at)) < kBorder;
    }
    return true;
}

// The sum of e^(c (LL - top)) over the starts that are not far below.
TRACEHOLD_WIDE double sum_tempered(const Starts& starts) {
    const FourDoubles nothing{}, least = nothing - static_cast<double>(kFarBelow);
    FourDoubles sums{};
    for (std::size_t phase = 0; phase < starts.phases(); ++phase) {
        const std::span<const float> ll = starts.of_phase(phase);
        for (std::size_t i = 0; i < ll.size(); i += 4) {
            const FourDoubles v{ll[i], ll[i + 1], ll[i + 2], ll[i + 3]}, below = v - static_cast<double>(starts.top());
            FourDoubles e = kTemper * below;
            raise_e_to(e);
            sums += below > least ? e : nothing;
        }
    }
    return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

// log of the mean over starts of e^(c LL).
double log_mean_tempered(const Starts& starts) {
    return kTemper * static_cast<double>(starts.top()) + std::log(sum_tempered(starts) / static_cast<double>(starts.blocks() * starts.phases()));
}

// Probabilities on the fine grid, each of a cell centred on its grid point; none outside of [begin, end).
struct FineProbabilities {
    std::vector<double> p;
    std::size_t begin = 0, end = 0;

    void add(const FineProbabilities& other, double weight, std::size_t shift) {
        begin = p.empty() ? other.begin + shift : std::min(begin, other.begin + shift);
        end = std::max(end, other.end + shift);
        p.resize(std::max(p.size(), other.p.size() + shift), 0.0);
        double* const to = p.data() + shift;
        const double* const from = other.p.data();
        TRACEHOLD_INDEPENDENT
        for (std::size_t i = other.begin; i < other.end; ++i) to[i] += weight * from[i];
    }
    std::span<double> inner() { return std::span(p).subspan(begin, end - begin); }
};

// In: log likelihoods less that of the likeliest, whole fours. Turns them into e^(c LL), 0 where they are far below, and
// gives back their sum.
TRACEHOLD_WIDE double temper(std::span<double> values) {
    const FourDoubles nothing{}, least = nothing - static_cast<double>(kFarBelow);
    FourDoubles sums{};
    for (std::size_t i = 0; i < values.size(); i += 4) {
        FourInArray& below = four_at(&values[i]);
        FourDoubles e = kTemper * below;
        raise_e_to(e);
        sums += below = below > least ? e : nothing;
    }
    return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

// Tempered likelihood on the fine grid, and its sum; between starts the logarithm is interpolated. blocks: that were
// searched.
double fine_probabilities(const LikelyStarts& likely, const LikelyStarts::OfRamp& ramp, std::size_t blocks, FineProbabilities& out) {
    const std::size_t phases = ramp.phases, step = kFine / phases, width = ramp.end - ramp.begin;
    out.p.resize(blocks * kFine);
    out.begin = ramp.begin * kFine, out.end = ramp.end * kFine;
    double* fine = out.p.data() + out.begin;
    for (std::size_t block = 0; block < width; ++block) {
        for (std::size_t phase = 0; phase < phases; ++phase) {
            const float* const now = &likely.ll[ramp.at + phase * width + block];
            const float next = phase + 1 < phases ? now[width] : block + 1 < width ? likely.ll[ramp.at + block + 1] : *now;
            for (std::size_t f = 0; f < step; ++f) {
                const double share = static_cast<double>(f) / static_cast<double>(step);
                *fine++ = (1.0 - share) * static_cast<double>(*now) + share * static_cast<double>(next) - static_cast<double>(ramp.top);
            }
        }
    }
    return temper(out.inner());
}

double quantile_of(const FineProbabilities& fine, double share) {
    double sum = 0.0;
    for (std::size_t i = fine.begin; i < fine.end; ++i) {
        const double p = fine.p[i];
        if (sum + p >= share) return static_cast<double>(i) - 0.5 + (p > 0.0 ? (share - sum) / p : 0.0);
        sum += p;
    }
    return static_cast<double>(fine.p.size()) - 0.5;
}

double spread_of(const FineProbabilities& fine) {
    double mean = 0.0, square = 0.0;
    for (std::size_t i = fine.begin; i < fine.end; ++i) {
        mean += fine.p[i] * static_cast<double>(i);
        square += fine.p[i] * static_cast<double>(i) * static_cast<double>(i);
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
    FineProbabilities start, fifth;  // for the answer
    FineProbabilities open;          // of the start, for the interval
    double rise = 0.0;
    double slowest = 0.0;  // probability of the longest lengths

    // fine: with a sum of its own.
    void add(const FineProbabilities& fine, double sum, double weight, double open_weight, double length, double share) {
        start.add(fine, weight / sum, 0);
        open.add(fine, open_weight / sum, 0);
        fifth.add(fine, weight / sum, static_cast<std::size_t>(std::lround(length * share * kFine)));
        rise += weight * length;
    }
};

// What no likelihood of energies can know: activity with a bandwidth of a few hundred hertz starts within a millisecond
// or two.
void blur(FineProbabilities& fine) {
    constexpr double kBlur = 0.8;  // standard deviation in fine steps: 2 ms
    constexpr std::size_t kReach = 4;
    std::array<double, 2 * kReach + 1> kernel{};
    double sum = 0.0;
    for (std::size_t j = 0; j < kernel.size(); ++j) {
        const double away = static_cast<double>(j) - static_cast<double>(kReach);
        sum += kernel[j] = std::exp(-0.5 * away * away / (kBlur * kBlur));
    }
    if (fine.p.empty()) return;
    const std::span<const double> sharp = fine.inner();
    std::vector<double> blurred(sharp.size() + 2 * kReach, 0.0);
    for (std::size_t j = 0; j < kernel.size(); ++j)
        for (std::size_t i = 0; i < sharp.size(); ++i) blurred[i + j] += kernel[j] / sum * sharp[i];
    std::fill_n(&fine.p[fine.begin], sharp.size(), 0.0);
    const std::size_t begin = fine.begin, last = fine.p.size() - 1;
    for (std::size_t i = 0; i < blurred.size(); ++i)  // what would leave at an end stays there
        fine.p[std::min(std::max(begin + i, kReach) - kReach, last)] += blurred[i];
    fine.begin = std::max(begin, kReach) - kReach;
    fine.end = std::min(fine.end + kReach, last + 1);
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
            .at_border = border_mass(mixture.open.p)};
}

// Ready for quantiles: what was left out as negligible is made up for.
void finish(Mixture& mixture) {
    mixture.rise /= scale_to_one(mixture.start.inner());
    scale_to_one(mixture.fifth.inner());
    scale_to_one(mixture.open.inner());
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

LevelTable table_of(const OrderedBlocks& energies, const Side& side, const SideLevels& levels, const RiseModel& model,
                    LevelTable old) {
    const std::size_t padding = model.seen[0].back().blocks[0].size() + 4, first = side.search.begin;
    return make_level_table(energies, levels, first, std::max(side.plateau.end, side.search.end), padding,
                            std::move(old));
}

// Log evidence of each length of one contraction's rise. likely: those of lengths that may count are added.
std::vector<double> weigh_lengths(Starts& starts, const LevelTable& table, std::span<const Ramp> ramps, std::size_t blocks, std::size_t kind,
                                  LikelyStarts& of_kind, LikelyStarts& likely) {
    std::vector<double> of_length;
    of_kind.ramps.clear(), of_kind.ll.clear();
    double least = -std::numeric_limits<double>::infinity();
    for (std::size_t d = 0; d < ramps.size(); ++d) {
        starts.walk(table, ramps[d], blocks);
        of_length.push_back(log_mean_tempered(starts));
        least = std::max(least, of_length.back() - kMayCount);
        if (of_length.back() >= least) starts.add_to(of_kind, kind, d);
    }
    for (LikelyStarts::OfRamp ramp : of_kind.ramps) {
        if (of_length[ramp.length] < least) continue;
        const auto from = of_kind.ll.begin() + static_cast<std::ptrdiff_t>(std::exchange(ramp.at, likely.ll.size()));
        likely.ll.insert(likely.ll.end(), from, from + static_cast<std::ptrdiff_t>(ramp.phases * (ramp.end - ramp.begin)));
        likely.ramps.push_back(ramp);
    }
    return of_length;
}

bool swells(RiseShape shape) { return shape == RiseShape::quadratic || shape == RiseShape::growing; }

void leave_out_long(std::vector<double>& of_length, std::span<const Ramp> ramps, double hop_s) {
    for (std::size_t d = 0; d < ramps.size(); ++d) {
        if (ramps[d].length * hop_s > kLongestSwelling_s) of_length[d] = kImpossible;
    }
}

std::shared_ptr<const std::vector<Ramp>> ramps_of_kind(const RiseModel& model, std::size_t kind, double rest_share) {
    const std::vector<SeenRamp>& seen = model.seen[static_cast<std::size_t>(kRiseKinds[kind].shape)];
    return std::make_shared<const std::vector<Ramp>>(make_ramps(seen, rest_share));
}

}  // namespace

RiseModel make_rise_model(double hop_s, BlockView view) {
    RiseModel model;
    for (const RiseShape shape : kRiseShapes) model.seen[static_cast<std::size_t>(shape)] = see_ramps(shape, hop_s, view);
    for (std::size_t k = 0; k < kKinds; ++k)
        if (!kRiseKinds[k].from_rest) model.ramps[k] = ramps_of_kind(model, k, 0.0);
    static const std::vector<RiseHabit> habits = make_rise_habits();
    model.habits = habits;
    return model;
}

std::shared_ptr<const RiseModel> shared_rise_model(double hop_s, BlockView view) {
    struct Asked {
        double hop_s = 0.0;
        BlockView view;
        std::shared_ptr<const RiseModel> model;
    };
    thread_local Asked last;
    if (!last.model || last.hop_s != hop_s || last.view != view)
        last = {hop_s, view, std::make_shared<const RiseModel>(make_rise_model(hop_s, view))};
    return last.model;
}

WeighedSide weigh_side(const OrderedBlocks& energies, const SessionRest& rest, std::vector<Side> sides,
                       const RiseModel& model, std::span<const std::size_t> kinds) {
    WeighedSide out{std::move(sides), {}, {}, {}, {}};
    out.log_evidence.fill(-std::numeric_limits<double>::infinity());
    out.levels = estimate_levels(energies, rest, out.sides);
    const double share = rest_share(out.levels);
    for (const std::size_t k : kinds) out.ramps[k] = kRiseKinds[k].from_rest ? ramps_of_kind(model, k, share) : model.ramps[k];
    std::array<std::vector<std::vector<double>>, kKinds> evidence;  // [kind][contraction][length]
    out.likely.resize(out.sides.size());
    Starts starts;
    LikelyStarts of_kind;
    LevelTable table;
    std::size_t at_border = 0;
    for (std::size_t i = 0; i < out.sides.size(); ++i) {
        table = table_of(energies, out.sides[i], out.levels[i], model, std::move(table));
        const std::size_t blocks = out.sides[i].search.size();
        for (const std::size_t k : kinds) {
            const std::vector<Ramp>& ramps = *out.ramps[k];
            std::vector<double> of_length = weigh_lengths(starts, table, ramps, blocks, k, of_kind, out.likely[i]);
            if (k == kLinear) {
                const auto best = std::max_element(of_length.begin(), of_length.end()) - of_length.begin();
                starts.walk(table, ramps[static_cast<std::size_t>(best)], blocks);
                at_border += likeliest_at_border(starts);
            }
            if (i >= kMostKept) out.likely[i] = {};
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

std::vector<EventPosterior> event_posteriors(const OrderedBlocks& energies, const WeighedSide& side,
                                             const RiseModel& model, const KindProbabilities& kinds) {
    std::vector<EventPosterior> out;
    Starts starts;
    LevelTable table;
    FineProbabilities fine;
    for (std::size_t i = 0; i < side.sides.size(); ++i) {
        const std::size_t blocks = side.sides[i].search.size();
        const LikelyStarts& likely = side.likely[i];
        LikelyStarts unlikely;  // that count all the same
        Mixture mixture;
        const auto add = [&](std::size_t k, std::size_t d, double answer, double interval) {
            const auto is_it = [&](const LikelyStarts::OfRamp& ramp) { return ramp.kind == k && ramp.length == d; };
            const Ramp& ramp = (*side.ramps[k])[d];
            const auto found = std::find_if(likely.ramps.begin(), likely.ramps.end(), is_it);
            if (found == likely.ramps.end()) {
                if (unlikely.ramps.empty()) table = table_of(energies, side.sides[i], side.levels[i], model, std::move(table));
                starts.walk(table, ramp, blocks);
                starts.add_to(unlikely, k, d);
            }
            const double sum = found != likely.ramps.end() ? fine_probabilities(likely, *found, blocks, fine)
                                                           : fine_probabilities(unlikely, unlikely.ramps.back(), blocks, fine);
            mixture.add(fine, sum, answer, interval, ramp.length, share_at_a_fifth(kRiseKinds[k].shape));
            if (d + kSlowest >= side.ramps[k]->size()) mixture.slowest += interval;
        };
        for (std::size_t k = 0; k < kKinds; ++k) {
            for (std::size_t d = 0; side.ramps[k] && d < side.ramps[k]->size(); ++d) {
                const double length = side.by_kind[k].of_length[i][d], answer = kinds.answer[k] * length, interval = kinds.interval[k] * length;
                if (std::max(answer, interval) >= kNegligible) add(k, d, answer, interval);
            }
        }
        finish(mixture);
        out.push_back(summary(mixture, side.sides[i].search.begin, model.seen[0].back().length));
    }
    return out;
}

}  // namespace tracehold
