#include "report/course_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "report/course_definitions.hpp"
#include "report/course_parts.hpp"
#include "report/en/course.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/course/p_text.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// What rounds to nothing is not said to be none: "<0.01".
std::string number_or_dash(const std::optional<double>& value, int decimals) {
    if (!value) return "–";
    const std::string text = fixed_text(*value, decimals);
    const bool vanishes = *value != 0.0 && parse_number(text) == 0.0;
    return vanishes ? fmt::format("<{}", fixed_text(std::pow(10.0, -decimals), decimals)) : text;
}

// "0, 0, +1 point": two levels that read the same beside a change that does not read as none.
bool levels_collapse(const MeasureChange& change) {
    if (!change.baseline || !change.current || !change.change || change.relative) return false;
    const int decimals = mean_decimals(change.unit);
    return fixed_text(change.baseline->value, decimals) == fixed_text(change.current->value, decimals) &&
           parse_number(fixed_text(*change.change, decimals)) != 0.0;
}

std::string said(const MeasureChange& change) {
    if (!change.statement) return words::kStatedDescribedOnly;
    switch (*change.statement) {
        case Statement::more: return "more";
        case Statement::less: return "less";
        case Statement::no_change_shown: return words::kStatedNoChange;
        case Statement::not_enough: return words::kStatedNotEnough;
    }
    return "";
}

// Of a measure in percent both could be meant.
std::string unit_of_change(const MeasureChange& change, const std::string& number) {
    if (change.unit != "%") return change.change_unit;
    if (change.relative) return "% relative";
    return number == "1" || number == "-1" ? "point" : "points";
}

std::string with_unit_of_change(const MeasureChange& change, const std::optional<double>& value, int decimals) {
    const std::string number = number_or_dash(value, decimals);
    return value ? with_minus(number + " " + unit_of_change(change, number)) : number;
}

// "<1 %" says enough without a sign.
std::string with_plus(const std::optional<double>& value, const std::string& text) {
    return value.value_or(0.0) > 0.0 && !text.starts_with('<') ? "+" + text : text;
}

bool is_in_table(const MeasureChange& change) { return change.primary || change.change.has_value() || lower_limits(change) > 0; }

std::string days_span(std::chrono::sys_days from, std::chrono::sys_days to) {
    return from == to ? day_text(from) : fmt::format("{} to {}", day_text(from), day_text(to));
}

std::string block_text(const CourseBlock& block) {
    return fmt::format("{} ({}, {})", days_span(block.from, block.to), counted(block.days, "day"), counted(block.sessions, "session"));
}

// "first 2026-11-01 to 2026-11-12 (7 days, 7 sessions), now ..., last 2026-11-27"
std::string days_of(const Phase& phase, const MeasureChange& change) {
    return fmt::format("first {}, now {}, last {}", block_text(*change.baseline), block_text(*change.current),
                       day_text(phase.sessions[change.points.back().session].day));
}

std::size_t note_number(ReportTable& table, const std::string& text) {
    const auto found = std::find(table.notes.begin(), table.notes.end(), text);
    if (found != table.notes.end()) return static_cast<std::size_t>(found - table.notes.begin()) + 1;
    table.notes.push_back(text);
    return table.notes.size();
}

// Too few days, with values at both ends: how they stand to the published error, and that this is no claim.
Cell said_cell(const MeasureChange& change, ReportTable& table) {
    if (astray(change) != Astray::no) return {said(change), note_number(table, change.reason)};
    if (!only_side_by_side(change) || (change.needed_rise && !change.beyond_published)) return {said(change)};
    if (!change.beyond_published) return {said(change), note_number(table, words::kNoPublishedErrorOfIt)};
    return {fmt::format("{}; {}", said(change), *change.beyond_published ? "beyond" : "within"), note_number(table, words::kBesidePublishedError)};
}

// Marked where it is no figure of this person's own.
Cell needed_cell(const MeasureChange& change, int decimals, ReportTable& table) {
    const bool rising = change.change.value_or(0.0) >= 0.0;
    const auto& needed = rising ? change.needed_rise : change.needed_fall;
    const bool published = needed && change.error_source == ErrorSource::published;
    return Cell{with_unit_of_change(change, needed, decimals), published ? note_number(table, words::kPublishedFigure) : 0};
}

std::string signed_number(const std::optional<double>& value, int decimals) {
    return with_plus(value, with_minus(number_or_dash(value, decimals)));
}

// "+0.4 to +2.1"
std::string change_interval(const std::optional<double>& low, const std::optional<double>& high, int decimals) {
    if (!low || !high) return "–";
    return fmt::format("{} to {}", signed_number(low, decimals), signed_number(high, decimals));
}

}  // namespace

List days_behind(const Phase& phase) {
    std::vector<std::pair<std::string, std::vector<std::string>>> groups;
    for (const MeasureChange& change : phase.measures) {
        if (!is_in_table(change) || !change.baseline || !change.current || change.points.empty()) continue;
        const std::string days = days_of(phase, change);
        auto group = std::find_if(groups.begin(), groups.end(), [&](const auto& one) { return one.first == days; });
        if (group == groups.end()) group = groups.insert(group, {days, {}});
        group->second.push_back(change.title);
    }
    std::stable_sort(groups.begin(), groups.end(), [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
    List list;
    for (const auto& [days, titles] : groups)
        list.items.push_back(list.items.empty() ? words::kDays + days : fmt::format("{}: {}", fmt::join(titles, ", "), days));
    return list;
}

ReportTable change_table(const Phase& phase) {
    ReportTable table{words::kChangeTableCaption,
                      {{words::kMeasureColumn},
                       {words::kFirst, true, kFirstDays},
                       {"Now", true, kNowDays},
                       {words::kLast, true},
                       {words::kChange, true, kChange},
                       {words::kNeeded, true, kNeeded},
                       {"n", true},
                       {words::kStatement, false, kStatement}},
                      {},
                      {}};
    for (const MeasureChange& change : phase.measures) {
        if (!is_in_table(change)) continue;
        const int finer = levels_collapse(change) ? 1 : 0;
        const int decimals = mean_decimals(change.unit) + finer, change_decimals = (change.change_unit == "%" ? 0 : 2) + finer;
        const std::size_t compared = compared_points(change);
        const std::string last = change.points.empty() ? "–" : with_minus(fixed_text(change.points.back().value, decimals));
        const bool only_one = !change.current && compared == 1;  // described, not followed
        const auto block = [&](const std::optional<CourseBlock>& part) { return part ? with_minus(fixed_text(part->value, decimals)) : std::string("–"); };
        const std::size_t limit = lower_limits(change) > 0 ? note_number(table, change.reason) : 0;
        table.rows.push_back({Cell{change.title + ", " + change.unit, limit, change.key}, block(change.baseline),
                              only_one ? last : block(change.current), last,
                              with_plus(change.change, with_unit_of_change(change, change.change, change_decimals)),
                              needed_cell(change, change_decimals, table),
                              fmt::format("{}", compared), said_cell(change, table)});
    }
    return table;
}

ReportTable evidence_table(const Phase& phase) {
    ReportTable table{words::kEvidenceCaption,
                      {{words::kMeasureColumn},
                       {words::kIntervalOfTheChange, true, kChange},
                       {words::kSlopeAWeek, true, kSlope},
                       {words::kIntervalOfTheSlope, true, kSlope},
                       {"p", true, kP},
                       {"p, accounted", true, kAccountedP},
                       {"SEM", true, kSem},
                       {"MDC95", true, kMdc95}},
                      {},
                      {}};
    for (const MeasureChange* change : primary_measures(phase)) {
        if (!is_enough(*change) || !change->p || !change->p_adjusted) continue;
        const int decimals = change->change_unit == "%" ? 1 : 2;
        const auto number = [&](const std::optional<double>& value) { return with_minus(number_or_dash(value, decimals)); };
        table.rows.push_back({Cell{fmt::format("{}, {}", change->title, unit_of_change(*change, "")), 0, change->key},
                              change_interval(change->change_low, change->change_high, decimals), signed_number(change->slope_per_week, decimals),
                              change_interval(change->slope_low, change->slope_high, decimals), p_text(*change->p), p_text(*change->p_adjusted),
                              number(change->sem), number(change->mdc95)});
    }
    return table;
}

}  // namespace tracehold
