#include "cycles/rise_model_prior.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "cycles/log_products.hpp"
#include "cycles/rise_model.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Idea: one person's contractions of one session rise alike. A habit h says how: all abrupt, or lengths d log-normal
// about a typical length with some spread. Which habit this person has is not known but is shared, so with m_k(d) the
// log evidence of contraction k for the length d
//     Z_k(h) = sum_d p(d | h) e^m_k(d),   w(h) ~ w0(h) product_k Z_k(h),   p_k(d) ~ e^m_k(d) sum_h w(h) p(d | h) /
//     Z_k(h)
// Nothing is plugged in: with one contraction the answer stays open, with ten it is narrow.
// Limits: a person who changes habit in mid-session is described by a wide spread.

namespace {

// Our choice, all of them: two fifths for abrupt, typical lengths about 0.3 s within a factor of 2.2, spreads mostly
// below 0.3.
constexpr double kAbruptWeight = 0.4;
constexpr double kFirstTypical_s = 0.04;
constexpr double kTypicalStep = 1.15;
constexpr int kTypicals = 25;
constexpr double kPriorCentre_s = 0.3;
constexpr double kPriorSpread = 0.8;
constexpr std::array kSpreads{0.05, 0.1, 0.15, 0.2, 0.3, 0.45, 0.7};
constexpr double kSpreadScale = 0.3;

double log_sum_exp(std::span<const double> values) {
    const double top = *std::max_element(values.begin(), values.end());
    double sum = 0.0;
    for (const double v : values) sum += std::exp(v - top);
    return top + std::log(sum);
}

// Log-normal over the grid of lengths, each point standing for the stretch of log length around it.
std::vector<double> log_normal(double typical_s, double spread) {
    const std::span<const double> lengths = rise_lengths_s();
    std::vector<double> p(lengths.size(), 0.0);
    for (std::size_t i = 1; i < lengths.size(); ++i) {
        const double below = i > 1 ? lengths[i - 1] : lengths[i] * lengths[i] / lengths[i + 1];
        const double above = i + 1 < lengths.size() ? lengths[i + 1] : lengths[i] * lengths[i] / lengths[i - 1];
        const double z = (std::log(lengths[i]) - std::log(typical_s)) / spread;
        p[i] = std::exp(-0.5 * z * z) * std::log(above / below);
    }
    scale_to_one(p);
    return p;
}

double shape_weight(double z) { return std::exp(-0.5 * z * z); }

// e^(m - top) for every length of one contraction, and top: sums over lengths then need no logarithms.
struct ScaledEvidence {
    double top = 0.0;
    std::vector<double> e;
};

ScaledEvidence scaled(std::span<const double> m) {
    ScaledEvidence out{*std::max_element(m.begin(), m.end()), {}};
    for (const double v : m) out.e.push_back(std::exp(v - out.top));
    return out;
}

constexpr std::size_t kSums = 4;  // of four each, side by side

// The likelihood of the scaled evidence of one contraction under each habit: sum_d p(d | h) e(d), all habits side by side, and
// no smaller than keeps the logarithm of an impossible one finite; products takes them in. by_length: [length][habit].
TRACEHOLD_WIDE void sum_lengths(std::span<const double> by_length, std::span<const double> e, std::span<double> out, LogProducts& products) {
    constexpr double kTiny = 1e-300;
    const std::size_t habits = out.size();
    std::size_t h = 0;
    for (; h + 4 * kSums <= habits; h += 4 * kSums) {
        FourDoubles sums[kSums] = {};
        for (std::size_t d = 0; d < e.size(); ++d)
            for (std::size_t i = 0; i < kSums; ++i) sums[i] += e[d] * four_at(&by_length[d * habits + h + 4 * i]);
        for (std::size_t i = 0; i < kSums; ++i) four_at(&out[h + 4 * i]) = sums[i] + kTiny;
    }
    for (; h < habits; ++h) {
        out[h] = kTiny;
        for (std::size_t d = 0; d < e.size(); ++d) out[h] += e[d] * by_length[d * habits + h];
    }
    products.multiply(out.data());
}

// The other way round: the probability of each length but for a factor, e(d) sum_h w(h) p(d | h) / Z(h), habits in many sums
// side by side. share: memory for w / Z.
TRACEHOLD_WIDE void sum_habits(std::span<const double> by_length, std::span<const double> w, std::span<const double> z, std::span<const double> e,
                               std::span<double> share, std::span<double> out) {
    double* const of_habit = share.data();
    TRACEHOLD_INDEPENDENT
    for (std::size_t h = 0; h < w.size(); ++h) of_habit[h] = w[h] / z[h];
    for (std::size_t d = 0; d < e.size(); ++d) {
        const double* const p = by_length.data() + d * w.size();
        FourDoubles sums[kSums] = {};
        std::size_t h = 0;
        for (; h + 4 * kSums <= w.size(); h += 4 * kSums)
            for (std::size_t i = 0; i < kSums; ++i) sums[i] += four_at(of_habit + h + 4 * i) * four_at(p + h + 4 * i);
        const FourDoubles four = (sums[0] + sums[1]) + (sums[2] + sums[3]);
        double sum = (four[0] + four[1]) + (four[2] + four[3]);
        for (; h < w.size(); ++h) sum += of_habit[h] * p[h];
        out[d] = sum * e[d];
    }
}

std::vector<double> turned_to_lengths(std::span<const RiseHabit> habits, std::size_t lengths) {
    std::vector<double> by_length(lengths * habits.size());
    for (std::size_t h = 0; h < habits.size(); ++h)
        for (std::size_t d = 0; d < lengths; ++d) by_length[d * habits.size() + h] = habits[h].of_length[d];
    return by_length;
}

}  // namespace

double scale_to_one(std::span<double> values) {
    double sum = 0.0;
    for (const double v : values) sum += v;
    for (double& v : values) v /= sum;
    return sum;
}

std::vector<RiseHabit> make_rise_habits() {
    std::vector<double> abrupt(rise_lengths_s().size(), 0.0);
    abrupt[0] = 1.0;
    std::vector<RiseHabit> habits{{0.0, abrupt}};
    double sum = 0.0;
    for (int i = 0; i < kTypicals; ++i) {
        const double typical = kFirstTypical_s * std::pow(kTypicalStep, i);
        for (const double spread : kSpreads) {
            const double weight =
                shape_weight(std::log(typical / kPriorCentre_s) / kPriorSpread) * shape_weight(spread / kSpreadScale);
            habits.push_back({weight, log_normal(typical, spread)});
            sum += weight;
        }
    }
    for (RiseHabit& habit : habits) habit.weight *= (1.0 - kAbruptWeight) / sum;
    habits.front().weight = kAbruptWeight;
    return habits;
}

RisePosterior learn_rises(std::span<const std::vector<double>> log_evidence, std::span<const RiseHabit> habits) {
    const std::vector<double> by_length = turned_to_lengths(habits, rise_lengths_s().size());
    std::vector<ScaledEvidence> evidence;
    std::vector<std::vector<double>> likelihood;  // [contraction][habit], of the scaled evidence
    LogProducts products(habits.size());
    double tops = 0.0;
    for (const std::vector<double>& m : log_evidence) {
        evidence.push_back(scaled(m));
        tops += evidence.back().top;
        sum_lengths(by_length, evidence.back().e, likelihood.emplace_back(habits.size()), products);
    }
    std::vector<double> weight;
    for (std::size_t h = 0; h < habits.size(); ++h) weight.push_back(std::log(habits[h].weight) + tops + products.log(h));
    RisePosterior out{log_sum_exp(weight), {}};
    for (double& w : weight) w = std::exp(w - out.log_evidence);
    std::vector<double> share(habits.size());
    for (std::size_t i = 0; i < evidence.size(); ++i) {
        std::vector<double>& p = out.of_length.emplace_back(evidence[i].e.size());
        sum_habits(by_length, weight, likelihood[i], evidence[i].e, share, p);
        scale_to_one(p);
    }
    return out;
}

}  // namespace tracehold
