#include <array>
#include <cmath>
#include <complex>
#include <vector>

#include "app/self_checks.hpp"
#include "tracehold/clean/butterworth.hpp"
#include "tracehold/statistics/agreement.hpp"
#include "tracehold/statistics/distributions.hpp"
#include "tracehold/statistics/mann_kendall.hpp"
#include "tracehold/statistics/proportions.hpp"
#include "tracehold/statistics/run_chart.hpp"
#include "tracehold/statistics/theil_sen.hpp"
#include "tracehold/statistics/xmr_chart.hpp"

namespace tracehold {
namespace {

using Checks = std::vector<SelfCheck>;

// What is not there stands as an empty value, and no check passes with that: none of them goes missing.

void check_agreement(Checks& checks) {
    constexpr std::array ratings{9.0, 2.0, 5.0, 8.0, 6.0,  1.0, 3.0, 2.0, 8.0, 4.0, 6.0, 8.0,
                                 7.0, 1.0, 2.0, 6.0, 10.0, 5.0, 6.0, 9.0, 6.0, 2.0, 4.0, 7.0};
    const char* source = "Shrout & Fleiss 1979, table 2, recomputed to four digits";
    const IntraclassCorrelations icc = intraclass_correlations({ratings, 6, 4}).value_or(IntraclassCorrelations{});
    checks.push_back({"statistics.icc_1_1", "ICC(1,1) of 6 targets by 4 judges", icc.icc_1_1, 0.1657, 1e-4, "", source});
    checks.push_back({"statistics.icc_2_1", "ICC(2,1)", icc.icc_2_1, 0.2898, 1e-4, "", source});
    checks.push_back({"statistics.icc_3_1", "ICC(3,1)", icc.icc_3_1, 0.7148, 1e-4, "", source});
    checks.push_back({"statistics.icc_1_k", "ICC(1,k)", icc.icc_1_k, 0.4428, 1e-4, "", source});
    checks.push_back({"statistics.icc_2_k", "ICC(2,k)", icc.icc_2_k, 0.6201, 1e-4, "", source});
    checks.push_back({"statistics.icc_3_k", "ICC(3,k)", icc.icc_3_k, 0.9093, 1e-4, "", source});
    constexpr std::array trials{146.0, 140.0, 148.0, 152.0, 170.0, 152.0, 90.0,  99.0,
                                157.0, 145.0, 156.0, 153.0, 176.0, 167.0, 205.0, 218.0};
    const double sem = standard_error_of_measurement({trials, 8, 2}).value_or(std::nan(""));
    const char* weir = "Weir 2005, data set A (7.6 printed), recomputed";
    checks.push_back({"statistics.sem", "standard error of measurement", sem, 7.556927, 1e-5, "", weir});
    checks.push_back({"statistics.mdc95", "minimal detectable change, 95 %", minimal_detectable_change_95(sem), 20.9467, 1e-4, "", weir});
}

void check_trend(Checks& checks) {
    constexpr std::array series{12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7};
    const MannKendall trend = mann_kendall(series).value_or(MannKendall{});
    checks.push_back({"statistics.mann_kendall_s", "Mann-Kendall S", static_cast<double>(trend.s), 54, 0, "", "published hand-worked example with one tie"});
    checks.push_back({"statistics.mann_kendall_z", "Mann-Kendall Z", trend.z, 2.905837, 1e-6, "", "the same"});
    constexpr std::array x{1.0, 2.0, 3.0, 4.0, 5.0}, y{1.26, 1.27, 1.12, 1.16, 1.03};
    const TheilSen line = theil_sen(x, y).value_or(TheilSen{});
    checks.push_back({"statistics.theil_sen", "Theil-Sen slope", line.slope, -0.05625, 1e-12, "", "Hollander & Wolfe, example 9.1"});
}

void check_shares_and_charts(Checks& checks) {
    const Proportion share = wilson(81, 263).value_or(Proportion{});
    const char* newcombe = "data of Newcombe 1998 (from memory), recomputed";
    checks.push_back({"statistics.wilson_low", "Wilson interval of 81 of 263, lower end", share.ci95_low, 0.255289, 1e-6, "", newcombe});
    checks.push_back({"statistics.wilson_high", "the same, upper end", share.ci95_high, 0.366210, 1e-6, "", newcombe});
    checks.push_back({"statistics.t_quantile", "Student t, 4 degrees, 97.5 %", student_t_quantile(0.975, 4.0), 2.7764451051977987, 1e-11, "", "closed form for 4 degrees, computed"});
    constexpr std::array flow{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const XmrChart chart = xmr_chart(flow).value_or(XmrChart{});
    const char* handbook = "NIST/SEMATECH e-Handbook 6.3.2.2 (data from memory), recomputed with 2.66";
    checks.push_back({"statistics.xmr_high", "XmR upper limit", chart.high, 55.8049, 1e-4, "", handbook});
    checks.push_back({"statistics.xmr_low", "XmR lower limit", chart.low, 45.8151, 1e-4, "", handbook});
    std::vector<double> to_and_fro;
    for (int i = 0; i < 20; ++i) to_and_fro.push_back(i % 2);
    const RunChart runs = run_chart(to_and_fro);
    checks.push_back({"statistics.run_chart", "longest run allowed among 20 points", static_cast<double>(runs.longest_allowed.value_or(0)), 7, 0, "", "Anhoej & Olesen 2014, the rule"});
}

void check_filters(Checks& checks) {
    const Hertz rate{1000.0}, corner{100.0};
    const std::vector<FilterSection> sections = butterworth_low_pass(2, corner, rate);
    const FilterSection section = sections.size() == 1 ? sections[0] : FilterSection{};
    const char* source = "worked example in Winter's biomechanics textbook (from memory), recomputed";
    checks.push_back({"filter.b0", "low-pass of order 2 at a tenth of the rate, b0", section.b0, 0.0674553, 1e-6, "", source});
    checks.push_back({"filter.a1", "the same, a1", section.a1, -1.1429805, 1e-6, "", source});
    checks.push_back({"filter.a2", "the same, a2", section.a2, 0.4128016, 1e-6, "", source});
    const double gain_db = 20.0 * std::log10(std::abs(response(sections, corner, rate)));
    checks.push_back({"filter.corner", "gain at the corner", gain_db, -3.0103, 1e-3, "dB", "definition"});
    checks.push_back({"filter.two_passes", "corner factor of two passes, order 2", pass_factor(2, 2), 0.8022433, 1e-6, "", "formula in Winter, 4th ed. (from memory), recomputed"});
}

}  // namespace

std::vector<SelfCheck> published_checks() {
    Checks checks;
    check_agreement(checks);
    check_trend(checks);
    check_shares_and_charts(checks);
    check_filters(checks);
    return checks;
}

}  // namespace tracehold
