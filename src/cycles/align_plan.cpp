#include "cycles/align_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/number_text.hpp"

// Idea: contractions are events. Within the plan they begin and end near their cues, some are missed, few are added;
// outside it they come at any time, with any length. The log evidence of a shift s of the plan, against none of it
// being performed, is the sum over cycles of
//   log( m + (1-m) sum_b p(begin_b - contract) p(end_b - relax) / background(b) ) - what unasked contractions in it
//   cost.
// With a pause after cycle j the later cycles lie at s' > s. All (s, j, s') are summed (sums over cycles from the left,
// suffix sums over s' from the right), so that the confidence is a posterior: the share of all evidence within 0.5 s of
// the best (s, j, s'). Limits: one pause. A plan of equal cycles, some missed at its ends, has shifts that nothing
// tells apart; then the confidence is low.

namespace tracehold {
namespace {

constexpr double kStep_s = 0.1;  // of the shifts tried: five steps within the promised 0.5 s
constexpr double kNear_s = 0.5;
constexpr double kSure = 0.8;  // below this confidence a note says so

// Our choices, as broad as people are; the answer hardly moves with any of them halved or doubled, the confidence
// somewhat.
constexpr double kMissed = 0.15;  // share of missed contractions
constexpr double kPause = 0.2;    // probability of a pause
constexpr double kLeastPause_s = 2.0;
constexpr double kCutStart = 0.05;  // probability that the recorder was switched on within the plan's leading rest
constexpr double kDelay_s = 0.3;    // from a cue to the begin (or end) of the contraction
constexpr double kDelaySpread_s = 0.25;
constexpr double kStrayShare = 0.15;    // contractions clearly early or late ...
constexpr double kStraySpread_s = 1.0;  // ... by about this
constexpr double kMostDelay_s = 3.0;
constexpr double kOutsideRate_per_s = 0.05;  // contractions while nobody asks for any: one in 20 s outside the plan ...
constexpr double kInsideRate_per_s = 0.01;   // ... and one in 100 s within it
constexpr double kLengthRange =
    3.5;                        // ln(10 s / 0.3 s): unasked contractions last that long or short, evenly on a log scale
constexpr double kSplit = 0.1;  // probability that a contraction shows as two, again as three ...
constexpr double kMostGap_s = 0.5;  // ... with no more than this between them

constexpr double kNever = -1e300;

double log_sum(double a, double b) {
    const double high = std::max(a, b);
    return high <= kNever ? kNever : high + std::log1p(std::exp(std::min(a, b) - high));
}

double delay_density(double delay_s) {
    const auto bell = [&](double spread) {
        const double z = (delay_s - kDelay_s) / spread;
        return std::exp(-0.5 * z * z) / (2.5066283 * spread);
    };
    return (1.0 - kStrayShare) * bell(kDelaySpread_s) + kStrayShare * bell(kStraySpread_s);
}

// How often a contraction of that length begins at that very time outside the plan, per s and s.
double background(const Burst& burst) {
    return kOutsideRate_per_s / (kLengthRange * std::max(burst.span.length_s(), 0.3));
}

struct Aligner {
    std::span<const Burst> bursts;
    std::vector<PlannedCycle> planned;
    double first_s = 0.0;    // the least shift
    std::size_t shifts = 1;  // how many of kStep_s each
    std::size_t cut = 0;     // how many of them are negative

    double seconds(std::size_t shift) const { return first_s + static_cast<double>(shift) * kStep_s; }

    // Where a cycle's claim on the trace begins: half way from the relax cue before, at most kMostDelay_s before its
    // own cue.
    double claim_of(std::size_t i) const {
        const double contract = planned[i].contract_s;
        if (i == 0) return std::min(0.0, contract - kMostDelay_s);
        return contract - std::min(kMostDelay_s, 0.5 * (contract - planned[i - 1].relax_s));
    }
};

// What it takes from the evidence to leave a burst within the plan unasked for.
double unasked(const Burst& burst) { return background(burst) * kInsideRate_per_s / kOutsideRate_per_s; }

// Sum over bursts of p(begin) p(end) / unasked, for cues at these times; a contraction may show as up to three bursts.
double performed(std::span<const Burst> bursts, TimeSpan cue) {
    double sum = 0.0;
    const auto before = [](const Burst& burst, double t) { return burst.span.begin_s < t; };
    auto first = std::lower_bound(bursts.begin(), bursts.end(), cue.begin_s - kMostDelay_s, before);
    for (; first != bursts.end() && first->span.begin_s < cue.begin_s + kMostDelay_s; ++first) {
        double odds = delay_density(first->span.begin_s - cue.begin_s) / unasked(*first);
        sum += odds * delay_density(first->span.end_s - cue.end_s);
        for (auto last = first + 1; last != bursts.end() && last - first < 3; ++last) {
            if (last->span.begin_s - (last - 1)->span.end_s > kMostGap_s) break;
            // The break lies anywhere within the contraction and is any length up to kMostGap_s.
            odds *= kSplit / (cue.length_s() * kMostGap_s) / unasked(*last);
            sum += odds * delay_density(last->span.end_s - cue.end_s);
        }
    }
    return sum;
}

// Log evidence of one cycle with the plan starting at shift_s.
double cycle_evidence(const Aligner& aligner, std::size_t i, double shift_s) {
    const PlannedCycle& c = aligner.planned[i];
    const double begin = shift_s + aligner.claim_of(i);
    const double end = shift_s + (i + 1 < aligner.planned.size() ? aligner.claim_of(i + 1) : c.end_s);
    const auto before = [](const Burst& burst, double t) { return burst.span.begin_s < t; };
    const auto first = std::lower_bound(aligner.bursts.begin(), aligner.bursts.end(), begin, before);
    const auto count = std::lower_bound(first, aligner.bursts.end(), end, before) - first;
    const double quiet = (kOutsideRate_per_s - kInsideRate_per_s) * (end - begin) +
                         static_cast<double>(count) * std::log(kInsideRate_per_s / kOutsideRate_per_s);
    const double done = performed(aligner.bursts, {shift_s + c.contract_s, shift_s + c.relax_s});
    return quiet + std::log(kMissed + (1.0 - kMissed) * done);
}

// Adds a cycle, for every shift, to (or with sign -1 takes it from) sums.
void add_cycle(const Aligner& aligner, std::size_t i, double sign, std::vector<double>& sums) {
    for (std::size_t s = 0; s < sums.size(); ++s) sums[s] += sign * cycle_evidence(aligner, i, aligner.seconds(s));
}

std::vector<double> sums_of(const Aligner& aligner, std::size_t begin, std::size_t end) {
    std::vector<double> sums(aligner.shifts, 0.0);
    for (std::size_t i = begin; i < end; ++i) add_cycle(aligner, i, 1.0, sums);
    return sums;
}

Aligner make_aligner(std::span<const Burst> bursts, const Plan& plan, double duration_s) {
    Aligner aligner{bursts, timeline(plan), 0.0, 1, 0};
    // The recorder may have been switched on within a leading rest, or off within the last one.
    aligner.cut = static_cast<std::size_t>(aligner.planned.front().contract_s / kStep_s);
    aligner.first_s = -static_cast<double>(aligner.cut) * kStep_s;
    const double latest_s = std::max(0.0, duration_s - aligner.planned.back().relax_s);
    aligner.shifts = aligner.cut + static_cast<std::size_t>(latest_s / kStep_s) + 1;
    return aligner;
}

// Log prior of a start, even over those within the recording and over those before it.
double start_prior(const Aligner& aligner, std::size_t shift) {
    const double inside = static_cast<double>(aligner.shifts - aligner.cut);
    if (shift >= aligner.cut) return std::log((1.0 - kCutStart) / inside);
    return std::log(kCutStart / static_cast<double>(aligner.cut));
}

// Log prior of a pause after one of the cycles, of any length that fits.
double pause_prior(const Aligner& aligner) {
    return std::log(kPause / (static_cast<double>(aligner.planned.size()) * static_cast<double>(aligner.shifts)));
}

// Cycles before `pause_at` lie at `shift`, the others at `later`; without a pause both are equal and pause_at is 0.
struct Fit {
    double score = kNever;
    std::size_t shift = 0, later = 0, pause_at = 0;
};

struct Search {
    Fit best;
    double total = kNever;  // log evidence of all fits together
};

void take(Search& search, const Fit& fit, double mass) {
    search.total = log_sum(search.total, mass);
    if (fit.score > search.best.score) search.best = fit;
}

// All fits with a pause before cycle j. before, after: sums of the cycles on either side.
void search_pause(const Aligner& aligner, std::size_t j, const std::vector<double>& before,
                  const std::vector<double>& after, Search& search) {
    const auto gap = static_cast<std::size_t>(std::ceil(kLeastPause_s / kStep_s));
    double mass = kNever;  // of all later shifts
    std::size_t best = before.size() - 1;
    for (std::size_t s = before.size(); s-- > 0;) {
        if (s + gap >= before.size()) continue;
        mass = log_sum(mass, after[s + gap]);
        if (after[s + gap] > after[best]) best = s + gap;
        const double here = start_prior(aligner, s) + pause_prior(aligner) + before[s];
        take(search, {here + after[best], s, best, j}, here + mass);
    }
}

Search search_all(const Aligner& aligner) {
    Search search;
    const std::size_t n = aligner.planned.size();
    std::vector<double> after = sums_of(aligner, 0, n);
    for (std::size_t s = 0; s < after.size(); ++s) {
        const double score = start_prior(aligner, s) + std::log(1.0 - kPause) + after[s];
        take(search, {score, s, s, 0}, score);
    }
    std::vector<double> before(after.size(), 0.0);
    for (std::size_t j = 1; j < n; ++j) {
        add_cycle(aligner, j - 1, 1.0, before);
        add_cycle(aligner, j - 1, -1.0, after);
        search_pause(aligner, j, before, after, search);
    }
    return search;
}

// The share of all evidence that lies within kNear_s of the best fit, its pause at the same place.
double confidence_of(const Aligner& aligner, const Search& search) {
    const Fit& fit = search.best;
    const auto near = static_cast<std::size_t>(kNear_s / kStep_s + 1e-9);
    std::vector<double> before = sums_of(aligner, 0, fit.pause_at);
    const std::vector<double> after = sums_of(aligner, fit.pause_at, aligner.planned.size());
    for (std::size_t s = 0; s < before.size(); ++s) before[s] += start_prior(aligner, s);
    const auto mass_near = [&](const std::vector<double>& sums, std::size_t middle) {
        double mass = kNever;
        const std::size_t last = std::min(middle + near, aligner.shifts - 1);
        for (std::size_t s = middle < near ? 0 : middle - near; s <= last; ++s) mass = log_sum(mass, sums[s]);
        return mass;
    };
    double mass = mass_near(before, fit.shift) + pause_prior(aligner) + mass_near(after, fit.later);
    if (fit.pause_at == 0) {
        for (std::size_t s = 0; s < before.size(); ++s) before[s] += std::log(1.0 - kPause) + after[s];
        mass = mass_near(before, fit.shift);
    }
    return std::clamp(std::exp(mass - search.total), 0.0, 1.0);
}

std::vector<Note> notes_of(const Cues& cues, const Fit& fit) {
    std::vector<Note> notes;
    if (fit.pause_at > 0) {
        const double pause_s = static_cast<double>(fit.later - fit.shift) * kStep_s;
        notes.push_back({"pause_found", "",
                         fmt::format("the trace fits the plan with a pause of about {} s after contraction {}",
                                     fixed_text(pause_s, 1), fit.pause_at)});
    }
    if (*cues.confidence < kSure) {
        notes.push_back({"alignment_uncertain", "",
                         fmt::format("where the plan lies in the trace is uncertain: the best fit starts at {} s with "
                                     "a probability of {} %; "
                                     "a start time or a file with cue marks settles it",
                                     fixed_text(*cues.offset_s, 1), fixed_text(100.0 * *cues.confidence, 0))});
    }
    return notes;
}

}  // namespace

Cues align_plan(std::span<const Burst> bursts, const Plan& plan, double duration_s) {
    check_length(plan, 0.0, duration_s);
    const Aligner aligner = make_aligner(bursts, plan, duration_s);
    const Search search = search_all(aligner);
    const Fit& fit = search.best;
    Cues cues;
    cues.from = CueSource::aligned;
    cues.offset_s = aligner.seconds(fit.shift);
    cues.confidence = confidence_of(aligner, search);
    for (std::size_t i = 0; i < aligner.planned.size(); ++i) {
        const PlannedCycle& c = aligner.planned[i];
        const double shift = aligner.seconds(i < fit.pause_at ? fit.shift : fit.later);
        const TimeSpan work{std::max(0.0, shift + c.contract_s), std::min(shift + c.relax_s, duration_s)};
        cues.windows.push_back({c.step, c.kind, work, std::min(shift + c.end_s, duration_s)});
    }
    cues.notes = notes_of(cues, fit);
    return cues;
}

}  // namespace tracehold
