// Answers questions about the statistics room, one a line on standard input, for a check against a reference library:
// a word, then its numbers; out: the answers in full precision, '-' for none.
#include <iostream>
#include <optional>
#include <span>
#include <sstream>
#include <string>
#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/agreement.hpp"
#include "tracehold/statistics/binomial.hpp"
#include "tracehold/statistics/clustered_proportion.hpp"
#include "tracehold/statistics/distributions.hpp"
#include "tracehold/statistics/mann_kendall.hpp"
#include "tracehold/statistics/proportions.hpp"
#include "tracehold/statistics/run_chart.hpp"
#include "tracehold/statistics/summary.hpp"
#include "tracehold/statistics/theil_sen.hpp"
#include "tracehold/statistics/xmr_chart.hpp"

namespace {

using Answers = std::vector<std::optional<double>>;

Answers of_series(const std::string& word, const std::vector<double>& v) {
    const std::span<const double> x(v.data(), v.size() / 2), y(v.data() + v.size() / 2, v.size() / 2);
    if (word == "theil_sen") {
        const auto line = tracehold::theil_sen(x, y);
        if (!line) return {std::nullopt};
        return {line->slope, line->intercept, line->ci95_low, line->ci95_high};
    }
    const auto trend = tracehold::mann_kendall(x, y);
    if (!trend) return {std::nullopt};
    return {static_cast<double>(trend->s), trend->variance, trend->p};
}

std::size_t whole(double value) { return static_cast<std::size_t>(value); }
double as_number(std::size_t count) { return static_cast<double>(count); }

Answers answer(const std::string& word, const std::vector<double>& v) {
    if (word == "normal_cdf") return {tracehold::normal_cdf(v.at(0))};
    if (word == "normal_quantile") return {tracehold::normal_quantile(v.at(0))};
    if (word == "t_cdf") return {tracehold::student_t_cdf(v.at(0), v.at(1))};
    if (word == "t_quantile") return {tracehold::student_t_quantile(v.at(0), v.at(1))};
    if (word == "beta") return {tracehold::incomplete_beta(v.at(0), v.at(1), v.at(2))};
    if (word == "quantile") return {tracehold::quantile(std::span(v).subspan(1), v.at(0))};
    if (word == "wilson") {
        const auto share = tracehold::wilson(static_cast<std::size_t>(v.at(0)), static_cast<std::size_t>(v.at(1)));
        return share ? Answers{share->ci95_low, share->ci95_high} : Answers{std::nullopt};
    }
    if (word == "binomial_cdf") return {tracehold::binomial_cdf(whole(v.at(0)), whole(v.at(1)), v.at(2))};
    if (word == "funnel") {
        const auto limits = tracehold::funnel_limits(whole(v.at(0)), v.at(1));
        if (!limits) return {std::nullopt};
        return {limits->low_998, limits->low_95, limits->high_95, limits->high_998};
    }
    if (word == "clustered") {
        std::vector<tracehold::Cluster> clusters;
        for (std::size_t i = 0; i + 1 < v.size(); i += 2) clusters.push_back({whole(v[i]), whole(v[i + 1])});
        const auto share = tracehold::clustered_proportion(clusters);
        return share ? Answers{share->share, share->ci95_low, share->ci95_high} : Answers{std::nullopt};
    }
    if (word == "run_chart") {
        const auto run = tracehold::run_chart(v);
        return {run.median, as_number(run.longest_run), as_number(run.crossings), as_number(run.longest_allowed.value()),
                as_number(run.fewest_crossings.value())};
    }
    if (word == "xmr") {
        const auto chart = tracehold::xmr_chart(v);
        if (!chart) return {std::nullopt};
        return {chart->mean, chart->low, chart->high, chart->range_limit};
    }
    if (word == "icc") {
        const auto icc = tracehold::intraclass_correlations({std::span(v).subspan(1), v.size() / whole(v.at(0)), whole(v.at(0))});
        if (!icc) return {std::nullopt};
        return {icc->icc_1_1, icc->icc_2_1, icc->icc_3_1, icc->icc_1_k, icc->icc_2_k, icc->icc_3_k};
    }
    if (word == "sem") return {tracehold::standard_error_of_measurement({std::span(v).subspan(1), v.size() / whole(v.at(0)), whole(v.at(0))})};
    if (word == "bland_altman") {
        const auto pairs = tracehold::bland_altman(std::span(v).first(v.size() / 2), std::span(v).last(v.size() / 2));
        if (!pairs) return {std::nullopt};
        return {pairs->bias, pairs->sd, pairs->lower, pairs->upper, pairs->bias_ci95_low, pairs->bias_ci95_high, pairs->limit_error};
    }
    if (word == "summary") {
        const auto s = tracehold::summarise(v);
        return {s.mean, s.sd, s.ci95_low, s.ci95_high};
    }
    return of_series(word, v);
}

}  // namespace

int main() {
    for (std::string line; std::getline(std::cin, line);) {
        std::istringstream in(line);
        std::string word;
        in >> word;
        std::vector<double> values;
        for (std::string cell; in >> cell;) values.push_back(tracehold::parse_number(cell).value());
        for (const auto& number : answer(word, values)) {
            std::cout << (number ? tracehold::number_text(*number) : "-") << ' ';
        }
        std::cout << '\n';
    }
}
