#include "cycles/onset_windows.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

namespace tracehold {

// Idea: before the rises are modelled, find out roughly where each contraction lies and whether there is one at all. Every block
// gets the log likelihood ratio of 'half the session's plateau power' against rest, and the contraction is the run of
// blocks with the largest sum around its cue (Kadane's recurrence: best sum ending here = max(0, best before) + score). The
// evidence is the likelihood ratio of that run with its own gain, so a run of noise stays below about 12 and a session of weak
// contractions does not need a threshold in microvolts. Rest, plateau and search ranges follow from the run and the cues.
// Limits: a contraction under a quarter of the resting power, or shorter than 0.2 s, is not told from restlessness.

namespace {

// Our choices, seconds unless said otherwise; the first four say what may belong to one cue.
constexpr double kEarliest_s = 1.5;       // before the contract cue
constexpr double kLatest_s = 3.0;         // after the relax cue
constexpr double kEarlyShare = 0.5;       // of the rest before the cue that may belong to it
constexpr double kLateShare = 0.8;        // of the rest after it, or kLateLeast_s where that is more
constexpr double kLateLeast_s = 0.7;
constexpr double kRest_s = 2.0;           // length of a rest window: longer is steadier, shorter is nearer
constexpr double kPlateau_s = 1.2;        // of a plateau, next to the ramp: longer is steadier, shorter follows a plateau that falls
constexpr double kShortestContraction_s = 0.2;
constexpr double kEnoughEvidence = 12.0;  // nats; about 1 chance run in 10^4 after the search for the best run
constexpr double kLeastContrast = 0.125;  // activity power over rest power
constexpr double kScoredShare = 1.0;      // of the session's activity; lower finds weaker contractions and takes creep for one
constexpr double kScoreLimit = 10.0;      // nats a block: a beat must not look like a contraction
constexpr double kStandOut = 4.5;         // standard deviations of a block's mean energy at rest

struct Frame {
    double hop_s;
    std::size_t blocks;
    std::size_t at(double hops) const {
        return static_cast<std::size_t>(std::clamp(std::ceil(hops), 0.0, static_cast<double>(blocks)));
    }
    BlockRange range(double begin, double end) const { return {at(begin), std::max(at(begin), at(end))}; }
    double hops(double seconds) const { return seconds / hop_s; }
};

// Mean energy over rest in units of its expectation.
double relative_energy(std::span<const float> energy, std::span<const double> level, std::span<const double> weight) {
    double sum = 0.0, weights = 0.0;
    for (std::size_t k = 0; k < energy.size(); ++k) {
        sum += weight[k] * static_cast<double>(energy[k]) / level[k];
        weights += weight[k];
    }
    return sum / weights;
}

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

std::vector<std::size_t> rest_blocks(const BlockEnergies& e, std::span<const TimeSpan> windows) {
    constexpr double kBefore_s = 0.3, kAfter_s = 1.0;  // left out around the cues
    std::vector<std::size_t> out;
    std::size_t w = 0;
    for (std::size_t b = 0; b < e.size(); ++b) {
        const double t = e.origin_s + static_cast<double>(b) * e.hop_s;
        while (w < windows.size() && t >= windows[w].end_s + kAfter_s) ++w;
        const bool inside = w < windows.size() && t >= windows[w].begin_s - kBefore_s;
        if (e.valid[b] && !inside) out.push_back(b);
    }
    return out;
}

double total(std::span<const float> energy) { return std::accumulate(energy.begin(), energy.end(), 0.0); }

std::vector<double> mean_energy(const BlockEnergies& e, std::span<const std::size_t> blocks) {
    std::vector<double> mean(e.bins, 0.0);
    for (const std::size_t b : blocks)
        for (std::size_t k = 0; k < e.bins; ++k) mean[k] += static_cast<double>(e.at(b)[k]);
    for (double& m : mean) m /= std::max<double>(1.0, static_cast<double>(blocks.size()));
    return mean;
}

// The quietest fifth of all blocks: what stands in for rest where the session has none to speak of.
std::vector<std::size_t> quiet_blocks(const BlockEnergies& e) {
    std::vector<std::size_t> all;
    for (std::size_t b = 0; b < e.size(); ++b)
        if (e.valid[b]) all.push_back(b);
    std::stable_sort(all.begin(), all.end(), [&](auto a, auto b) { return total(e.at(a)) < total(e.at(b)); });
    all.resize(all.size() / 5);
    std::sort(all.begin(), all.end());
    return all;
}

std::vector<double> medians(const BlockEnergies& e, std::span<const std::size_t> blocks) {
    constexpr double kMedianOfMean = 0.6931471805599453;  // of the squared modulus of a Gaussian pair with mean 1
    std::vector<double> out;
    for (std::size_t k = 0; k < e.bins; ++k) {
        std::vector<double> values;
        for (const std::size_t b : blocks) values.push_back(static_cast<double>(e.at(b)[k]));
        out.push_back(median_of(std::move(values)) / kMedianOfMean);
    }
    return out;
}

// Heavy tails: variance of energy over squared mean is 1 for Gaussian rest (two halves of a pair), more with beats in it. Taken
// per 2-s run of rest blocks and then the median run, so that one burst in a session costs nothing.
std::vector<double> bin_weights(const BlockEnergies& e, std::span<const std::size_t> blocks) {
    constexpr std::size_t kRun = 200;
    constexpr double kTolerated = 1.5;
    std::vector<double> weights(e.bins, 1.0);
    for (std::size_t k = 0; k < e.bins && blocks.size() >= kRun; ++k) {
        std::vector<double> ratios;
        for (std::size_t from = 0; from + kRun <= blocks.size(); from += kRun) {
            double sum = 0.0, squares = 0.0;
            for (std::size_t i = from; i < from + kRun; ++i) {
                const double x = static_cast<double>(e.at(blocks[i])[k]);
                sum += x;
                squares += x * x;
            }
            ratios.push_back(sum > 0.0 ? squares * kRun / (sum * sum) - 1.0 : 1.0);
        }
        const double r = median_of(std::move(ratios));
        if (r > kTolerated) weights[k] = 1.0 / (r * r);
    }
    return weights;
}

// What one block says for activity of a given size against rest.
double block_score(std::span<const float> energy, std::span<const double> rest, std::span<const double> activity,
                   std::span<const double> weight) {
    double sum = 0.0;
    for (std::size_t k = 0; k < energy.size(); ++k) {
        const double v = rest[k] + activity[k];
        sum += 0.5 * weight[k] * (static_cast<double>(energy[k]) * (1.0 / rest[k] - 1.0 / v) - std::log(v / rest[k]));
    }
    return std::clamp(sum, -kScoreLimit, kScoreLimit);
}

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

std::vector<double> mean_energy(const BlockEnergies& e, BlockRange range) {
    std::vector<std::size_t> blocks;
    for (std::size_t b = range.begin; b < range.end; ++b)
        if (e.valid[b]) blocks.push_back(b);
    return mean_energy(e, blocks);
}

// The session's activity: the mean over the stronger half of the windows, so that missed ones do not count.
std::vector<double> session_activity(const BlockEnergies& e, const SessionRest& rest, std::span<const Stretch> stretches) {
    std::vector<std::pair<double, std::vector<double>>> means;
    for (const Stretch& s : stretches) {
        const double length = s.cue_end - s.cue_begin;
        const Frame frame{e.hop_s, e.size()};
        std::vector<double> mean = mean_energy(e, frame.range(s.cue_begin + 0.4 * length, s.cue_begin + 0.8 * length));
        std::vector<float> as_block(mean.begin(), mean.end());
        means.emplace_back(relative_energy(as_block, rest.level, rest.weight), std::move(mean));
    }
    std::stable_sort(means.begin(), means.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    means.resize((means.size() + 1) / 2);
    std::vector<double> activity(e.bins, 0.0);
    for (const auto& [power, mean] : means)
        for (std::size_t k = 0; k < e.bins; ++k) activity[k] += (mean[k] - rest.level[k]) / static_cast<double>(means.size());
    for (std::size_t k = 0; k < e.bins; ++k) activity[k] = std::max(activity[k], 0.001 * rest.level[k]);
    return activity;
}

// Rest near this cue in units of the session's: bursts left out, so an early onset does little.
double local_rest(const BlockEnergies& e, const SessionRest& rest, BlockRange range) {
    constexpr std::size_t kEnough = 30;
    double sum = 0.0;
    std::size_t n = 0;
    std::vector<double> values;
    for (std::size_t b = range.begin; b < range.end; ++b)
        if (rest.is_rest[b]) values.push_back(relative_energy(e.at(b), rest.level, rest.weight));
    if (values.size() < kEnough) return 1.0;
    const double limit = 2.5 * median_of(values);
    for (const double v : values)
        if (v <= limit) sum += v, ++n;
    return std::clamp(sum / static_cast<double>(n), 0.2, 5.0);
}

struct Detector {
    const BlockEnergies& energies;
    const SessionRest& rest;
    std::vector<double> activity;

    void look(Stretch& s) const;
    double evidence(std::span<const double> mean, double n, std::span<const double> level, double& contrast) const;
};

// Largest log likelihood ratio over the gain of the session's activity, and the contrast at that gain.
double Detector::evidence(std::span<const double> mean, double n, std::span<const double> level, double& contrast) const {
    double best = 0.0;
    contrast = 0.0;
    for (double log_gain = -4.0; log_gain <= 4.0; log_gain += 0.1) {
        double sum = 0.0, ratio = 0.0, weights = 0.0;
        for (std::size_t k = 0; k < mean.size(); ++k) {
            const double a = std::exp(log_gain) * activity[k];
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
    const BlockRange near = frame.range(std::min(s.cue_begin, static_cast<double>(s.bounds.begin)) - frame.hops(kRest_s),
                                        s.cue_begin - frame.hops(0.1));
    const double local = local_rest(energies, rest, near);
    std::vector<double> level, half;
    for (std::size_t k = 0; k < energies.bins; ++k) {
        level.push_back(local * rest.level[k]);
        half.push_back(kScoredShare * activity[k]);
    }
    std::vector<double> scores;
    for (std::size_t b = s.bounds.begin; b < s.bounds.end; ++b)
        scores.push_back(energies.valid[b] ? block_score(energies.at(b), level, half, rest.weight) : 0.0);
    s.rough = best_run(scores, s.bounds.begin);
    const double n = static_cast<double>(std::count(energies.valid.begin() + static_cast<std::ptrdiff_t>(s.rough.begin),
                                                    energies.valid.begin() + static_cast<std::ptrdiff_t>(s.rough.end), 1));
    double contrast = 0.0;
    if (n > 0.0) s.evidence = evidence(mean_energy(energies, s.rough), n, level, contrast);
    s.detected = s.evidence >= kEnoughEvidence && contrast >= kLeastContrast &&
                 n * energies.hop_s >= kShortestContraction_s && static_cast<double>(s.rough.begin) < s.cue_end;
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

}  // namespace

BlockRange mirrored(BlockRange range, std::size_t blocks) { return {blocks - range.end, blocks - range.begin}; }

bool stands_out(std::span<const float> energy, std::span<const double> level, std::span<const double> weight) {
    const double weights = std::accumulate(weight.begin(), weight.end(), 0.0);
    return relative_energy(energy, level, weight) > 1.0 + kStandOut / std::sqrt(std::max(weights, 1.0));
}

SessionRest session_rest(const BlockEnergies& e, std::span<const TimeSpan> windows) {
    constexpr std::size_t kEnough = 50;          // blocks
    constexpr double kMeanOfQuietest = 0.65;     // of the quietest fifth of blocks over the mean of all, nine bins
    constexpr double kLeast = 1e-6;              // of the session's mean: where rest is digital silence
    SessionRest rest{{}, std::vector<double>(e.bins, 1.0), std::vector<unsigned char>(e.size(), 0)};
    std::vector<std::size_t> blocks = rest_blocks(e, windows);
    for (const std::size_t b : blocks) rest.is_rest[b] = 1;
    const bool quietest = blocks.size() < kEnough;
    if (quietest) blocks = quiet_blocks(e);
    if (blocks.empty()) return rest;
    if (!quietest) rest.weight = bin_weights(e, blocks);
    const double least = kLeast * std::accumulate(e.energy.begin(), e.energy.end(), 0.0) / static_cast<double>(e.size());
    std::vector<double> level = medians(e, blocks);
    for (double& l : level) l = std::max({l, least, 1e-30});
    std::erase_if(blocks, [&](std::size_t b) { return stands_out(e.at(b), level, rest.weight); });
    rest.level = blocks.size() < kEnough / 5 ? level : mean_energy(e, blocks);
    for (double& l : rest.level) l = std::max({quietest ? l / kMeanOfQuietest : l, least, 1e-30});
    return rest;
}

std::vector<Stretch> find_stretches(const BlockEnergies& e, const SessionRest& rest, std::span<const TimeSpan> windows) {
    const Frame frame{e.hop_s, e.size()};
    std::vector<Stretch> stretches(windows.size());
    for (std::size_t i = 0; i < windows.size(); ++i) {
        Stretch& s = stretches[i];
        s.cue_begin = (windows[i].begin_s - e.origin_s) / e.hop_s;
        s.cue_end = (windows[i].end_s - e.origin_s) / e.hop_s;
        double begin = s.cue_begin - frame.hops(kEarliest_s), end = s.cue_end + frame.hops(kLatest_s);
        if (i > 0) begin = std::max(begin, s.cue_begin - kEarlyShare * frame.hops(windows[i].begin_s - windows[i - 1].end_s));
        if (i + 1 < windows.size())
            end = std::min(end, s.cue_end + std::max(kLateShare * frame.hops(windows[i + 1].begin_s - windows[i].end_s), frame.hops(kLateLeast_s)));
        s.bounds = frame.range(begin, end);
    }
    const Detector detector{e, rest, session_activity(e, rest, stretches)};
    for (Stretch& s : stretches) detector.look(s);
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        Stretch& s = stretches[i];
        if (!s.detected) continue;
        const BlockRange room = free_room(stretches, i, e.size());
        const double begin = static_cast<double>(s.rough.begin), end = static_cast<double>(s.rough.end);
        set_plateaus(s, begin + 0.35 * (end - begin), begin + 0.75 * (end - begin), frame);
        set_searches(s, room, frame);
        set_rest(s, std::min(s.cue_begin - frame.hops(0.05), begin - frame.hops(0.1)),
                 std::max(s.cue_end + frame.hops(1.0), end + frame.hops(0.2)), room, frame);
        if (static_cast<double>(s.after.size()) < frame.hops(0.3))
            set_rest(s, static_cast<double>(s.before.end), end + frame.hops(0.1), room, frame);
    }
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
        if (i + 1 < stretches.size() && stretches[i + 1].detected) room.end = frame.at(times[i + 1].onset_early - margin);
        const double before_end = std::max(t.onset_early, std::min(s.onset_near, t.onset)) - margin;
        const double after_begin = std::min(t.offset_late, std::max(s.offset_near, t.offset)) + margin;
        set_rest(s, before_end, after_begin, room, frame);
        s.onset_near = t.onset;
        s.offset_near = t.offset;
        set_plateaus(s, t.onset + 1.05 * t.rise + margin, t.offset - 1.05 * t.fall - margin, frame);
    }
}

}  // namespace tracehold
