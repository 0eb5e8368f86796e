#include "cycles/onset_windows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "cycles/rest_variation.hpp"
#include "tracehold/core/side_by_side.hpp"

namespace tracehold {

// Idea: before the rises are modelled, find out roughly where each contraction lies and whether there is one at all.
// Every block gets the log likelihood ratio of 'the session's plateau power' against rest, and the contraction is
// the run of blocks with the largest sum around its cue (Kadane's recurrence: best sum ending here = max(0, best
// before) + score). The evidence is the likelihood ratio of that run with its own gain, so a run of noise stays below
// about 12 and a session of weak contractions does not need a threshold in microvolts. Rest, plateau and search ranges
// follow from the run and the cues. Limits: a contraction under an eighth of the resting power, or shorter than 0.2 s
// (0.3 of a window where that is less), is not told from restlessness.

namespace {

// Our choices, seconds unless said otherwise; the first four say what may belong to one cue.
constexpr double kEarliest_s = 1.5;  // before the contract cue
constexpr double kLatest_s = 3.0;    // after the relax cue
constexpr double kEarlyShare = 0.5;  // of the rest before the cue that may belong to it
constexpr double kLateShare = 0.8;   // of the rest after it, or kLateLeast_s where that is more
constexpr double kLateLeast_s = 0.7;
constexpr double kLongest_s = 1800.0;  // of what belongs to one cue: no one holds longer, but a gap in a file may be days long
constexpr double kRest_s = 2.0;  // length of a rest window: longer is steadier, shorter is nearer
// Of a plateau, next to its ramp: longer is steadier, shorter follows a plateau that falls.
constexpr double kPlateau_s = 1.2;
constexpr double kShortest_s = 0.2;  // contraction; where the cue window itself is short, kShortestShare of it
constexpr double kShortestShare = 0.3;
constexpr double kEnoughEvidence = 12.0;  // nats; about 1 chance run in 10^4 after the search for the best run
constexpr double kLeastContrast = 0.125;  // activity power over rest power
// Of the session's activity; lower finds weaker contractions and takes creep for one
constexpr double kScoredShare = 1.0;
constexpr double kScoreLimit = 10.0;  // nats a block: a beat must not look like a contraction

struct Frame {
    double hop_s;
    std::size_t blocks;
    std::size_t at(double hops) const {
        return static_cast<std::size_t>(std::clamp(std::ceil(hops), 0.0, static_cast<double>(blocks)));
    }
    BlockRange range(double begin, double end) const { return {at(begin), std::max(at(begin), at(end))}; }
    double hops(double seconds) const { return seconds / hop_s; }
};

// What one block says for activity of a given size against rest: a weighted sum over bins of gain * energy - cost.
class BlockScore {
public:
    BlockScore(std::span<const double> rest, std::span<const double> activity, std::span<const double> weight) {
        for (std::size_t k = 0; k < rest.size(); ++k) {
            const double v = rest[k] + activity[k];
            terms_.push_back({0.5 * weight[k], 1.0 / rest[k] - 1.0 / v, std::log(v / rest[k])});
        }
    }
    double of(std::span<const float> energy) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < energy.size(); ++k)
            sum += terms_[k].weight * (static_cast<double>(energy[k]) * terms_[k].gain - terms_[k].cost);
        return std::clamp(sum, -kScoreLimit, kScoreLimit);
    }

private:
    struct Term {
        double weight, gain, cost;
    };
    std::vector<Term> terms_;
};

BlockRange best_run(std::span<const double> scores, std::size_t first) {
    double sum = 0.0, best = 0.0;
    std::size_t from = 0;
    BlockRange run{first, first};
    for (std::size_t i = 0; i < scores.size(); ++i) {
        if (sum <= 0.0) {
            sum = 0.0;
            from = i;
        }
        sum += scores[i];
        if (sum > best) {
            best = sum;
            run = {first + from, first + i + 1};
        }
    }
    return run;
}

// The session's activity: the mean over the stronger half of the windows, so that missed ones do not count.
std::vector<double> session_activity(const BlockEnergies& e, const SessionRest& rest,
                                     std::span<const Stretch> stretches) {
    const RelativeEnergy relative(rest);
    std::vector<std::pair<double, std::vector<double>>> means;
    for (const Stretch& s : stretches) {
        const double length = s.cue_end - s.cue_begin;
        const Frame frame{e.hop_s, e.size()};
        std::vector<double> mean = mean_energy(e, frame.range(s.cue_begin + 0.4 * length, s.cue_begin + 0.8 * length));
        std::vector<float> as_block(mean.begin(), mean.end());
        means.emplace_back(relative.of(as_block), std::move(mean));
    }
    std::stable_sort(means.begin(), means.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    means.resize((means.size() + 1) / 2);
    std::vector<double> activity(e.bins, 0.0);
    for (const auto& [power, mean] : means)
        for (std::size_t k = 0; k < e.bins; ++k)
            activity[k] += (mean[k] - rest.level[k]) / static_cast<double>(means.size());
    for (std::size_t k = 0; k < e.bins; ++k) activity[k] = std::max(activity[k], 0.001 * rest.level[k]);
    return activity;
}

bool long_enough(const Stretch& s, double blocks, double hop_s) {
    return blocks * hop_s >= std::min(kShortest_s, kShortestShare * (s.cue_end - s.cue_begin) * hop_s);
}

struct Detector {
    const BlockEnergies& energies;
    const SessionRest& rest;
    std::vector<double> activity;

    void look(Stretch& s) const;
    double evidence(std::span<const double> mean, double n, std::span<const double> level, double& contrast) const;
};

// Largest log likelihood ratio over the gain of the session's activity, and the contrast at that gain.
double Detector::evidence(std::span<const double> mean, double n, std::span<const double> level,
                          double& contrast) const {
    double best = 0.0;
    contrast = 0.0;
    for (double log_gain = -4.0; log_gain <= 4.0; log_gain += 0.1) {
        const double gain = std::exp(log_gain);
        double sum = 0.0, ratio = 0.0, weights = 0.0;
        for (std::size_t k = 0; k < mean.size(); ++k) {
            const double a = gain * activity[k];
            const double v = level[k] + a;
            sum += 0.5 * n * rest.weight[k] * (mean[k] / level[k] - mean[k] / v - std::log(v / level[k]));
            ratio += rest.weight[k] * a / level[k];
            weights += rest.weight[k];
        }
        if (sum > best) best = sum, contrast = ratio / weights;
    }
    return best;
}

void Detector::look(Stretch& s) const {
    const Frame frame{energies.hop_s, energies.size()};
    const BlockRange near =
        frame.range(std::min(s.cue_begin, static_cast<double>(s.bounds.begin)) - frame.hops(kRest_s),
                    s.cue_begin - frame.hops(0.1));
    const double local = local_rest(energies, rest, near);
    std::vector<double> level, half;
    for (std::size_t k = 0; k < energies.bins; ++k) {
        level.push_back(local * rest.level[k]);
        half.push_back(kScoredShare * activity[k]);
    }
    const BlockScore score(level, half, rest.weight);
    std::vector<double> scores;
    for (std::size_t b = s.bounds.begin; b < s.bounds.end; ++b)
        scores.push_back(energies.valid[b] ? score.of(energies.at(b)) : 0.0);
    s.rough = best_run(scores, s.bounds.begin);
    const double n =
        static_cast<double>(std::count(energies.valid.begin() + static_cast<std::ptrdiff_t>(s.rough.begin),
                                       energies.valid.begin() + static_cast<std::ptrdiff_t>(s.rough.end), 1));
    double contrast = 0.0;
    if (n > 0.0) s.evidence = evidence(mean_energy(energies, s.rough), n, level, contrast);
    s.detected = s.evidence >= kEnoughEvidence && contrast >= kLeastContrast && long_enough(s, n, energies.hop_s) &&
                 static_cast<double>(s.rough.begin) < s.cue_end;
}

// The run without a tail that reaches far into rest, as a slow release has it; the whole run where it is all tail.
TimeSpan near_cues(TimeSpan run, TimeSpan window) {
    constexpr double kBefore_s = 0.3, kAfter_s = 0.5;
    const TimeSpan part{std::max(run.begin_s, window.begin_s - kBefore_s),
                        std::min(run.end_s, window.end_s + kAfter_s)};
    return part.length_s() >= std::min(kShortest_s, 0.5 * run.length_s()) ? part : run;
}

// Drops what resting activity that wanders explains as well.
void compare_with_rest(std::vector<Stretch>& stretches, const BlockEnergies& e, const SessionRest& rest,
                       std::span<const TimeSpan> windows) {
    const RelativeEnergy relative(rest);
    PowerSteps steps{e.hop_s, e.origin_s, {}};
    for (std::size_t b = 0; b < e.size(); ++b)
        steps.power.push_back(e.valid[b] ? relative.of(e.at(b)) : std::numeric_limits<double>::quiet_NaN());
    const RestVariation variation = rest_variation(steps, windows);
    const auto seconds = [&](std::size_t block) { return e.origin_s + static_cast<double>(block) * e.hop_s; };
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        Stretch& s = stretches[i];
        const TimeSpan run{seconds(s.rough.begin), seconds(s.rough.end)};
        s.above_rest = s.evidence >= kEnoughEvidence ? above_rest(steps, variation, near_cues(run, windows[i]), run)
                                                     : above_rest(steps, variation, windows[i], windows[i]);
        s.detected = s.detected && s.above_rest;
    }
}

// The block amid the quietest tenth of a second in a range.
std::size_t quietest_block(const BlockEnergies& e, const SessionRest& rest, BlockRange range) {
    constexpr std::size_t kReach = 5;
    const RelativeEnergy relative(rest);
    std::size_t quietest = range.begin;
    double least = 0.0;
    for (std::size_t b = range.begin; b < range.end; ++b) {
        double sum = 0.0;
        for (std::size_t i = b - std::min(b, kReach); i < std::min(e.size(), b + kReach); ++i)
            sum += e.valid[i] ? relative.of(e.at(i)) : 0.0;
        if (b == range.begin || sum < least) least = sum, quietest = b;
    }
    return quietest;
}

// Runs of neighbours that overlap each took in a piece of the other: they are cut where it is quietest between them.
void part_neighbours(std::vector<Stretch>& stretches, const BlockEnergies& e, const SessionRest& rest) {
    constexpr double kIntoWork_s = 0.3;  // the quietest block may lie this long after the next cue
    const Frame frame{e.hop_s, e.size()};
    for (std::size_t i = 1; i < stretches.size(); ++i) {
        Stretch& before = stretches[i - 1];
        Stretch& after = stretches[i];
        if (!before.detected || !after.detected || before.rough.end < after.rough.begin) continue;
        const double end = std::min(after.cue_begin + frame.hops(kIntoWork_s), 0.5 * (after.cue_begin + after.cue_end));
        const std::size_t cut = quietest_block(e, rest, frame.range(before.cue_end, end));
        before.rough.end = std::max(before.rough.begin + 1, std::min(before.rough.end, cut));
        after.rough.begin = std::min(after.rough.end - 1, std::max(after.rough.begin, cut));
    }
    for (Stretch& s : stretches)
        s.detected = s.detected && long_enough(s, static_cast<double>(s.rough.size()), e.hop_s);
}

BlockRange clipped(BlockRange r, std::size_t begin, std::size_t end) {
    r.begin = std::clamp(r.begin, begin, end);
    r.end = std::clamp(r.end, r.begin, end);
    return r;
}

// What is left of the session between the neighbours' contractions.
BlockRange free_room(std::span<const Stretch> all, std::size_t i, std::size_t blocks) {
    BlockRange room{0, blocks};
    for (std::size_t j = 0; j < all.size(); ++j) {
        if (j < i && all[j].detected) room.begin = std::max(room.begin, all[j].rough.end);
        if (j > i && all[j].detected) room.end = std::min(room.end, all[j].rough.begin);
    }
    return room;
}

void set_plateaus(Stretch& s, double begin, double end, const Frame& frame) {
    const double middle_begin = static_cast<double>(s.rough.begin) + 0.35 * static_cast<double>(s.rough.size());
    const double middle_end = static_cast<double>(s.rough.begin) + 0.75 * static_cast<double>(s.rough.size());
    if (end - begin < frame.hops(0.15)) begin = std::min(begin, middle_begin), end = std::max(begin + 1.0, middle_end);
    s.rise_plateau = frame.range(begin, std::min(end, begin + frame.hops(kPlateau_s)));
    s.fall_plateau = frame.range(std::max(begin, end - frame.hops(kPlateau_s)), end);
}

void set_searches(Stretch& s, const BlockRange& room, const Frame& frame) {
    constexpr double kBefore_s = 1.3, kCue_s = 0.5, kInto_s = 1.0;
    const double begin = static_cast<double>(s.rough.begin), end = static_cast<double>(s.rough.end);
    const double middle = 0.5 * (begin + end);
    s.onset_search = clipped(frame.range(std::min(begin - frame.hops(kBefore_s), s.cue_begin - frame.hops(kCue_s)),
                                         std::min(middle, std::max(begin, s.cue_begin) + frame.hops(kInto_s))),
                             std::max(room.begin, s.bounds.begin), s.bounds.end);
    s.offset_search = clipped(frame.range(std::max(middle, std::min(end, s.cue_end) - frame.hops(kInto_s)),
                                          std::max(end + frame.hops(kBefore_s), s.cue_end + frame.hops(kInto_s))),
                              s.bounds.begin, std::min(room.end, s.bounds.end));
}

void set_rest(Stretch& s, double before_end, double after_begin, const BlockRange& room, const Frame& frame) {
    s.before = clipped(frame.range(before_end - frame.hops(kRest_s), before_end), room.begin, room.end);
    s.after = clipped(frame.range(after_begin, after_begin + frame.hops(kRest_s)), room.begin, room.end);
    s.onset_near = static_cast<double>(s.before.end);
    s.offset_near = static_cast<double>(s.after.begin);
}

// What may belong to each cue: a share of the rest before and after it.
std::vector<Stretch> bounded_by_cues(const BlockEnergies& e, std::span<const TimeSpan> windows) {
    const Frame frame{e.hop_s, e.size()};
    std::vector<Stretch> stretches(windows.size());
    for (std::size_t i = 0; i < windows.size(); ++i) {
        Stretch& s = stretches[i];
        s.cue_begin = (windows[i].begin_s - e.origin_s) / e.hop_s;
        s.cue_end = (windows[i].end_s - e.origin_s) / e.hop_s;
        double before_s = kEarliest_s, after_s = kLatest_s;
        if (i > 0) before_s = std::min(before_s, kEarlyShare * (windows[i].begin_s - windows[i - 1].end_s));
        if (i + 1 < windows.size())
            after_s =
                std::min(after_s, std::max(kLateLeast_s, kLateShare * (windows[i + 1].begin_s - windows[i].end_s)));
        s.bounds = frame.range(s.cue_begin - frame.hops(before_s), std::min(s.cue_end + frame.hops(after_s), s.cue_begin + frame.hops(kLongest_s)));
    }
    return stretches;
}

// For the first pass: rest before the cue and a second after the other, or next to the run where there is no room for
// that.
void set_first_ranges(Stretch& s, const BlockRange& room, const Frame& frame) {
    const double begin = static_cast<double>(s.rough.begin), end = static_cast<double>(s.rough.end);
    set_plateaus(s, begin + 0.35 * (end - begin), begin + 0.75 * (end - begin), frame);
    set_searches(s, room, frame);
    const double before_end = std::min(s.cue_begin - frame.hops(0.05), begin - frame.hops(0.1));
    set_rest(s, before_end, std::max(s.cue_end + frame.hops(1.0), end + frame.hops(0.2)), room, frame);
    if (static_cast<double>(s.after.size()) < frame.hops(0.3))
        set_rest(s, before_end, end + frame.hops(0.1), room, frame);
}

}  // namespace

std::vector<Stretch> find_stretches(const BlockEnergies& e, const SessionRest& rest,
                                    std::span<const TimeSpan> windows) {
    const Frame frame{e.hop_s, e.size()};
    std::vector<Stretch> stretches = bounded_by_cues(e, windows);
    const Detector detector{e, rest, session_activity(e, rest, stretches)};
    each_side_by_side(stretches.size(), [&](std::size_t i) { detector.look(stretches[i]); });
    compare_with_rest(stretches, e, rest, windows);
    part_neighbours(stretches, e, rest);
    for (std::size_t i = 0; i < stretches.size(); ++i)
        if (stretches[i].detected) set_first_ranges(stretches[i], free_room(stretches, i, e.size()), frame);
    return stretches;
}

void narrow_ranges(std::vector<Stretch>& stretches, std::span<const RoughTimes> times, double hop_s) {
    constexpr double kMargin_s = 0.03;
    const double margin = kMargin_s / hop_s;
    std::size_t blocks = 0;
    for (const Stretch& s : stretches) blocks = std::max({blocks, s.bounds.end, s.after.end, s.before.end});
    const Frame frame{hop_s, blocks};
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        Stretch& s = stretches[i];
        if (!s.detected) continue;
        const RoughTimes& t = times[i];
        BlockRange room{0, blocks};
        if (i > 0 && stretches[i - 1].detected) room.begin = frame.at(times[i - 1].offset_late + margin);
        if (i + 1 < stretches.size() && stretches[i + 1].detected)
            room.end = frame.at(times[i + 1].onset_early - margin);
        const double before_end = std::max(t.onset_early, std::min(s.onset_near, t.onset)) - margin;
        const double after_begin = std::min(t.offset_late, std::max(s.offset_near, t.offset)) + margin;
        set_rest(s, before_end, after_begin, room, frame);
        s.onset_near = t.onset;
        s.offset_near = t.offset;
        set_plateaus(s, t.onset + 1.05 * t.rise + margin, t.offset - 1.05 * t.fall - margin, frame);
    }
}

}  // namespace tracehold
