#include "course/neighbouring_days.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tracehold {
namespace {

constexpr double kMostDayCorrelation = 0.9;
constexpr std::size_t kLeastPairs = 20;  // our choice: fewer tell it to no better than 0.2
constexpr double kNeighbours_days = 1.5;

// From here on a pair of days adds nothing that a double can hold beside 1.
constexpr double kNothing = 1e-18;

double over_days(double correlation, double days_apart) { return std::pow(correlation, std::abs(days_apart)); }

// Of ranks, for normal values (Kendall).
double rank_correlation(double normal) { return 6.0 / std::numbers::pi * std::asin(normal / 2.0); }

}  // namespace

double day_correlation(std::span<const DayValue> days) {
    return day_correlation(days, theil_sen(times_of(days), scaled_of(days)));
}

double day_correlation(std::span<const DayValue> days, const std::optional<TheilSen>& line) {
    const auto times = times_of(days), values = scaled_of(days);
    if (!line) return kLeastDayCorrelation;
    const auto left = [&](std::size_t i) { return values[i] - line->intercept - line->slope * times[i]; };
    double together = 0.0, squares = 0.0;
    std::size_t pairs = 0;
    for (std::size_t i = 0; i + 1 < days.size(); ++i) {
        if (times[i + 1] - times[i] > kNeighbours_days) continue;
        together += left(i) * left(i + 1);
        squares += 0.5 * (left(i) * left(i) + left(i + 1) * left(i + 1));
        ++pairs;
    }
    if (pairs < kLeastPairs || squares <= 0.0) return kLeastDayCorrelation;
    const double seen = together / squares;
    // A line drawn through the values takes some of it away (Kendall 1954, first order, from memory). One standard
    // error more, because a value on the low side would claim too much.
    const auto n = static_cast<double>(pairs);
    const double freed = seen + (1.0 + 4.0 * seen) / n;
    const double error = std::sqrt(std::max(0.0, 1.0 - freed * freed) / n);
    return std::clamp(freed + error, kLeastDayCorrelation, kMostDayCorrelation);
}

double mean_variance_factor(std::span<const double> days, double correlation) {
    if (days.empty()) return 1.0;
    double sum = 0.0;
    for (std::size_t i = 0; i < days.size(); ++i) {
        for (std::size_t j = i + 1; j < days.size(); ++j) {
            const double together = over_days(correlation, days[j] - days[i]);
            if (together < kNothing) break;
            sum += together;
        }
    }
    return 1.0 + 2.0 * sum / static_cast<double>(days.size());
}

double trend_variance_factor(std::span<const double> days, double correlation) {
    const auto n = static_cast<double>(days.size());
    if (days.size() < 3) return 1.0;
    double sum = 0.0;
    for (std::size_t i = 0; i < days.size(); ++i) {
        for (std::size_t j = i + 1; j < days.size(); ++j) {
            const double together = over_days(correlation, days[j] - days[i]);
            if (together < kNothing) break;
            const auto lag = static_cast<double>(j - i);
            sum += (n - lag - 1.0) * (n - lag - 2.0) * rank_correlation(together);
        }
    }
    return 1.0 + 2.0 * sum / (n * (n - 1.0) * (n - 2.0));
}

}  // namespace tracehold
