#include "cycles/align_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "cycles/contraction_evidence.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/side_by_side.hpp"

// Idea: contractions are events. Those asked for begin and end near their cues, or are missed; unasked ones come at any
// time, with any length, rarely within the plan, at a rate unknown before it and after it. Against a trace in which all
// are unasked, cycle i with the plan at shift s has the log evidence
//   e_i(s) = log( m + (1-m) sum_b p(begin_b - contract) p(end_b - relax) / unasked(b) ),
// and a fit with a pause before cycle j, the later cycles at s' > s,
//   start(s) + sum_{i<j} e_i(s) + pause(j, s'-s) + sum_{i>=j} e_i(s') + end(s').
// A fit is right where another one is true if all cycles performed in that one lie within 0.5 s of where this one has
// them. The fit that is most probably right is taken, which is not always the one of most evidence: many that differ in
// missed cycles alone stand together. Who lets go early or late does so in all of them: the plan is tried with all its
// contractions shorter and longer too. The recorder may have been switched on after the first ones, or off before the last: those
// are not recorded, and neither missed nor done. That it was performed at all is weighed against contractions at random times, and
// against a rhythm of the person's own: lengths and intervals alike, of any size (a normal law of their logarithms whose mean
// and spread are integrated out). Limits: one pause; of equal cycles with one missed beside a pause or at an end
// nothing tells which it was, and then the confidence is low.

namespace tracehold {
namespace {

constexpr double kStep_s = 0.1;  // of the shifts tried: five steps within the promised 0.5 s
constexpr std::size_t kNear = 5;
// What is begun further from its cue than that was not begun on it; of so many contractions a third are no stragglers any more.
constexpr double kOffCue_s = 0.6;
constexpr std::size_t kFewestAtOwnPace = 5;
constexpr double kSure = 0.8;  // below this confidence a note says so

// Our choices, as broad as people are; the answer hardly moves with any of them halved or doubled, the confidence
// somewhat.
constexpr double kPause = 0.3;    // probability of a pause, after any of the cycles ...
constexpr double kLeastPause_s = 2.0;
constexpr double kPauseLength_s = 30.0;  // ... longer than that exponentially, with this mean
constexpr double kCutStart = 0.05;       // probability that the recorder was switched on within the plan's leading rest
constexpr double kLateStart = 0.05;      // or during or after one of the first contractions, of the first two thirds ...
constexpr double kCutEnd = 0.1;          // or off within its last rest ...
constexpr double kEarlyEnd = 0.05;       // or before one of the last contractions was over, of the last two thirds
constexpr std::size_t kFewestRecorded = 3;  // fewer fit anywhere
constexpr double kTail_s = 30.0;         // mean time from the end of the plan to that of the recording, exponential

struct Held {
    double share = 1.0;  // of the planned length that all contractions last ...
    double prior = 1.0;  // ... and how probable that is
};
constexpr std::array kHeld{Held{1.0, 0.8}, Held{0.75, 0.1}, Held{1.33, 0.1}};

// Contractions of the plan times shifts: of a day 115 contractions, of two hours 1300. Our choice: more would take minutes.
constexpr double kMostPlaces = 1e8;

using Row = std::vector<double>;  // one value per shift

// Cycles that last alike and whose cues lie whole steps apart have the same evidence, so many shifts from each other.
struct Alike {
    double contract_s = 0.0, length_s = 0.0;  // of the first of them
    std::size_t reach = 0;                    // how many steps behind it the last one lies
    Row evidence = {};                        // of the first, at every shift and up to `reach` behind the last shift
};

struct Placed {
    std::size_t alike = 0, ahead = 0;  // its evidence at a shift stands so far ahead in those alike
    std::size_t from = 0, end = 0;     // the shifts at which it is recorded
    bool recorded(std::size_t shift) const { return from <= shift && shift < end; }
};

struct Aligner {
    std::vector<PlannedCycle> planned;  // as long as they are held
    std::vector<PlannedCycle> cues;     // as long as the plan has them
    double duration_s = 0.0;
    std::size_t cut = 0;      // how many of the shifts are negative ...
    std::size_t late = 0;     // ... and how many of these so far that contractions of the plan lie before the recording
    std::size_t shifts = 0;
    std::vector<Placed> placed = {};  // the cycles
    std::vector<Alike> alike = {};
    Row start = {}, end = {};  // log evidence of what lies before the first cycle, and behind the last
    double total = kNever;     // of all fits together

    double seconds(std::size_t shift) const {
        return (static_cast<double>(shift) - static_cast<double>(cut)) * kStep_s;
    }
    bool begun(std::size_t cycle, std::size_t shift) const { return seconds(shift) + cues[cycle].contract_s > -0.5 * kStep_s; }
    bool ended(std::size_t cycle, std::size_t shift) const { return seconds(shift) + cues[cycle].relax_s < duration_s + 0.5 * kStep_s; }
    bool recorded(std::size_t cycle, std::size_t shift) const { return placed[cycle].recorded(shift); }
    std::size_t count_recorded(std::size_t shift) const {
        return static_cast<std::size_t>(std::count_if(placed.begin(), placed.end(), [shift](const Placed& p) { return p.recorded(shift); }));
    }
    // Log evidence of one cycle; 0 where it is not recorded.
    double evidence(std::size_t cycle, std::size_t shift) const {
        const Placed& p = placed[cycle];
        return p.recorded(shift) ? alike[p.alike].evidence[shift + p.ahead] : 0.0;
    }
    void add_evidence(std::size_t cycle, Row& row) const {
        const Placed& p = placed[cycle];
        const double* const from = &alike[p.alike].evidence[p.ahead];
        for (std::size_t s = p.from; s < p.end; ++s) row[s] += from[s];
    }
};

std::ptrdiff_t begun_before(std::span<const Burst> bursts, double t) {
    const auto before = [](const Burst& burst, double time) { return burst.span.begin_s < time; };
    return std::lower_bound(bursts.begin(), bursts.end(), t, before) - bursts.begin();
}

// A third of the plan, of a short one the whole.
std::size_t fewest_recorded(std::size_t planned) { return std::max(planned / 3, std::min(planned, kFewestRecorded)); }

double start_evidence(const Aligner& aligner, std::span<const Burst> bursts, std::size_t shift) {
    if (aligner.count_recorded(shift) < fewest_recorded(aligner.cues.size())) return kNever;
    if (shift < aligner.late) return std::log(kLateStart / static_cast<double>(aligner.late));
    if (shift < aligner.cut) return std::log(kCutStart / static_cast<double>(aligner.cut - aligner.late));
    const double begin = aligner.seconds(shift);
    const double even = (1.0 - kCutStart - kLateStart) / static_cast<double>(aligner.shifts - aligner.cut);
    return std::log(even) + outside(begun_before(bursts, begin), begin, kBeforeGap_s);
}

// How long before the last relax cue a recording may end.
double earliest_end_s(const std::vector<PlannedCycle>& cues) {
    return cues.back().relax_s - cues[fewest_recorded(cues.size()) - 1].relax_s;
}

double end_evidence(const Aligner& aligner, std::span<const Burst> bursts, std::size_t shift) {
    const PlannedCycle& last = aligner.planned.back();
    const double shift_s = aligner.seconds(shift), tail_s = aligner.duration_s - shift_s - last.end_s;
    if (!aligner.ended(aligner.cues.size() - 1, shift)) return std::log(kEarlyEnd / earliest_end_s(aligner.cues));
    if (tail_s < 0.0) return std::log(kCutEnd / (last.end_s - last.relax_s));
    const auto late = static_cast<std::ptrdiff_t>(bursts.size()) - begun_before(bursts, shift_s + last.end_s);
    return std::log((1.0 - kCutEnd - kEarlyEnd) / kTail_s) - tail_s / kTail_s + outside(late, tail_s, kAfterGap_s);
}

// Never held into more than half of the rest.
std::vector<PlannedCycle> timeline_held(const Plan& plan, double share) {
    std::vector<PlannedCycle> planned = timeline(plan);
    for (PlannedCycle& c : planned)
        c.relax_s = std::min(c.contract_s + share * (c.relax_s - c.contract_s), 0.5 * (c.relax_s + c.end_s));
    return planned;
}

// The first shift, of those up to `end`, from which on it holds.
template <class Holds>
std::size_t first_shift(std::size_t end, Holds holds) {
    std::size_t low = 0;
    while (low < end) {
        const std::size_t middle = low + (end - low) / 2;
        if (holds(middle)) end = middle;
        else low = middle + 1;
    }
    return low;
}

void place_cycles(Aligner& aligner) {
    constexpr double kSame = 1e-6;  // of a step
    for (std::size_t i = 0; i < aligner.planned.size(); ++i) {
        const PlannedCycle& c = aligner.planned[i];
        const double length_s = c.relax_s - c.contract_s;
        const auto steps_behind = [&](const Alike& a) { return (c.contract_s - a.contract_s) / kStep_s; };
        const auto is_alike = [&](const Alike& a) {
            const double steps = steps_behind(a);
            return std::abs(a.length_s - length_s) < kSame * kStep_s && std::abs(steps - std::round(steps)) < kSame;
        };
        auto found = std::find_if(aligner.alike.begin(), aligner.alike.end(), is_alike);
        if (found == aligner.alike.end()) found = aligner.alike.insert(found, {c.contract_s, length_s});
        found->reach = static_cast<std::size_t>(std::lround(steps_behind(*found)));
        Placed placed{static_cast<std::size_t>(found - aligner.alike.begin()), found->reach};
        placed.from = first_shift(aligner.shifts, [&](std::size_t s) { return aligner.begun(i, s); });
        placed.end = std::max(placed.from, first_shift(aligner.shifts, [&](std::size_t s) { return !aligner.ended(i, s); }));
        aligner.placed.push_back(placed);
    }
}

Row evidence_of(const Alike& alike, const Aligner& aligner, std::span<const Burst> bursts) {
    Row out(aligner.shifts + alike.reach);
    for (std::size_t s = 0; s < out.size(); ++s) {
        const double contract_s = aligner.seconds(s) + alike.contract_s;
        out[s] = cycle_evidence(bursts, {contract_s, contract_s + alike.length_s});
    }
    return out;
}

Aligner make_aligner(std::span<const Burst> bursts, const Plan& plan, double share, double duration_s) {
    Aligner aligner{timeline_held(plan, share), timeline(plan), duration_s};
    const auto steps_to = [&](std::size_t cycle) { return static_cast<std::size_t>(aligner.planned[cycle].contract_s / kStep_s); };
    const std::size_t n = aligner.planned.size();
    aligner.cut = steps_to(bursts.empty() ? 0 : n - fewest_recorded(n));  // where nothing shows, nothing shows that it began late
    aligner.late = aligner.cut - steps_to(0);
    const double early_s = bursts.empty() ? 0.0 : earliest_end_s(aligner.cues);  // likewise
    const double latest_s = std::max(0.0, duration_s - aligner.cues.back().relax_s + early_s);
    aligner.shifts = aligner.cut + static_cast<std::size_t>(latest_s / kStep_s) + 1;
    place_cycles(aligner);
    for (Alike& alike : aligner.alike) alike.evidence = evidence_of(alike, aligner, bursts);
    for (std::size_t s = 0; s < aligner.shifts; ++s) {
        aligner.start.push_back(start_evidence(aligner, bursts, s));
        aligner.end.push_back(end_evidence(aligner, bursts, s));
    }
    return aligner;
}

// Cycles before `pause_at` lie at `shift`, the others at `later`; without a pause both are equal and pause_at is 0.
struct Fit {
    double score = kNever;
    std::size_t shift = 0, later = 0, pause_at = 0;
};

constexpr auto kGap = static_cast<std::size_t>(kLeastPause_s / kStep_s + 0.5);
constexpr double kLonger = kStep_s / kPauseLength_s;  // what each step more of a pause costs

// Log prior of a pause of the least length before a given cycle.
double pause_prior(const Aligner& aligner) {
    return std::log(kPause * kLonger / static_cast<double>(aligner.planned.size() - 1));
}

// Log evidence of a fit without a pause. all: as below.
double straight(const Aligner& aligner, const Row& all, std::size_t shift) { return aligner.start[shift] + all[shift] + std::log(1.0 - kPause); }

// The best fit without a pause; adds all of them to the total. all: log evidence of all cycles and the end at every shift.
Fit search_straight(Aligner& aligner, const Row& all) {
    Fit best;
    for (std::size_t s = 0; s < aligner.shifts; ++s) {
        const double score = straight(aligner, all, s);
        aligner.total = log_sum(aligner.total, score);
        if (s == 0 || score > best.score) best = {score, s, s, 0};
    }
    return best;
}

// The best fit with a pause before cycle j; adds all of them to the total. after: log evidence of the cycles from j on and the end.
Fit search_pause(Aligner& aligner, std::size_t j, const Row& all, const Row& after) {
    Fit best;
    double mass = kNever, high = kNever;  // of all later shifts, and of the best of them
    std::size_t later = 0;
    for (std::size_t s = after.size() - std::min(after.size(), kGap); s-- > 0;) {
        const bool goes_on = aligner.recorded(j, s + kGap);  // nor before what was not
        mass = log_sum(mass - kLonger, goes_on ? after[s + kGap] : kNever);
        high -= kLonger;
        if (goes_on && after[s + kGap] > high) {
            high = after[s + kGap];
            later = s + kGap;
        }
        if (!aligner.recorded(j - 1, s)) continue;  // nobody pauses before what was recorded
        const double here = pause_prior(aligner) + aligner.start[s] + (all[s] - after[s]);
        aligner.total = log_sum(aligner.total, here + mass);
        if (here + high > best.score) best = {here + high, s, later, j};
    }
    return best;
}

// For each j the log evidence of the start and the cycles before j, within kNear of a shift; and of those from j on and the end.
struct Near {
    Row before, after;
};

Near near(const Aligner& aligner, std::size_t shift, std::size_t later) {
    const std::size_t n = aligner.placed.size();
    Near out{Row(n + 1, kNever), Row(n + 1, kNever)};
    const auto each_near = [&](std::size_t middle, auto use) {
        for (std::size_t s = middle - std::min(middle, kNear); s <= std::min(middle + kNear, aligner.shifts - 1); ++s) use(s);
    };
    each_near(shift, [&](std::size_t s) {
        double sum = aligner.start[s];
        for (std::size_t j = 0; j <= n; ++j) {
            out.before[j] = log_sum(out.before[j], sum);
            if (j < n) sum += aligner.evidence(j, s);
        }
    });
    each_near(later, [&](std::size_t s) {
        double sum = aligner.end[s];
        for (std::size_t j = n + 1; j-- > 0;) {
            if (j < n) sum += aligner.evidence(j, s);
            out.after[j] = log_sum(out.after[j], sum);
        }
    });
    return out;
}

// The probability that every cycle performed lies within 0.5 s of where the fit has it. Of fits with the pause
// elsewhere those count in which all cycles between the two pauses are missed.
double right(const Aligner& aligner, const Fit& fit, const Row& all) {
    if (fit.score <= kNever) return 0.0;
    double mass = kNever;
    if (fit.pause_at == 0) {
        const std::size_t last = std::min(fit.shift + kNear, aligner.shifts - 1);
        for (std::size_t s = fit.shift - std::min(fit.shift, kNear); s <= last; ++s)
            mass = log_sum(mass, straight(aligner, all, s));
        return std::exp(mass - aligner.total);
    }
    const double pause = pause_prior(aligner) - kLonger * static_cast<double>(fit.later - fit.shift - kGap);
    const Near sides = near(aligner, fit.shift, fit.later);
    for (std::size_t k = 1; k < aligner.planned.size(); ++k) {
        const auto [first, last] = std::minmax(k, fit.pause_at);
        const double missed = static_cast<double>(last - first) * std::log(kMissed);
        mass = log_sum(mass, pause + missed + sides.before[first] + sides.after[last]);
    }
    return std::exp(mass - aligner.total);
}

// Of the best fit without a pause and the best for each place of one, that which is most probably right; score becomes
// that probability.
Fit most_probable(Aligner& aligner) {
    const std::size_t n = aligner.placed.size();
    Row all = aligner.end;
    for (std::size_t i = n; i-- > 0;) aligner.add_evidence(i, all);
    std::vector<Fit> fits(n);
    fits[0] = search_straight(aligner, all);
    Row after = aligner.end;
    for (std::size_t j = n; --j > 0;) {
        aligner.add_evidence(j, after);
        fits[j] = search_pause(aligner, j, all, after);
    }
    for (Fit& fit : fits) fit.score = std::clamp(right(aligner, fit, all), 0.0, 1.0);
    return *std::max_element(fits.begin(), fits.end(), [](const Fit& a, const Fit& b) { return a.score < b.score; });
}

// Windows between the cues of a plan do not fit someone who counts for herself.
void note_own_pace(const Cues& cues, std::span<const Burst> bursts, std::vector<Note>& notes) {
    if (cues.windows.empty()) return;
    const TimeSpan all{cues.windows.front().work.begin_s - kMostDelay_s, cues.windows.back().rest_end_s};
    const auto asked_for = std::count_if(bursts.begin(), bursts.end(), [&](const Burst& burst) { return all.begin_s <= burst.span.begin_s && burst.span.begin_s < all.end_s; });
    const bool none_missed = static_cast<std::size_t>(asked_for) >= cues.windows.size();
    std::size_t seen = 0, off = 0;
    for (const CueWindow& window : cues.windows) {
        double nearest = kMostDelay_s;
        for (const Burst& burst : bursts) nearest = std::min(nearest, std::abs(burst.span.begin_s - window.work.begin_s - kDelay_s));
        const bool is_there = nearest < kMostDelay_s || none_missed;
        seen += is_there;
        off += is_there && nearest > kOffCue_s;
    }
    if (seen < kFewestAtOwnPace || 3 * off <= seen) return;
    notes.push_back({"own_pace", "",
                     fmt::format("{} of {} contractions begin more than {} s off the cues that fit best, as of somebody who counts for "
                                 "herself: the windows then hold parts of contraction and of rest, and the means of both are too near each "
                                 "other; a file with cue marks settles it",
                                 off, seen, number_text(kOffCue_s)),
                     true});
}

// Of the planned contractions, those before the recording and those after it.
struct NotRecorded {
    std::size_t before = 0, after = 0;
};

std::vector<Note> notes_of(const Cues& cues, const Fit& fit, NotRecorded lacking) {
    std::vector<Note> notes;
    const std::size_t planned = lacking.before + cues.windows.size() + lacking.after;
    if (lacking.before > 0) {
        notes.push_back({"begun_late", "",
                         fmt::format("the trace fits the plan from contraction {} on: the recorder was switched on after the cue of the "
                                     "one before; {} of the {} planned contractions are not in the file and not counted as planned here",
                                     lacking.before + 1, lacking.before, planned),
                         true});
    }
    if (lacking.after > 0) {
        notes.push_back({"ends_early", "",
                         fmt::format("the recording ends before the plan, at contraction {}: the last {} of the {} planned contractions are not "
                                     "in the file and not counted as planned here",
                                     planned - lacking.after + 1, lacking.after, planned),
                         true});
    }
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
                                     fixed_text(*cues.offset_s, 1), fixed_text(100.0 * *cues.confidence, 0)),
                         true});
    }
    return notes;
}

}  // namespace

Cues align_plan(std::span<const Burst> bursts, const Plan& plan, double duration_s) {
    const std::vector<PlannedCycle> planned = timeline(plan);
    const double least_s = planned.back().relax_s - earliest_end_s(planned);
    if (bursts.empty()) check_length(plan, 0.0, duration_s);
    if (duration_s < least_s) {
        throw Error(ErrorKind::too_short, "", "",
                    fmt::format("the recording ends before the plan, too soon to tell without cue marks what of it was done: saw {} s of {} s, "
                                "expected at least {} s", fixed_text(duration_s, 1), fixed_text(planned.back().relax_s, 1), fixed_text(least_s, 1)),
                    "give the plan that was trained, or score without a plan; cue marks in the file settle it too");
    }
    if (static_cast<double>(planned.size()) * duration_s / kStep_s > kMostPlaces) {
        throw Error(ErrorKind::unsupported, "", "",
                    fmt::format("too many contractions to be looked for without cue marks: saw {} in the plan and {} s of recording, expected at most "
                                "{:.0f} contractions in so long a time", planned.size(), fixed_text(duration_s, 1), kMostPlaces * kStep_s / duration_s),
                    "a start time or a file with cue marks says where the plan lies; else split the recording");
    }
    std::array<Aligner, kHeld.size()> aligners;
    std::array<Fit, kHeld.size()> fits;
    each_side_by_side(kHeld.size(), [&](std::size_t h) {
        aligners[h] = make_aligner(bursts, plan, kHeld[h].share, duration_s);
        fits[h] = most_probable(aligners[h]);
        for (Row* row : {&aligners[h].start, &aligners[h].end}) Row().swap(*row);
        std::vector<Alike>().swap(aligners[h].alike);  // memory: what the cues are made of needs none of these
    });
    std::size_t held = 0;
    double total = kNever, most = kNever;
    for (std::size_t h = 0; h < kHeld.size(); ++h) {
        const double evidence = std::log(kHeld[h].prior) + aligners[h].total;
        total = log_sum(total, evidence);
        if (evidence <= most) continue;
        most = evidence;
        held = h;
    }
    const Aligner& best = aligners[held];
    const Fit& fit = fits[held];
    Cues cues;
    cues.from = CueSource::aligned;
    cues.offset_s = best.seconds(fit.shift);
    cues.confidence = fit.score;
    cues.evidence = total - no_plan(bursts, duration_s);
    NotRecorded lacking;
    for (std::size_t i = 0; i < planned.size(); ++i) {
        const PlannedCycle& c = planned[i];
        const std::size_t at = i < fit.pause_at ? fit.shift : fit.later;
        lacking.before += !best.begun(i, at);
        lacking.after += best.begun(i, at) && !best.ended(i, at);
        if (!best.recorded(i, at)) continue;
        const double shift = best.seconds(at);
        const TimeSpan work{std::max(0.0, shift + c.contract_s), std::min(shift + c.relax_s, duration_s)};
        cues.windows.push_back({c.step, c.kind, work, std::min(shift + c.end_s, duration_s)});
    }
    cues.notes = notes_of(cues, fit, lacking);
    note_own_pace(cues, bursts, cues.notes);
    return cues;
}

}  // namespace tracehold
