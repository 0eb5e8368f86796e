// Words for the clinician: plain, with the figures they rest on. Rounded for reading only.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "course/change.hpp"
#include "course/figure_text.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/p_text.hpp"

namespace tracehold {
namespace {

// The unit of a change. Of a share both 'percent of it' and 'percentage points' could be meant, so it says which.
std::string_view change_words(const MeasureChange& change) {
    if (change.unit != "%") return change.change_unit;
    return change.relative ? "% relative" : "percentage points";
}

std::string in_words(const std::string& number, const MeasureChange& change) {
    const std::string_view words = change_words(change);
    return words.empty() ? number : fmt::format("{} {}", number, words);
}

// A change that rounds to nothing is not said to be none.
std::string change_figure(const MeasureChange& change) {
    const std::string text = signed_figure(*change.change, change.change_unit);
    const bool vanishes = *change.change != 0.0 && parse_number(text) == 0.0;
    const int decimals = decimals_of(*change.change, change.change_unit);
    return vanishes ? "less than " + fixed_text(std::pow(10.0, -decimals), decimals) : text;
}

// "14.2 to 19.8 µV". Both numbers as fine as the smaller one deserves.
std::string levels_text(const MeasureChange& change) {
    const double from = change.baseline->value, to = change.current->value;
    const int decimals = std::max(decimals_of(from, change.unit), decimals_of(to, change.unit));
    return fmt::format("{} to {}{}{}", fixed_text(from, decimals), fixed_text(to, decimals), change.unit.empty() ? "" : " ", change.unit);
}

// Published figures stand in for too few repeats, and under repeats that agree closely.
std::string_view error_origin(const MeasureChange& change) {
    if (change.error_source == ErrorSource::own_repeats) return "from this person's own repeats";
    if (change.change_low) return "published figure; the means of this person's own days differ by less";
    return "published figure, for want of this person's own repeats";
}

std::string error_text(const MeasureChange& change) {
    const double needed = *change.change < 0.0 ? *change.needed_fall : *change.needed_rise;
    return fmt::format("{} ({})", in_words(figure(needed, change.change_unit), change), error_origin(change));
}

std::string shown_text(const MeasureChange& change) {
    const bool rose = *change.statement == Statement::more;
    return fmt::format("{} {} from {}, more than the measurement error of {}", change.title, rose ? "rose" : "fell",
                       went_text(change), error_text(change));
}

bool within_error(const MeasureChange& change) {
    return *change.change >= -*change.needed_fall && *change.change <= *change.needed_rise;
}

std::string not_shown_text(const MeasureChange& change, std::size_t tested) {
    const std::string start = fmt::format("{}: no change shown. It went from {}", change.title, went_text(change));
    if (within_error(change)) return fmt::format("{}, within the measurement error of {}", start, error_text(change));
    const std::string beyond = fmt::format("{}, beyond the measurement error of {}", start, error_text(change));
    if (astray(change) == Astray::unsure)
        return fmt::format("{}, and the days go one way, but not surely enough with {} measures tested together (p {}, accounted {})", beyond, tested,
                           p_text(*change.p), p_text(*change.p_adjusted));
    if (*change.p_adjusted <= kLevel) return beyond + ", but the days between do not lead that way";
    return fmt::format("{}, but the days between do not follow one direction (p {}, accounted for {} measures tested)", beyond,
                       p_text(*change.p_adjusted), tested);
}

std::string not_enough_text(const MeasureChange& change) {
    const std::string start = fmt::format("{}: not enough to say whether it changed ({})", change.title, change.reason);
    if (!change.baseline) return start;
    if (!only_side_by_side(change)) return fmt::format("{}. It went from {}", start, levels_text(change));
    const std::string went = fmt::format("{}. It went from {}", start, went_text(change));
    if (!change.needed_rise) return went + "; no published error of it is known";
    if (!change.beyond_published) return fmt::format("{}; the measurement error to expect is {}", went, error_text(change));
    return fmt::format("{}, {} the published error of {}, which is of one session: between days it may be larger", went,
                       *change.beyond_published ? "beyond" : "within", needed_text(change));
}

}  // namespace

std::string p_text(double p) {
    constexpr int kMostDecimals = 6;
    if (p < 0.001) return "<0.001";
    int decimals = p > kLevel ? 2 : 3;
    while (p > kLevel && decimals < kMostDecimals && parse_number(fixed_text(p, decimals)) <= kLevel) ++decimals;
    return fixed_text(p, decimals);
}

bool only_side_by_side(const MeasureChange& change) {
    return change.statement == Statement::not_enough && change.baseline && change.current && change.change;
}

std::string went_text(const MeasureChange& change) {
    return fmt::format("{} ({})", levels_text(change), in_words(change_figure(change), change));
}

std::string needed_text(const MeasureChange& change) {
    const std::string rise = figure(*change.needed_rise, change.change_unit), fall = figure(*change.needed_fall, change.change_unit);
    if (!change.relative) return in_words(rise, change);
    return fmt::format("+{} or -{}", in_words(rise, change), in_words(fall, change));
}

std::string statement_text(const MeasureChange& change, std::size_t tested) {
    if (!change.statement) {
        if (!change.baseline) return fmt::format("{}: {}", change.title, change.reason);
        return fmt::format("{} went from {}; {}", change.title, went_text(change), change.reason);
    }
    switch (*change.statement) {
        case Statement::more:
        case Statement::less: return shown_text(change);
        case Statement::no_change_shown: return not_shown_text(change, tested);
        case Statement::not_enough: break;
    }
    return not_enough_text(change);
}

std::string plateau_text(const MeasureChange& change, const Plateau& plateau) {
    const auto days = (plateau.to - plateau.from).count() + 1;
    const std::string_view unit = change.change_unit;
    return fmt::format(
        "{} stayed level within the measurement error of {} over the last {} days with {} sessions: {} over them, 95 % "
        "interval {} to {}",
        change.title, needed_text(change), days, plateau.sessions,
        in_words(signed_figure(plateau.change, unit), change), signed_figure(plateau.low, unit),
        in_words(signed_figure(plateau.high, unit), change));
}

}  // namespace tracehold
