#include "cycles/rise_model.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Idea: during a rise of length d from t the activity has the amplitude s((x - t) / d), so a block at b sees the power
//     V[k] = N[k] + q^2 A[k],   q^2 = integral over (-1, 1) of cos^2(pi x / 2) s((b + x - t) / d)^2
// (the squared sine window weighs the ramp), and its energies have the log likelihood T(q) = -1/2 sum v (log V + E /
// V). q is rounded to one of 96 levels, so that one table T[level][block] serves every length, shape and start: the
// likelihood of a rise is a walk through the table, and all starts of one length are one row operation per block of the
// ramp. Each block may speak against a level by kStrongestBlock at most: a beat or a spike must not outvote a second of
// quiet. Limits: energies of neighbouring blocks and bins are taken as independent; the posterior tempers for it.

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

// Midpoint rule for the window-weighted mean square of the ramp around a block centre.
double power_in_block(RiseShape shape, double from_onset, double length) {
    const int points = length < 8.0 ? 32 : 8;
    double sum = 0.0;
    for (int i = 0; i < points; ++i) {
        const double x = (2.0 * i + 1.0) / points - 1.0;
        const double weight = 1.0 + std::cos(std::numbers::pi * x);
        const double past = from_onset + x;
        const double s = length > 0.0 ? rise_amplitude(shape, past / length) : (past > 0.0 ? 1.0 : 0.0);
        sum += weight * s * s;
    }
    return sum / points;
}

unsigned char nearest_level(double power) {
    const double level = (kLevels - 1) * std::pow(std::sqrt(power), 1.0 / kLevelPower);
    return static_cast<unsigned char>(std::clamp(std::lround(level), 0L, static_cast<long>(kLevels - 1)));
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

// The logarithms of products, one a level: factors are multiplied as m 2^e with 1 <= m < 2, so that no product of a few
// hundred leaves the range of a double, and one logarithm a level is enough. In: positive factors, not below 1e-300.
struct LevelProducts {
    std::array<double, kLevels> mantissa, exponent;

    LevelProducts() { mantissa.fill(1.0), exponent.fill(0.0); }
    [[gnu::always_inline]] void multiply(std::size_t j, double factor) {
        constexpr std::uint64_t kMantissa = (std::uint64_t{1} << 52) - 1, kOne = std::uint64_t{1023} << 52;
        const auto bits = std::bit_cast<std::uint64_t>(factor);
        mantissa[j] *= std::bit_cast<double>((bits & kMantissa) | kOne);
        // The exponent's bits as the last ones of a number from 2^52 on: a conversion that wide instructions know.
        constexpr double kTwo52 = 4503599627370496.0;
        exponent[j] += std::bit_cast<double>((bits >> 52) | std::bit_cast<std::uint64_t>(kTwo52)) - (kTwo52 + 1023.0);
    }
    double log(std::size_t j) const { return std::log(mantissa[j]) + exponent[j] * std::numbers::ln2; }
};

TRACEHOLD_WIDE void add_bin(double rest, double activity, double half_weight, const std::array<double, kLevels>& powers,
                            float* inverse, LevelProducts& products) {
    std::array<double, kLevels> v;
    for (std::size_t j = 0; j < kLevels; ++j) v[j] = rest + powers[j] * activity;
    for (std::size_t j = 0; j < kLevels; ++j) inverse[j] = static_cast<float>(half_weight / v[j]);
    for (std::size_t j = 0; j < kLevels; ++j) products.multiply(j, v[j]);
}

LevelTerms make_terms(const SideLevels& s, double creep) {
    static const std::array<double, kLevels> powers = make_level_powers();
    const std::size_t bins = s.rest.size();
    LevelTerms terms{std::vector<float>(bins * kLevels), {}};
    std::array<double, kLevels> logs{};
    LevelProducts whole;  // of the bins that count whole: nearly always all
    for (std::size_t k = 0; k < bins; ++k) {
        const double rest = std::max(kCreepFloor * s.rest[k], s.rest[k] + creep * s.creep[k]);
        LevelProducts partly;
        const bool is_whole = s.weight[k] == 1.0;
        add_bin(rest, s.activity[k], 0.5 * s.weight[k], powers, &terms.inverse[k * kLevels], is_whole ? whole : partly);
        for (std::size_t j = 0; !is_whole && j < kLevels; ++j) logs[j] += 0.5 * s.weight[k] * partly.log(j);
    }
    for (std::size_t j = 0; j < kLevels; ++j) terms.log_term[j] = static_cast<float>(logs[j] + 0.5 * whole.log(j));
    return terms;
}

using LevelColumn = std::array<float, kLevels>;

// Less that at level 0.
TRACEHOLD_WIDE void fill_column(const LevelTerms& terms, std::span<const float> energy, LevelColumn& column) {
    constexpr std::size_t kPart = kLevels / 2;  // so few that their sums stay in registers
    for (std::size_t part = 0; part < kLevels; part += kPart) {
        float sums[kPart];
        for (std::size_t j = 0; j < kPart; ++j) sums[j] = -terms.log_term[part + j];
        for (std::size_t k = 0; k < energy.size(); ++k) {
            const float* inverse = &terms.inverse[k * kLevels + part];
            for (std::size_t j = 0; j < kPart; ++j) sums[j] -= energy[k] * inverse[j];
        }
        for (std::size_t j = 0; j < kPart; ++j) column[part + j] = sums[j];
    }
    const auto larger = [](float a, float b) { return a < b ? b : a; };  // by value: std::max keeps wide instructions away
    const float floor = largest_of(column, column[0], [](float v) { return v; }) - kStrongestBlock;
    const float at_rest = larger(column[0], floor);
    for (float& value : column) value = larger(value, floor) - at_rest;
}

// Columns of neighbouring blocks, turned into rows of the table together: one block alone would touch every row of it.
struct ColumnBatch {
    static constexpr std::size_t kMost = 16;
    std::array<LevelColumn, kMost> columns;
    std::size_t first = 0, count = 0;

    void put_down(LevelTable& table) {
        for (std::size_t j = 0; j < kLevels; ++j)
            for (std::size_t i = 0; i < count; ++i) table.gain[j * table.stride + first + i] = columns[i][j];
        first += count;
        count = 0;
    }
};

double creep_at(const SideLevels& s, std::size_t block) {
    const double distance = static_cast<double>(block) - s.anchor;
    return s.creep_level + s.creep_slope * std::min(distance, s.creep_until);
}

// The sum over r of the row levels[r] from r on, and the plateau behind.
TRACEHOLD_WIDE void add_rows(const LevelTable& table, std::span<const unsigned char> levels, std::span<float> out) {
    const float* after = table.plateau_from.data() + levels.size();
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = after[i];
    // Four rows a turn, so that the sums are fetched and stored a fourth as often; whole rows, which come from the cache in
    // one stream.
    const auto row = [&](std::size_t r) { return table.gain.data() + levels[r] * table.stride + r; };
    std::size_t r = 0;
    for (; r + 4 <= levels.size(); r += 4) {
        const float *a = row(r), *b = row(r + 1), *c = row(r + 2), *d = row(r + 3);
        TRACEHOLD_INDEPENDENT
        for (std::size_t i = 0; i < out.size(); ++i) out[i] = (((out[i] + a[i]) + b[i]) + c[i]) + d[i];
    }
    for (; r < levels.size(); ++r) {
        const float* a = row(r);
        TRACEHOLD_INDEPENDENT
        for (std::size_t i = 0; i < out.size(); ++i) out[i] += a[i];
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
    }
    return kFifth;
}

std::span<const double> rise_lengths_s() {
    static const std::vector<double> lengths = make_lengths();
    return lengths;
}

double level_amplitude(int level) { return std::pow(static_cast<double>(level) / (kLevels - 1), kLevelPower); }

std::vector<Ramp> make_ramps(RiseShape shape, double hop_s) {
    std::vector<Ramp> ramps;
    for (const double length_s : rise_lengths_s()) {
        Ramp ramp{length_s / hop_s, {}};
        const int phases = phases_of(length_s);
        for (int phase = 0; phase < phases; ++phase) {
            const double start = static_cast<double>(phase) / phases;
            std::vector<unsigned char> levels;
            for (double block = 0.0; block < start + ramp.length + 1.0; block += 1.0)
                levels.push_back(nearest_level(power_in_block(shape, block - start, ramp.length)));
            ramp.levels.push_back(std::move(levels));
        }
        ramps.push_back(std::move(ramp));
    }
    return ramps;
}

LevelTable make_level_table(const BlockEnergies& energies, const SideLevels& levels, std::size_t first, std::size_t end,
                            std::size_t padding, LevelTable old) {
    LevelTable table{first, end - first, end - first + padding, std::move(old.gain), std::move(old.plateau_from)};
    table.gain.resize(kLevels * table.stride);
    for (std::size_t j = 0; j < kLevels; ++j) std::fill_n(&table.gain[j * table.stride + table.blocks], padding, 0.0F);
    LevelTerms terms = make_terms(levels, creep_at(levels, first));
    double creep = creep_at(levels, first);
    ColumnBatch batch;
    for (std::size_t b = first; b < end; ++b) {
        LevelColumn& column = batch.columns[batch.count++];
        if (energies.valid[b]) {
            if (creep_at(levels, b) != creep) terms = make_terms(levels, creep = creep_at(levels, b));
            fill_column(terms, energies.at(b), column);
        } else {
            column.fill(0.0F);
        }
        if (batch.count == ColumnBatch::kMost) batch.put_down(table);
    }
    batch.put_down(table);
    table.plateau_from.assign(table.stride + 1, 0.0F);
    double sum = 0.0;
    for (std::size_t i = table.blocks; i-- > 0;) {
        sum += static_cast<double>(table.gain[(kLevels - 1) * table.stride + i]);
        table.plateau_from[i] = static_cast<float>(sum);
    }
    return table;
}

void onset_log_likelihood(const LevelTable& table, const Ramp& ramp, int phase, std::span<float> out) {
    add_rows(table, ramp.levels[static_cast<std::size_t>(phase)], out);
}

}  // namespace tracehold
