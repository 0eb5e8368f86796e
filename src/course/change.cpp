// Order: points to days; first and last days against each other; the trend over all days; whether the last weeks lie
// level. A statement needs both, a difference beyond the measurement error and a trend that survives the account for
// all tests: the first alone is fooled by an odd week, the second by a change too small to mean anything.
#include "course/change.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "course/day_values.hpp"
#include "course/measurement_error.hpp"
#include "course/neighbouring_days.hpp"
#include "course/trend.hpp"
#include "tracehold/statistics/agreement.hpp"

namespace tracehold {
namespace {

// Our choices: 'the last weeks' are six, at least four of them with sessions, on at least as many days as any trend.
constexpr double kPlateau_days = 42.0;
constexpr double kLeastPlateau_days = 28.0;

struct Days {
    std::span<const DayValue> values;
    double correlation = 0.0;  // from one to the next
    std::optional<Trend> trend{};  // of all of them
};

// Of years of days the line through them takes most of the time: it is drawn once.
Days days_of(std::span<const DayValue> values) {
    const auto line = theil_sen(times_of(values), scaled_of(values));
    const double correlation = day_correlation(values, line);
    return {values, correlation, trend_of(values, correlation, line)};
}

double risen(double scaled, bool log_scale) { return log_scale ? 100.0 * std::expm1(scaled) : scaled; }
double fallen(double scaled, bool log_scale) { return log_scale ? -100.0 * std::expm1(-scaled) : scaled; }

CourseBlock block_of(std::span<const DayValue> days, bool log_scale) {
    CourseBlock block{.from = days.front().day, .to = days.back().day, .days = days.size()};
    double sum = 0.0;
    for (const DayValue& day : days) {
        sum += day.scaled;
        block.sessions += day.values.size();
    }
    const double mean = sum / static_cast<double>(days.size());
    block.value = log_scale ? std::exp(mean) : mean;
    return block;
}

void compare_ends(MeasureChange& change, const Days& days, const CourseMeasure& measure) {
    const bool log = measure.log_scale;
    const auto first = first_days(days.values), last = last_days(days.values);
    const BlockComparison ends = compare_blocks({first, last, days.correlation}, measure);
    change.baseline = block_of(first, log);
    change.current = block_of(last, log);
    change.change = risen(ends.difference, log);
    if (ends.half_width) {
        change.change_low = risen(ends.difference - *ends.half_width, log);
        change.change_high = risen(ends.difference + *ends.half_width, log);
    }
    if (ends.sem) {
        change.sem = risen(*ends.sem, log);
        change.mdc95 = risen(minimal_detectable_change_95(*ends.sem), log);
    }
    if (ends.needed) {
        change.needed_rise = risen(*ends.needed, log);
        change.needed_fall = fallen(*ends.needed, log);
    }
    change.error_source = ends.own ? ErrorSource::own_repeats : ErrorSource::published;
}

void add_trend(MeasureChange& change, const Days& days, bool log) {
    const auto& trend = days.trend;
    if (!trend) return;
    change.slope_per_week = risen(7.0 * trend->slope, log);
    if (trend->low) change.slope_low = risen(7.0 * *trend->low, log);
    if (trend->high) change.slope_high = risen(7.0 * *trend->high, log);
    change.p = trend->p;
}

std::span<const DayValue> last_weeks(std::span<const DayValue> days) {
    std::size_t skip = 0;
    while (static_cast<double>((days.back().day - days[skip].day).count()) >= kPlateau_days) ++skip;
    return days.subspan(skip);
}

// Where the whole course has a direction, its pace must be ruled out for the last weeks: else they may just be noisy.
bool may_go_on(const Trend& recent, const Trend& whole) {
    const bool directed = whole.low && whole.high && *whole.low * *whole.high > 0.0;
    return directed && whole.slope >= *recent.low && whole.slope <= *recent.high;
}

std::optional<Plateau> plateau_of(const MeasureChange& change, const Days& days, bool log, std::size_t min_days) {
    const auto recent = last_weeks(days.values);
    const double length = recent.back().at_days - recent.front().at_days;
    if (recent.size() < min_days || length < kLeastPlateau_days || !change.needed_rise) return std::nullopt;
    const auto trend = trend_of(recent, days.correlation);
    if (!trend || !trend->low || !trend->high) return std::nullopt;
    if (may_go_on(*trend, *days.trend)) return std::nullopt;
    Plateau plateau{.from = recent.front().day, .to = recent.back().day};
    for (const DayValue& day : recent) plateau.sessions += day.values.size();
    plateau.change = risen(length * trend->slope, log);
    plateau.low = risen(length * *trend->low, log);
    plateau.high = risen(length * *trend->high, log);
    const bool level = plateau.low <= 0.0 && plateau.high >= 0.0;
    const bool small = plateau.low > -*change.needed_fall && plateau.high < *change.needed_rise;
    if (!level || !small) return std::nullopt;
    plateau.text = plateau_text(change, plateau);
    return plateau;
}

// Of values that are lower limits no difference is known.
void leave_out_change(MeasureChange& change, std::size_t limits) {
    MeasureChange kept{.key = change.key, .title = change.title, .unit = change.unit, .primary = change.primary, .points = std::move(change.points),
                       .baseline = change.baseline, .current = change.current, .change_unit = change.change_unit, .relative = change.relative};
    kept.reason = fmt::format("at least: in {} of {} sessions it lasted as long as it was asked to, and how long it would have is not known",
                              limits, compared_points(kept));
    change = std::move(kept);
}

std::string why_not_enough(std::size_t days, std::size_t sessions, std::size_t min_days) {
    const std::string several = sessions > days ? fmt::format(" ({} sessions)", sessions) : "";
    return fmt::format("{} {} with a value{}, at least {} are needed", days, days == 1 ? "day" : "days", several, min_days);
}

bool beyond_error(const MeasureChange& change) {
    return *change.change > 0.0 ? *change.change > *change.needed_rise : -*change.change > *change.needed_fall;
}

bool same_direction(const MeasureChange& change) {
    return change.slope_per_week && *change.slope_per_week * *change.change > 0.0;
}

Statement statement_of(const MeasureChange& change) {
    const bool shown = beyond_error(change) && *change.p_adjusted <= kLevel && same_direction(change);
    if (!shown) return Statement::no_change_shown;
    return *change.change > 0.0 ? Statement::more : Statement::less;
}

std::string why_astray(Astray how, std::size_t tested) {
    if (how == Astray::no) return "";
    if (how == Astray::no_direction) return "beyond the measurement error, but the days do not follow one direction";
    return fmt::format("beyond the measurement error, and the days go one way, but not surely enough with {} measures tested together", tested);
}

}  // namespace

Astray astray(const MeasureChange& change) {
    const bool known = change.change && change.needed_rise && change.needed_fall;
    if (change.statement != Statement::no_change_shown || !known || !beyond_error(change)) return Astray::no;
    return change.p && *change.p <= kLevel && same_direction(change) ? Astray::unsure : Astray::no_direction;
}

MeasureChange follow_measure(ChangeInput input) {
    const CourseMeasure& measure = input.measure;
    const bool log = measure.log_scale;
    MeasureChange change{.key = std::string(measure.key),
                         .title = std::string(measure.title),
                         .unit = std::string(measure.unit),
                         .primary = input.primary,
                         .points = std::move(input.points),
                         .change_unit = log ? "%" : std::string(measure.unit),
                         .relative = log};
    const auto values = day_values(change.points, input.sessions, log);
    if (!values) {
        change.reason = "a session mean of 0: changes in percent cannot be told";
        return change;
    }
    if (values->size() >= 2) {
        const Days days = days_of(*values);
        compare_ends(change, days, measure);
        add_trend(change, days, log);
        if (change.primary) change.plateau = plateau_of(change, days, log, input.min_days);
    }
    if (const std::size_t limits = lower_limits(change); limits > 0) {
        leave_out_change(change, limits);
        return change;
    }
    if (values->size() < input.min_days && change.primary && change.change && change.needed_rise && change.error_source == ErrorSource::published)
        change.beyond_published = beyond_error(change);
    if (values->size() < input.min_days) change.reason = why_not_enough(values->size(), compared_points(change), input.min_days);
    if (!change.primary && change.reason.empty()) {
        change.reason = "described only: not one of the few measures that are tested";
    }
    return change;
}

bool is_tested(const MeasureChange& change) {
    return change.primary && change.reason.empty() && change.p && change.needed_rise;
}

void state_change(MeasureChange& change, std::size_t tested) {
    if (change.p_adjusted) {
        change.statement = statement_of(change);
        change.reason = why_astray(astray(change), tested);
    } else if (change.primary) {
        change.statement = Statement::not_enough;
    }
    change.text = statement_text(change, tested);
}

}  // namespace tracehold
