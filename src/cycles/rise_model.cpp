#include "cycles/rise_model.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "cycles/wide_math.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Idea: during a rise of length d from t the activity has the amplitude s((x - t) / d), so a block at b sees the power
//     V[k] = N[k] + q^2 A[k],   q^2 = integral over (-1, 1) of cos^2(pi x / 2) p((b + x - t) / d),   p = s^2
// (the squared sine window weighs the ramp; of an exported amplitude, the recorder's own). Where the amplitude goes from
// rest to plateau by s, with r the share of rest in the plateau's amplitude, (r + (1 - r) s)^2 = r^2 + (1 - r^2) p gives
// p = (2 r s + (1 - r) s^2) / (1 + r). The block's energies have the log likelihood T(q) = -1/2 sum v (log V + E / V). q is
// rounded to one of 96 levels, so that one table T[level][block] serves every length, shape and start: the likelihood of a
// rise is a walk through the table, and all starts of one length are one row operation per block of the ramp. Most starts
// are known beforehand not to be likely: no block of a ramp gains more than the best level in a band about its own, and of
// those there are sums over blocks, so that a bound takes two values a band where the walk takes one a block. Each block may
// speak against a level by kStrongestBlock at most: a beat or a spike must not outvote a second of quiet. Limits: energies
// of neighbouring blocks and bins are taken as independent; the posterior tempers for it.

namespace {

constexpr double kExponentialRate = 3.0;  // of the exponential shape, our choice: 95 % of the way at u = 1
constexpr double kLevelPower = 1.5;       // finer steps where small: there a step changes the likelihood most
constexpr double kCreepFloor = 0.2;       // share of rest that creep leaves at least
constexpr float kStrongestBlock = 12.0F;  // nats; lower forgives bursts, higher trusts single blocks
constexpr int kAbruptPhases = 4;
constexpr double kShortestRamp_s = 0.05;  // from here on lengths grow by kLengthStep
constexpr double kLengthStep = 1.12;
constexpr int kLongRamps = 32;

std::vector<double> make_lengths() {
    std::vector<double> lengths{0.0, 0.02, 0.03, 0.04};
    for (int i = 0; i < kLongRamps; ++i) lengths.push_back(kShortestRamp_s * std::pow(kLengthStep, i));
    return lengths;
}

// Starts are told apart more finely where the rise is short: 2.5, 5 and 10 ms.
int phases_of(double length_s) { return length_s < 0.07 ? kAbruptPhases : length_s < 0.3 ? 2 : 1; }

// Midpoints of what a block reaches and what its view weighs there, 1 on average.
struct WindowPoint {
    double x = 0.0, weight = 0.0;
};

// Of a triangle over (-1, 1) the part below u.
double triangle_below(double u) {
    u = std::clamp(u, -1.0, 1.0);
    return 0.5 + u - std::copysign(0.5 * u * u, u);
}

double view_at(BlockView view, double x) {
    if (view.slope <= 0.0) return 1.0 + std::cos(std::numbers::pi * x);
    if (view.box <= 0.0) return 1.0 - std::abs(x) / view.slope;
    return triangle_below((x + 0.5 * view.box) / view.slope) - triangle_below((x - 0.5 * view.box) / view.slope);
}

std::vector<WindowPoint> window_points(BlockView view, int points) {
    std::vector<WindowPoint> out;
    double sum = 0.0;
    for (int i = 0; i < points; ++i) {
        const double x = view.reach() * ((2.0 * i + 1.0) / points - 1.0);
        out.push_back({x, view_at(view, x)});
        sum += out.back().weight / points;
    }
    for (WindowPoint& point : out) point.weight /= sum;
    return out;
}

// Midpoint rule for the window-weighted means of the ramp around a block centre.
SeenRamp::Block seen_by_block(std::span<const WindowPoint> points, RiseShape shape, double from_onset, double length) {
    SeenRamp::Block sum;
    for (const auto& [x, weight] : points) {
        const double past = from_onset + x;
        const double s = length > 0.0 ? rise_amplitude(shape, past / length) : (past > 0.0 ? 1.0 : 0.0);
        sum.amplitude += weight * s;
        sum.power += weight * s * s;
    }
    const auto n = static_cast<double>(points.size());
    return {sum.amplitude / n, sum.power / n};
}

// The powers at which one level is as near as the next.
std::array<double, kLevels - 1> make_level_bounds() {
    std::array<double, kLevels - 1> bounds{};
    for (std::size_t j = 0; j < bounds.size(); ++j) bounds[j] = std::pow((static_cast<double>(j) + 0.5) / (kLevels - 1), 2.0 * kLevelPower);
    return bounds;
}

// Inverse variances and log terms of every level for one state of rest, laid out for a loop over levels.
struct LevelTerms {
    std::vector<float> inverse;  // [bin][level], times weight / 2
    std::array<float, kLevels> log_term{};
};

std::array<double, kLevels> make_level_powers() {
    std::array<double, kLevels> powers{};
    for (int j = 0; j < kLevels; ++j) powers[static_cast<std::size_t>(j)] = level_amplitude(j) * level_amplitude(j);
    return powers;
}

// Bins that count alike. Of sixteen levels at once, so that their products stay in registers; log_term: of each level, is added to.
TRACEHOLD_WIDE void add_bins(const SideLevels& s, double creep, std::size_t first, std::size_t end, const std::array<double, kLevels>& powers,
                             float* inverse, double* log_term) {
    typedef float FourFloats __attribute__((vector_size(16), aligned(4), may_alias));
    constexpr std::size_t kFours = 4;
    const double half_weight = 0.5 * s.weight[first];
    for (std::size_t j = 0; j < kLevels; j += 4 * kFours) {
        FourDoubles mantissa[kFours], exponent[kFours];
        for (std::size_t i = 0; i < kFours; ++i) exponent[i] = FourDoubles{}, mantissa[i] = exponent[i] + 1.0;
        for (std::size_t k = first; k < end; ++k) {
            const double rest = std::max(kCreepFloor * s.rest[k], s.rest[k] + creep * s.creep[k]);
            for (std::size_t i = 0; i < kFours; ++i) {
                const FourDoubles v = rest + four_at(&powers[j + 4 * i]) * s.activity[k], half_over = half_weight / v;
                reinterpret_cast<FourFloats&>(inverse[k * kLevels + j + 4 * i]) = __builtin_convertvector(half_over, FourFloats);
                mantissa[i] *= v;
                split_off_exponent(mantissa[i], exponent[i]);
            }
        }
        for (std::size_t i = 0; i < kFours; ++i) {
            take_log(mantissa[i]);
            four_at(log_term + j + 4 * i) += half_weight * (mantissa[i] + exponent[i] * std::numbers::ln2);
        }
    }
}

void make_terms(const SideLevels& s, double creep, LevelTerms& out) {
    static const std::array<double, kLevels> powers = make_level_powers();
    const std::size_t bins = s.rest.size();
    out.inverse.resize(bins * kLevels);
    std::array<double, kLevels> log_term{};
    for (std::size_t k = 0, end = 0; k < bins; k = end) {
        while (end < bins && s.weight[end] == s.weight[k]) ++end;
        add_bins(s, creep, k, end, powers, out.inverse.data(), log_term.data());
    }
    for (std::size_t j = 0; j < kLevels; ++j) out.log_term[j] = static_cast<float>(log_term[j]);
}

using LevelColumn = std::array<float, kLevels>;

// Less that at level 0.
TRACEHOLD_WIDE void fill_column(const LevelTerms& terms, std::span<const float> energy, LevelColumn& column) {
    constexpr std::size_t kEights = kLevels / 8;  // their sums fit into the registers
    EightFloats sums[kEights];
    for (std::size_t i = 0; i < kEights; ++i) sums[i] = -eight_at(&terms.log_term[8 * i]);
    for (std::size_t k = 0; k < energy.size(); ++k) {
        const float* const inverse = &terms.inverse[k * kLevels];
        for (std::size_t i = 0; i < kEights; ++i) sums[i] -= energy[k] * eight_at(inverse + 8 * i);
    }
    EightFloats most = sums[0];
    for (std::size_t i = 1; i < kEights; ++i) most = most < sums[i] ? sums[i] : most;
    float top = most[0];
    for (std::size_t i = 1; i < 8; ++i) top = std::max(top, most[i]);
    const float floor = top - kStrongestBlock, at_rest = std::max(sums[0][0], floor);
    for (std::size_t i = 0; i < kEights; ++i) eight_at(&column[8 * i]) = (sums[i] < floor ? floor - EightFloats{} : sums[i]) - at_rest;
}

// Eight columns side by side become rows of the table, eight values each.
TRACEHOLD_WIDE void turn_to_rows(std::span<const LevelColumn, 8> columns, float* rows, std::size_t stride) {
    for (std::size_t j = 0; j < kLevels; j += 8) {
        EightFloats in[8], pairs[8], fours[8];
        for (std::size_t i = 0; i < 8; ++i) in[i] = eight_at(&columns[i][j]);
        for (std::size_t i = 0; i < 8; i += 2) {
            pairs[i] = __builtin_shufflevector(in[i], in[i + 1], 0, 8, 1, 9, 4, 12, 5, 13);
            pairs[i + 1] = __builtin_shufflevector(in[i], in[i + 1], 2, 10, 3, 11, 6, 14, 7, 15);
        }
        for (std::size_t i = 0; i < 8; i += 4) {
            for (std::size_t k = 0; k < 2; ++k) {
                fours[i + 2 * k] = __builtin_shufflevector(pairs[i + k], pairs[i + k + 2], 0, 1, 8, 9, 4, 5, 12, 13);
                fours[i + 2 * k + 1] = __builtin_shufflevector(pairs[i + k], pairs[i + k + 2], 2, 3, 10, 11, 6, 7, 14, 15);
            }
        }
        for (std::size_t i = 0; i < 4; ++i) {
            eight_at(rows + (j + i) * stride) = __builtin_shufflevector(fours[i], fours[i + 4], 0, 1, 2, 3, 8, 9, 10, 11);
            eight_at(rows + (j + i + 4) * stride) = __builtin_shufflevector(fours[i], fours[i + 4], 4, 5, 6, 7, 12, 13, 14, 15);
        }
    }
}

double creep_at(const SideLevels& s, std::size_t block) {
    const double distance = static_cast<double>(block) - s.anchor;
    return s.creep_level + s.creep_slope * std::min(distance, s.creep_until);
}

// The sum over r of the row levels[r] from r on, and the plateau behind, of Eights times eight starts: few enough to keep
// their sums in registers. Gives back the largest.
template <std::size_t Eights>
[[gnu::always_inline]] inline float add_some(const float* gain, std::size_t stride, std::span<const unsigned char> levels, const float* after, float* out) {
    EightFloats sums[Eights];
    for (std::size_t i = 0; i < Eights; ++i) sums[i] = eight_at(after + 8 * i);
    for (std::size_t r = 0; r < levels.size(); ++r) {
        const float* row = gain + levels[r] * stride + r;
        for (std::size_t i = 0; i < Eights; ++i) sums[i] += eight_at(row + 8 * i);
    }
    EightFloats most = sums[0];
    for (std::size_t i = 0; i < Eights; ++i) {
        most = most < sums[i] ? sums[i] : most;
        eight_at(out + 8 * i) = sums[i];
    }
    return largest_of_eight(most);
}

TRACEHOLD_WIDE float add_rows(const LevelTable& table, std::span<const unsigned char> levels, std::size_t begin, std::span<float> out) {
    const float* const gain = table.gain.data() + begin;
    const float* const after = table.plateau_from.data() + levels.size() + begin;
    float most = -std::numeric_limits<float>::infinity();
    std::size_t i = 0;
    for (; i + 32 <= out.size(); i += 32) most = std::max(most, add_some<4>(gain + i, table.stride, levels, after + i, &out[i]));
    for (; i + 8 <= out.size(); i += 8) most = std::max(most, add_some<1>(gain + i, table.stride, levels, after + i, &out[i]));
    for (; i < out.size(); ++i) {
        out[i] = after[i];
        for (std::size_t r = 0; r < levels.size(); ++r) out[i] += gain[levels[r] * table.stride + r + i];
        most = std::max(most, out[i]);
    }
    return most;
}

constexpr std::size_t kBandLevels = 24, kBands = kLevels / kBandLevels;
constexpr std::size_t kAllLevels = kBands;  // one band more, of all levels, which is near enough for
constexpr std::size_t kFewBlocks = 40;      // ramps shorter than this

// The largest gain among some levels, column by column.
TRACEHOLD_WIDE void fill_best(const float* gain, std::size_t stride, std::size_t levels, float* best) {
    for (std::size_t i = 0; i < stride; i += 8) {
        EightFloats most = eight_at(gain + i);
        for (std::size_t j = 1; j < levels; ++j) {
            const EightFloats here = eight_at(gain + j * stride + i);
            most = most < here ? here : most;
        }
        eight_at(best + i) = most;
    }
}

// In: gains, with columns in whole eights.
void fill_best_before(LevelTable& table) {
    const std::size_t row = table.stride + 1;
    std::vector<float>& best = table.best_before;
    best.resize((kBands + 1) * row);
    for (std::size_t band = 0; band < kBands; ++band)
        fill_best(&table.gain[band * kBandLevels * table.stride], table.stride, kBandLevels, &best[band * row]);
    std::array<double, kBands + 1> sums{};
    for (std::size_t i = 0; i < row; ++i) {
        float& of_all = best[kAllLevels * row + i] = best[i];
        for (std::size_t band = 1; band < kBands; ++band) of_all = std::max(of_all, best[band * row + i]);
        for (std::size_t band = 0; band <= kBands; ++band)
            sums[band] += static_cast<double>(std::exchange(best[band * row + i], static_cast<float>(sums[band])));
    }
}

// The blocks of a ramp within one band: their bound for the first start is the difference of the two.
struct BandStretch {
    const float* from;
    const float* to;
};

// Raises each bound to the largest of its starts.
TRACEHOLD_WIDE void raise_to_bounds(std::span<const BandStretch> stretches, const float* after, std::span<float> bounds) {
    constexpr std::size_t kEights = kStartsAtOnce / 8;
    for (std::size_t c = 0; c < bounds.size(); ++c) {
        const std::size_t i = c * kStartsAtOnce;
        EightFloats sums[kEights];
        for (std::size_t k = 0; k < kEights; ++k) sums[k] = eight_at(after + i + 8 * k);
        for (const BandStretch& s : stretches)
            for (std::size_t k = 0; k < kEights; ++k) sums[k] += eight_at(s.to + i + 8 * k) - eight_at(s.from + i + 8 * k);
        for (std::size_t k = 1; k < kEights; ++k) sums[0] = sums[0] < sums[k] ? sums[k] : sums[0];
        bounds[c] = std::max(bounds[c], largest_of_eight(sums[0]));
    }
}

}  // namespace

double rise_amplitude(RiseShape shape, double u) {
    if (u <= 0.0) return 0.0;
    if (u >= 1.0) return 1.0;
    switch (shape) {
        case RiseShape::linear: return u;
        case RiseShape::cosine: return 0.5 - 0.5 * std::cos(std::numbers::pi * u);
        case RiseShape::exponential: return std::expm1(-kExponentialRate * u) / std::expm1(-kExponentialRate);
        case RiseShape::quadratic: return u * u;
        case RiseShape::growing: return std::expm1(kExponentialRate * u) / std::expm1(kExponentialRate);
    }
    return u;
}

double share_at_a_fifth(RiseShape shape) {
    constexpr double kFifth = 0.2;
    switch (shape) {
        case RiseShape::linear: return kFifth;
        case RiseShape::cosine: return std::acos(1.0 - 2.0 * kFifth) / std::numbers::pi;
        case RiseShape::exponential: return -std::log1p(kFifth * std::expm1(-kExponentialRate)) / kExponentialRate;
        case RiseShape::quadratic: return std::sqrt(kFifth);
        case RiseShape::growing: return std::log1p(kFifth * std::expm1(kExponentialRate)) / kExponentialRate;
    }
    return kFifth;
}

std::span<const double> rise_lengths_s() {
    static const std::vector<double> lengths = make_lengths();
    return lengths;
}

double level_amplitude(int level) { return std::pow(static_cast<double>(level) / (kLevels - 1), kLevelPower); }

std::vector<SeenRamp> see_ramps(RiseShape shape, double hop_s, BlockView view) {
    const std::vector<WindowPoint> fine = window_points(view, 32), coarse = window_points(view, 8);
    std::vector<SeenRamp> ramps;
    for (const double length_s : rise_lengths_s()) {
        SeenRamp ramp{length_s / hop_s, {}};
        const int phases = phases_of(length_s);
        for (int phase = 0; phase < phases; ++phase) {
            const double start = view.ahead() + static_cast<double>(phase) / phases;
            const std::vector<WindowPoint>& points = ramp.length < 8.0 * view.reach() ? fine : coarse;
            std::vector<SeenRamp::Block>& blocks = ramp.blocks.emplace_back();
            for (double block = 0.0; block < start + ramp.length + view.reach(); block += 1.0)
                blocks.push_back(seen_by_block(points, shape, block - start, ramp.length));
        }
        ramps.push_back(std::move(ramp));
    }
    return ramps;
}

std::vector<Ramp> make_ramps(std::span<const SeenRamp> seen, double rest_share) {
    static const std::array<double, kLevels - 1> bounds = make_level_bounds();
    std::vector<Ramp> ramps;
    for (const auto& [length, phases] : seen) {
        Ramp ramp{length, {}};
        for (const std::vector<SeenRamp::Block>& blocks : phases) {
            std::vector<unsigned char> levels(blocks.size());
            std::size_t level = 0;
            for (std::size_t b = 0; b < blocks.size(); ++b) {
                const double power = (2.0 * rest_share * blocks[b].amplitude + (1.0 - rest_share) * blocks[b].power) / (1.0 + rest_share);
                while (level < bounds.size() && power >= bounds[level]) ++level;
                levels[b] = static_cast<unsigned char>(level);
            }
            ramp.levels.push_back(std::move(levels));
        }
        ramps.push_back(std::move(ramp));
    }
    return ramps;
}

LevelTable make_level_table(const OrderedBlocks& energies, const SideLevels& levels, std::size_t first, std::size_t end,
                            std::size_t padding, LevelTable old) {
    std::array<LevelColumn, 8> columns{};
    padding += kStartsAtOnce;
    const std::size_t stride = (end - first + padding + columns.size() - 1) / columns.size() * columns.size();
    LevelTable table{first, end - first, stride, std::move(old.gain), std::move(old.plateau_from), std::move(old.best_before)};
    table.gain.resize(kLevels * table.stride);
    LevelTerms terms;
    double creep = creep_at(levels, first);
    make_terms(levels, creep, terms);
    for (std::size_t b = first; b < end; ++b) {
        LevelColumn& column = columns[(b - first) % columns.size()];
        if (energies.is_valid(b)) {
            if (creep_at(levels, b) != creep) make_terms(levels, creep = creep_at(levels, b), terms);
            fill_column(terms, energies.at(b), column);
        } else {
            column.fill(0.0F);
        }
        if (&column == &columns.back() || b + 1 == end) turn_to_rows(columns, &table.gain[(b - first) / columns.size() * columns.size()], table.stride);
    }
    for (std::size_t j = 0; j < kLevels; ++j) std::fill_n(&table.gain[j * table.stride + table.blocks], table.stride - table.blocks, 0.0F);
    table.plateau_from.assign(table.stride + 1, 0.0F);
    double sum = 0.0;
    for (std::size_t i = table.blocks; i-- > 0;) {
        sum += static_cast<double>(table.gain[(kLevels - 1) * table.stride + i]);
        table.plateau_from[i] = static_cast<float>(sum);
    }
    fill_best_before(table);
    return table;
}

float onset_log_likelihood(const LevelTable& table, const Ramp& ramp, int phase, std::span<float> out, std::size_t begin) {
    return add_rows(table, ramp.levels[static_cast<std::size_t>(phase)], begin, out);
}

void bound_log_likelihood(const LevelTable& table, const Ramp& ramp, std::span<float> bounds) {
    std::fill(bounds.begin(), bounds.end(), -std::numeric_limits<float>::infinity());
    std::size_t done = 0;  // blocks: a short ramp's bounds depend on nothing else
    for (const std::vector<unsigned char>& levels : ramp.levels) {
        std::array<BandStretch, kBands> stretches;
        std::size_t used = 0;
        const auto add = [&](std::size_t band, std::size_t from, std::size_t to) {
            const float* const best = &table.best_before[band * (table.stride + 1)];
            if (from < to) stretches[used++] = {best + from, best + to};
        };
        const bool few = levels.size() < kFewBlocks;
        if (few && std::exchange(done, levels.size()) == levels.size()) continue;
        if (few) add(kAllLevels, 0, levels.size());
        for (std::size_t band = 0, from = 0; !few && band < kBands; ++band) {
            const auto behind = std::lower_bound(levels.begin(), levels.end(), (band + 1) * kBandLevels);
            const auto to = static_cast<std::size_t>(behind - levels.begin());
            add(band, std::exchange(from, to), to);
        }
        raise_to_bounds({stretches.data(), used}, &table.plateau_from[levels.size()], bounds);
    }
}

}  // namespace tracehold
