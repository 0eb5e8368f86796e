// The rise model: ramps, the likelihood table against a slow twin, habits, and posteriors of energies without noise.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <random>
#include <vector>

#include "cycles/onset_posterior.hpp"
#include "cycles/onset_rest.hpp"
#include "cycles/rise_model.hpp"
#include "cycles/rise_model_prior.hpp"
#include "cycles/wide_math.hpp"

namespace tracehold::testing {
namespace {

constexpr double kHop_s = 0.01;

// Expected energies of a rise: rest 1, activity 9, without noise or with the chi-square noise of one degree of freedom
// per hop.
BlockEnergies step_energies(std::size_t blocks, double onset, double length, RiseKind kind, std::mt19937* noise) {
    const double rest = kind.from_rest ? std::sqrt(0.1) : 0.0;  // of the plateau's amplitude
    BlockEnergies e{kHop_s, 0.0, 9, {}, std::vector<unsigned char>(blocks, 1)};
    for (std::size_t b = 0; b < blocks; ++b) {
        double power = 0.0;  // by the finest rule: what the blocks see is the window-weighted mean of the ramp's square
        constexpr int kPoints = 200;
        for (int i = 0; i < kPoints; ++i) {
            const double x = (2.0 * i + 1.0) / kPoints - 1.0, past = static_cast<double>(b) + x - onset;
            const double s = length > 0.0 ? rise_amplitude(kind.shape, past / length) : (past > 0.0 ? 1.0 : 0.0);
            const double amplitude = rest + (1.0 - rest) * s;  // of the plateau
            power += (1.0 + std::cos(3.14159265358979 * x)) * (amplitude * amplitude - rest * rest) / (1.0 - rest * rest) / kPoints;
        }
        for (int k = 0; k < 9; ++k) {
            double chance = 1.0;
            if (noise) {
                std::normal_distribution<double> normal;
                const double z = normal(*noise);
                chance = z * z;
            }
            e.energy.push_back(static_cast<float>((1.0 + 9.0 * power) * chance));
        }
    }
    return e;
}

SideLevels known_levels() {
    SideLevels s{std::vector<double>(9, 1.0), std::vector<double>(9, 9.0), std::vector<double>(9, 9.0),
                 std::vector<double>(9, 1.0)};
    return s;
}

// The slow twin: every block's likelihood from the model's own words, in double, no table, no prefix sums.
double slow_log_likelihood(const BlockEnergies& e, const SideLevels& s, const Ramp& ramp, int phase, std::size_t first,
                           std::size_t start, std::size_t end) {
    const auto block_ll = [&](std::size_t b, int level) {
        std::vector<double> all;
        for (int j = 0; j < kLevels; ++j) {
            const double q = level_amplitude(j);
            double sum = 0.0;
            for (std::size_t k = 0; k < 9; ++k) {
                const double v = s.rest[k] + q * q * s.activity[k];
                sum -= 0.5 * s.weight[k] * (std::log(v) + static_cast<double>(e.at(b)[k]) / v);
            }
            all.push_back(sum);
        }
        const double floor = *std::max_element(all.begin(), all.end()) - 12.0;
        return std::max(floor, all[static_cast<std::size_t>(level)]) - std::max(floor, all[0]);
    };
    const std::vector<unsigned char>& levels = ramp.levels[static_cast<std::size_t>(phase)];
    double sum = 0.0;
    for (std::size_t b = first; b < end; ++b) {
        if (b < start) continue;
        const std::size_t i = b - start;
        sum += block_ll(b, i < levels.size() ? levels[i] : kLevels - 1);
    }
    return sum;
}

TEST_CASE("every shape rises from nothing to the plateau and passes a fifth where it says") {
    for (const RiseShape shape : kRiseShapes) {
        CHECK(rise_amplitude(shape, -0.1) == 0.0);
        CHECK(rise_amplitude(shape, 0.0) == 0.0);
        CHECK(rise_amplitude(shape, 1.0) == 1.0);
        CHECK(rise_amplitude(shape, share_at_a_fifth(shape)) == doctest::Approx(0.2).epsilon(1e-9));
        for (double u = 0.0; u < 1.0; u += 0.05) CHECK(rise_amplitude(shape, u) < rise_amplitude(shape, u + 0.05));
    }
}

TEST_CASE("an abrupt onset in the middle of a block lifts it to half the power") {
    const Ramp abrupt = make_ramps(see_ramps(RiseShape::linear, kHop_s)).front();
    REQUIRE(abrupt.phases() == 4);
    const double q = level_amplitude(abrupt.levels[0][0]);
    CHECK(q * q == doctest::Approx(0.5).epsilon(0.02));
}

TEST_CASE("a rise from rest to plateau is as steep in its blocks as the amplitude says") {
    for (const RiseShape shape : kRiseShapes) {
        const std::vector<Ramp> ramps = make_ramps(see_ramps(shape, kHop_s), std::sqrt(0.1));
        const auto ramp = std::min_element(ramps.begin(), ramps.end(), [](const Ramp& a, const Ramp& b) {
            return std::abs(a.length - 18.2) < std::abs(b.length - 18.2);
        });
        const BlockEnergies near = step_energies(60, 20.0, ramp->length, {shape, true}, nullptr);
        for (std::size_t i = 0; i < ramp->levels[0].size(); ++i) {
            const double q = level_amplitude(ramp->levels[0][i]);
            CHECK(q * q == doctest::Approx((static_cast<double>(near.at(20 + i)[0]) - 1.0) / 9.0).epsilon(0.03).scale(1.0));
        }
    }
}

TEST_CASE("rises and falls of different kinds are told apart, each by its own evidence") {
    std::mt19937 noise(11);
    const RiseModel model = make_rise_model(kHop_s);
    const SessionRest rest{std::vector<double>(9, 1.0), std::vector<double>(9, 1.0), std::vector<unsigned char>(300, 0)};
    const auto weighed = [&](RiseKind kind) {
        BlockEnergies all = step_energies(300, 150.3, 40.0, kind, &noise);
        std::vector<Side> sides{{{20, 130}, {200, 290}, {100, 200}, 130.0}};
        for (int i = 1; i < 10; ++i) {  // one behind the other
            const BlockEnergies more = step_energies(300, 150.3, 40.0, kind, &noise);
            const auto at = static_cast<std::size_t>(300 * i);
            all.energy.insert(all.energy.end(), more.energy.begin(), more.energy.end());
            all.valid.insert(all.valid.end(), more.valid.begin(), more.valid.end());
            sides.push_back({{at + 20, at + 130}, {at + 200, at + 290}, {at + 100, at + 200}, 130.0 + static_cast<double>(at)});
        }
        SessionRest all_rest = rest;
        all_rest.is_rest.assign(all.valid.size(), 0);
        return std::pair(weigh_side(all, all_rest, sides, model, kAllKinds), all);
    };
    const auto [rise, rise_energies] = weighed({RiseShape::exponential, true});
    const auto [fall, fall_energies] = weighed({RiseShape::growing, true});
    const KindProbabilities of_rise = kind_probabilities(rise, fall), of_fall = kind_probabilities(fall, rise);
    CHECK(of_rise.answer[2] + of_rise.answer[6] > 0.95);
    CHECK(of_fall.answer[7] > 0.8);
    int covered = 0;
    for (const EventPosterior& p : event_posteriors(rise_energies, rise, model, of_rise)) {
        const double onset = 150.3 + 300.0 * std::floor(p.median / 300.0);
        covered += p.q025 <= onset && onset <= p.q975;
        CHECK(p.median == doctest::Approx(onset).epsilon(5.0 / onset));  // of a rise of 40
    }
    CHECK(covered >= 8);
    WeighedSide forgetful = rise;
    for (LikelyStarts& likely : forgetful.likely) likely = {};
    const std::vector<EventPosterior> kept = event_posteriors(rise_energies, rise, model, of_rise),
                                      walked_again = event_posteriors(rise_energies, forgetful, model, of_rise);
    for (std::size_t i = 0; i < kept.size(); ++i) {
        CHECK_EQ(kept[i].median, walked_again[i].median);
        CHECK_EQ(kept[i].q025, walked_again[i].q025);
        CHECK_EQ(kept[i].q975, walked_again[i].q975);
        CHECK_EQ(kept[i].fifth, walked_again[i].fifth);
        CHECK_EQ(kept[i].spread, walked_again[i].spread);
    }
}

TEST_CASE("the likelihood walked through the table equals the slow twin") {
    std::mt19937 noise(7);
    const BlockEnergies e = step_energies(120, 40.3, 12.0, {RiseShape::linear}, &noise);
    const SideLevels levels = known_levels();
    for (const RiseShape shape : kRiseShapes) {
        const std::vector<Ramp> ramps = make_ramps(see_ramps(shape, kHop_s));
        const std::size_t first = 10, end = 110;
        const LevelTable table =
            make_level_table(e, levels, first, end, static_cast<std::size_t>(ramps.back().length) + 4);
        for (const std::size_t r : {0UL, 4UL, 12UL, 25UL, 35UL}) {
            for (int phase = 0; phase < ramps[r].phases(); ++phase) {
                std::vector<float> fast(60);
                onset_log_likelihood(table, ramps[r], phase, fast);
                for (const std::size_t i : {0UL, 17UL, 31UL, 59UL}) {
                    const double slow = slow_log_likelihood(e, levels, ramps[r], phase, first, first + i, end);
                    CHECK(static_cast<double>(fast[i]) == doctest::Approx(slow).epsilon(1e-4));
                }
            }
        }
    }
}

// Chunks that are passed over by their bounds lie far below the likeliest start, as the full walk has it, and bounds are near
// enough to pass over most: 40 and 1 nats are what the posterior leaves out and allows for rounding.
TEST_CASE("no start exceeds the bound of its chunk, and bounds leave little to walk") {
    std::mt19937 noise(5);
    std::size_t chunks = 0, near = 0;
    for (const double length : {0.0, 12.0, 70.0, 160.0}) {
        const BlockEnergies e = step_energies(700, 340.3, length, {RiseShape::linear}, &noise);
        const LevelTable table = make_level_table(e, known_levels(), 10, 690, 200);
        CHECK(table.stride >= table.blocks + 200 + kStartsAtOnce);
        for (const RiseShape shape : kRiseShapes) {
            for (const double rest_share : {0.0, 0.4}) {
                for (const Ramp& ramp : make_ramps(see_ramps(shape, kHop_s), rest_share)) {
                    std::vector<float> bounds(13), most(13, -1e30F);
                    bound_log_likelihood(table, ramp, bounds);
                    for (int phase = 0; phase < ramp.phases(); ++phase) {
                        std::vector<float> ll(400), part(kStartsAtOnce);
                        const float largest = onset_log_likelihood(table, ramp, phase, ll);
                        CHECK(largest == *std::max_element(ll.begin(), ll.end()));
                        onset_log_likelihood(table, ramp, phase, part, 96);
                        CHECK(std::equal(part.begin(), part.end(), ll.begin() + 96));
                        for (std::size_t i = 0; i < ll.size(); ++i) most[i / kStartsAtOnce] = std::max(most[i / kStartsAtOnce], ll[i]);
                    }
                    const float top = *std::max_element(most.begin(), most.end());
                    for (std::size_t c = 0; c < most.size(); ++c) {
                        CHECK(most[c] <= bounds[c] + 0.1F);
                        near += bounds[c] >= top - 41.0F;
                    }
                    chunks += most.size();
                }
            }
        }
    }
    CHECK(near < chunks / 5);
}

TEST_CASE("blocks that are not valid say nothing") {
    BlockEnergies e = step_energies(100, 50.0, 0.0, {RiseShape::linear}, nullptr);
    std::fill(e.valid.begin(), e.valid.end(), 0);
    const std::vector<Ramp> ramps = make_ramps(see_ramps(RiseShape::linear, kHop_s));
    const LevelTable table = make_level_table(e, known_levels(), 10, 90, 200);
    std::vector<float> ll(50);
    onset_log_likelihood(table, ramps[10], 0, ll);
    for (const float v : ll) CHECK(v == 0.0F);
}

TEST_CASE("four powers of e at once are those of the library") {
    for (double x = -700.0; x < 700.0; x += 0.37) {
        FourDoubles four{x, -0.01 * x, 1e-9 * x, 0.0};
        raise_e_to(four);
        CHECK(four[0] / std::exp(x) == doctest::Approx(1.0).epsilon(1e-15));
        CHECK(four[1] / std::exp(-0.01 * x) == doctest::Approx(1.0).epsilon(1e-15));
        CHECK(four[2] / std::exp(1e-9 * x) == doctest::Approx(1.0).epsilon(1e-15));
        CHECK(double{four[3]} == 1.0);
    }
}

TEST_CASE("four logarithms of products at once are those of the library") {
    for (double x = 1e-300; x < 1e290; x *= 1.37e3) {
        FourDoubles four{x, 1.5 * x, std::numbers::sqrt2 * x, 1.0}, exponent{};
        const FourDoubles products = four;
        split_off_exponent(four, exponent);
        for (int i = 0; i < 4; ++i) CHECK((four[i] >= 1.0 && four[i] < 2.0));
        for (int i = 0; i < 4; ++i) CHECK(std::ldexp(four[i], static_cast<int>(exponent[i])) == double{products[i]});
        take_log(four);
        for (int i = 0; i < 4; ++i) CHECK(four[i] + exponent[i] * std::numbers::ln2 == doctest::Approx(std::log(products[i])).epsilon(1e-15));
    }
    for (double x = 1.0; x < 2.0; x += 1.0 / 1024.0) {
        FourDoubles four{x, std::nextafter(x, 1.0 + x), 1.0, std::nextafter(2.0, 1.0)};
        const FourDoubles values = four;
        take_log(four);
        for (int i = 0; i < 4; ++i) CHECK(std::abs(four[i] - std::log(values[i])) < 2e-16);
    }
}

TEST_CASE("the largest of eight is found wherever it stands") {
    for (int place = 0; place < 8; ++place) {
        EightFloats eight{-3.0F, -9.0F, -4.0F, -7.0F, -5.0F, -8.0F, -6.0F, -10.0F};
        eight[place] = -1.0F;
        CHECK(largest_of_eight(eight) == -1.0F);
    }
}

TEST_CASE("the mean of a stretch is that of its valid blocks and of none it is zero") {
    const BlockEnergies e{kHop_s, 0.0, 2, {1.0F, 5.0F, 70.0F, 90.0F, 3.0F, 11.0F}, {1, 0, 1}};
    CHECK(mean_energy(e, {0, 1}) == std::vector{1.0, 5.0});
    CHECK(mean_energy(e, {0, 3}) == std::vector{2.0, 8.0});
    CHECK(mean_energy(e, {1, 2}) == std::vector{0.0, 0.0});
    CHECK(BlockRange{3, 7}.size() == 4);
    CHECK(BlockRange{7, 7}.size() == 0);
    CHECK(BlockRange{7, 3}.size() == 0);
}

TEST_CASE("habits weigh one together and so does each of them") {
    double weights = 0.0;
    for (const RiseHabit& habit : make_rise_habits()) {
        weights += habit.weight;
        CHECK(std::accumulate(habit.of_length.begin(), habit.of_length.end(), 0.0) ==
              doctest::Approx(1.0).epsilon(1e-12));
    }
    CHECK(weights == doctest::Approx(1.0).epsilon(1e-12));
}

TEST_CASE("contractions that agree on a length make the session sure of it") {
    const std::vector<RiseHabit> habits = make_rise_habits();
    const std::span<const double> lengths = rise_lengths_s();
    std::vector<double> vague;  // a broad hill about 0.3 s
    for (const double d : lengths) vague.push_back(d > 0.0 ? -2.0 * std::pow(std::log(d / 0.3), 2.0) : -8.0);
    const auto spread = [&](const std::vector<double>& p) {
        double mean = 0.0, square = 0.0;
        for (std::size_t i = 1; i < p.size(); ++i)
            mean += p[i] * std::log(lengths[i]), square += p[i] * std::pow(std::log(lengths[i]), 2.0);
        return std::sqrt(square - mean * mean);
    };
    const RisePosterior one = learn_rises(std::vector<std::vector<double>>(1, vague), habits);
    const RisePosterior ten = learn_rises(std::vector<std::vector<double>>(10, vague), habits);
    CHECK(std::accumulate(ten.of_length[3].begin(), ten.of_length[3].end(), 0.0) == doctest::Approx(1.0));
    CHECK(spread(ten.of_length[0]) < 0.75 * spread(one.of_length[0]));
}

TEST_CASE("evidence that says nothing leaves the habits as they were") {
    const std::vector<RiseHabit> habits = make_rise_habits();
    const RisePosterior p =
        learn_rises(std::vector<std::vector<double>>(3, std::vector<double>(rise_lengths_s().size(), -5.0)), habits);
    CHECK(p.log_evidence == doctest::Approx(-15.0));
    CHECK(p.of_length[1][0] == doctest::Approx(habits.front().weight));
}

TEST_CASE("a step without noise is placed to two milliseconds wherever it lies in a block") {
    const RiseModel model = make_rise_model(kHop_s);
    const SessionRest rest{std::vector<double>(9, 1.0), std::vector<double>(9, 1.0),
                           std::vector<unsigned char>(300, 0)};
    for (const double onset : {150.0, 150.3, 150.5, 150.8}) {
        const BlockEnergies e = step_energies(300, onset, 0.0, {RiseShape::linear}, nullptr);
        const Side side{{20, 130}, {180, 290}, {100, 200}, 130.0};
        const WeighedSide w = weigh_side(e, rest, {side}, model, kAllKinds);
        const EventPosterior p = event_posteriors(e, w, model, kind_probabilities(w, w)).front();
        CHECK(p.median == doctest::Approx(onset).epsilon(0.2 / 150.0));
        CHECK(p.q025 <= onset);
        CHECK(p.q975 >= onset);
    }
}

}  // namespace
}  // namespace tracehold::testing
