// Mean squares of a two-way table with one value a cell, from which all forms of agreement follow (Shrout & Fleiss
// 1979): bms between targets, wms within targets, jms between judges, ems the rest.
#include "tracehold/statistics/agreement.hpp"

#include <cassert>
#include <cmath>
#include <numeric>
#include <vector>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

struct MeanSquares {
    double bms = 0.0, wms = 0.0, jms = 0.0, ems = 0.0;
};

double square(double value) { return value * value; }

std::vector<double> means_of(const Ratings& r, bool of_targets) {
    std::vector<double> means(of_targets ? r.targets : r.judges, 0.0);
    for (std::size_t i = 0; i < r.targets; ++i) {
        for (std::size_t j = 0; j < r.judges; ++j) means[of_targets ? i : j] += r.values[i * r.judges + j];
    }
    for (double& mean : means) mean /= static_cast<double>(of_targets ? r.judges : r.targets);
    return means;
}

std::optional<MeanSquares> mean_squares(const Ratings& r) {
    assert(r.values.size() == r.targets * r.judges);
    if (r.targets < 2 || r.judges < 2) return std::nullopt;
    const double n = static_cast<double>(r.targets);
    const double k = static_cast<double>(r.judges);
    const std::vector<double> target_means = means_of(r, true);
    const std::vector<double> judge_means = means_of(r, false);
    const double grand = std::accumulate(target_means.begin(), target_means.end(), 0.0) / n;
    double between = 0.0, judges = 0.0, within = 0.0, rest = 0.0;
    for (const double mean : target_means) between += k * square(mean - grand);
    for (const double mean : judge_means) judges += n * square(mean - grand);
    for (std::size_t i = 0; i < r.targets; ++i) {
        for (std::size_t j = 0; j < r.judges; ++j) {
            const double value = r.values[i * r.judges + j];
            within += square(value - target_means[i]);
            rest += square(value - target_means[i] - judge_means[j] + grand);
        }
    }
    return MeanSquares{between / (n - 1), within / (n * (k - 1)), judges / (k - 1), rest / ((n - 1) * (k - 1))};
}

}  // namespace

std::optional<IntraclassCorrelations> intraclass_correlations(const Ratings& ratings) {
    const auto squares = mean_squares(ratings);
    if (!squares) return std::nullopt;
    const auto [bms, wms, jms, ems] = *squares;
    const double n = static_cast<double>(ratings.targets);
    const double k = static_cast<double>(ratings.judges);
    const double judges = jms - ems;
    IntraclassCorrelations icc;
    icc.icc_1_1 = (bms - wms) / (bms + (k - 1) * wms);
    icc.icc_2_1 = (bms - ems) / (bms + (k - 1) * ems + k * judges / n);
    icc.icc_3_1 = (bms - ems) / (bms + (k - 1) * ems);
    icc.icc_1_k = (bms - wms) / bms;
    icc.icc_2_k = (bms - ems) / (bms + judges / n);
    icc.icc_3_k = (bms - ems) / bms;
    for (const double form : {icc.icc_1_1, icc.icc_2_1, icc.icc_3_1, icc.icc_1_k, icc.icc_2_k, icc.icc_3_k}) {
        if (!std::isfinite(form)) return std::nullopt;
    }
    return icc;
}

std::optional<double> standard_error_of_measurement(const Ratings& ratings) {
    const auto squares = mean_squares(ratings);
    if (!squares) return std::nullopt;
    return std::sqrt(squares->ems);
}

double minimal_detectable_change_95(double sem) { return 1.96 * std::sqrt(2.0) * sem; }

std::optional<BlandAltman> bland_altman(std::span<const double> a, std::span<const double> b) {
    assert(a.size() == b.size());
    if (a.size() < 2) return std::nullopt;
    std::vector<double> differences;
    for (std::size_t i = 0; i < a.size(); ++i) differences.push_back(a[i] - b[i]);
    const Summary summary = summarise(differences);
    BlandAltman result;
    result.n = summary.n;
    result.bias = *summary.mean;
    result.sd = *summary.sd;
    result.lower = result.bias - 1.96 * result.sd;
    result.upper = result.bias + 1.96 * result.sd;
    result.bias_ci95_low = *summary.ci95_low;
    result.bias_ci95_high = *summary.ci95_high;
    result.limit_error = result.sd * std::sqrt(3.0 / static_cast<double>(result.n));
    return result;
}

}  // namespace tracehold
