#include "audit/measure_rows.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

using Rows = std::map<std::string, Gathered>;

using Told = std::vector<ToldPeople>;

bool few_apart(std::size_t a, std::size_t b, std::size_t min_cell) { return a != b && std::max(a, b) - std::min(a, b) < min_cell; }

// A row that another measure hides stays hidden: what it counts here would bound what it counts there.
bool closed_by(const ToldPeople::Rows& rows, const std::string& group, std::size_t people, std::size_t min_cell) {
    const auto row = rows.find(group);
    return people > 0 && row != rows.end() && (!row->second || few_apart(*row->second, people, min_cell));
}

std::vector<CountRow> counts_of(const Rows& rows, const Told& told, ToldPeople::Rows ToldPeople::*part, std::size_t min_cell) {
    std::vector<CountRow> counts;
    for (const auto& [group, row] : rows) {
        counts.push_back(row.counts);
        counts.back().closed = std::any_of(told.begin(), told.end(), [&](const ToldPeople& other) {
            return closed_by(other.*part, group, row.counts.people, min_cell);
        });
    }
    return counts;
}

ToldPeople::Rows told_by(const Rows& rows, const std::vector<RowShown>& shown) {
    ToldPeople::Rows told;
    std::size_t i = 0;
    for (const auto& [group, row] : rows) {
        const bool open = shown[i++].denominator;
        told[group] = open ? std::optional(row.counts.people) : std::nullopt;
    }
    return told;
}

// The rows that not both show differ together by what all differ less what the others do.
bool rest_few_apart(const ToldPeople& own, const ToldPeople& other, ToldPeople::Rows ToldPeople::*part, std::size_t min_cell) {
    if (!own.all || !other.all || (own.*part).empty() || (other.*part).empty()) return false;
    std::size_t rest = *own.all, other_rest = *other.all;
    for (const auto& [group, people] : own.*part) {
        const auto row = (other.*part).find(group);
        if (!people || row == (other.*part).end() || !row->second) continue;
        rest -= *people, other_rest -= *row->second;
    }
    return few_apart(rest, other_rest, min_cell);
}

struct Shown {
    RowShown all;
    std::vector<RowShown> months, groups;
};

ToldPeople people_told(const MeasureTable& table, const Shown& shown) {
    ToldPeople own;
    if (shown.all.denominator) own.all = table.all.counts.people;
    own.groups = told_by(table.groups, shown.groups);
    if (table.months_own_people) own.months = told_by(table.months, shown.months);
    return own;
}

// Hiding the row of all for the sake of one table may call for more in the other: until both are content.
Shown choose_beside(const MeasureTable& table, const CountRow& all, const Told& told, const RowPolicy& policy) {
    const AuditSettings& settings = policy.settings;
    const auto groups = counts_of(table.groups, told, &ToldPeople::groups, settings.min_cell);
    const auto months = counts_of(table.months, table.months_own_people ? told : Told{}, &ToldPeople::months, settings.min_cell);
    Shown shown{{}, std::vector<RowShown>(months.size()), std::vector<RowShown>(groups.size())};
    const bool hide_people = policy.hide_people && table.counts_recordings;
    const TableShape by_group{settings.min_cell, true, true, hide_people};
    const TableShape by_month{settings.min_cell, table.months_add_up, table.months_own_people, hide_people};
    RowShown before;
    do {
        before = shown.all;
        shown.groups = suppress_rows(all, shown.all, groups, by_group);
        if (shows_months(settings)) shown.months = suppress_rows(all, shown.all, months, by_month);
    } while (shown.all != before);
    return shown;
}

// Recordings tell no people: hide_people sees to that.
Shown choose_shown(const MeasureTable& table, const RowPolicy& policy, Told& told) {
    if (policy.settings.audience == Audience::team) {
        return {{}, std::vector<RowShown>(table.months.size()), std::vector<RowShown>(table.groups.size())};
    }
    CountRow all = table.all.counts;
    if (table.counts_recordings) return choose_beside(table, all, {}, policy);
    const std::size_t min_cell = policy.settings.min_cell;
    const auto any_told = [&](const auto& is) { return std::any_of(told.begin(), told.end(), is); };
    all.closed = any_told([&](const ToldPeople& other) { return other.all && few_apart(*other.all, all.people, min_cell); });
    Shown shown = choose_beside(table, all, told, policy);
    const ToldPeople own = people_told(table, shown);
    if (any_told([&](const ToldPeople& other) {
            return rest_few_apart(own, other, &ToldPeople::groups, min_cell) || rest_few_apart(own, other, &ToldPeople::months, min_cell);
        })) {
        all.closed = true;
        shown = choose_beside(table, all, told, policy);
    }
    told.push_back(people_told(table, shown));
    return shown;
}

AuditCount count_if_shown(std::size_t count, bool shown) {
    return shown ? AuditCount{count, false} : AuditCount{std::nullopt, true};
}

// A median is the value of one person or two, says on which side of a target half of the people are, and how many have
// a value may say how many have none. So for others it stands for twice as many people as a count, rounded, and beside
// a share that is shown; its n only where it is the denominator.
void add_median(AuditCell& cell, const Gathered& row, RowShown shown, double step, const AuditSettings& settings) {
    const bool team = settings.audience == Audience::team;
    const bool enough = row.values.size() >= 2 * settings.min_cell;
    const bool whole = shown.numerator && shown.denominator;
    cell.median_suppressed = !team && !row.values.empty() && !(enough && whole);
    cell.median_n = count_if_shown(row.values.size(), team || (whole && row.values.size() == row.counts.total()));
    if (row.values.empty() || cell.median_suppressed) return;
    const double exact = median(row.values);
    cell.median = team ? exact : std::round(exact / step) / std::round(1.0 / step);
}

void add_share(AuditCell& cell, const Gathered& row, bool counts_recordings, bool hide_people) {
    const auto share =
        counts_recordings ? clustered_proportion(row.people) : wilson(row.counts.yes, row.counts.total());
    if (!share) return;
    cell.share = share->share;
    cell.ci95_suppressed = counts_recordings && hide_people;
    if (!cell.ci95_suppressed) cell.ci95 = ShareInterval{share->ci95_low, share->ci95_high};
}

// What all cells of a measure have in common.
struct CellRules {
    const MeasureTable& table;
    const Reasons& reasons;
    const RowPolicy& policy;
    double value_step;
};

AuditCell cell_of(const Gathered& row, RowShown shown, const CellRules& rules) {
    AuditCell cell;
    cell.numerator = count_if_shown(row.counts.yes, shown.numerator);
    cell.denominator = count_if_shown(row.counts.total(), shown.denominator);
    if (shown.numerator && shown.denominator) {
        add_share(cell, row, rules.table.counts_recordings, rules.policy.hide_people);
    }
    const Reasons& reasons = rules.reasons;
    if (!(shown.numerator && shown.denominator)) {  // whether anybody has a value would say something of the counts
        cell.median_n.suppressed = cell.median_suppressed = !reasons.no_median.empty();
        return cell;
    }
    if (row.counts.total() == 0) cell.reason = reasons.no_share;
    if (reasons.no_median.empty()) return cell;
    add_median(cell, row, shown, rules.value_step, rules.policy.settings);
    if (row.values.empty() && cell.reason != reasons.no_median) {
        cell.reason += (cell.reason.empty() ? "" : "; ");
        cell.reason += reasons.no_median;
    }
    return cell;
}

// A month that has hardly begun, or ended, moves by chance more than the others do. A quarter is our choice.
std::size_t fewest_on_charts(const AuditMeasure& measure, const AuditSettings& settings) {
    std::vector<double> counted;
    for (const AuditRow& row : measure.months) {
        if (row.cell.share) counted.push_back(static_cast<double>(*row.cell.denominator.value));
    }
    if (counted.empty()) return settings.min_cell;
    return std::max(settings.min_cell, static_cast<std::size_t>(std::ceil(median(counted) / 4.0)));
}

bool is_hidden(const AuditCell& cell) { return cell.numerator.suppressed || cell.denominator.suppressed; }

// Which months are hidden depends on their shares: the others alone would mislead.
bool hides_months(const AuditMeasure& measure) {
    return std::any_of(measure.months.begin(), measure.months.end(), [&](const AuditRow& row) {
        const AuditCount& counted = row.cell.denominator;
        return is_hidden(row.cell) && counted.value.value_or(measure.series.fewest) >= measure.series.fewest;
    });
}

void add_series(AuditMeasure& measure, const AuditSettings& settings) {
    std::vector<double> values;
    measure.series.fewest = fewest_on_charts(measure, settings);
    if (hides_months(measure)) {
        measure.series.run.reason = "months are hidden, and what is left would be no fair picture";
        return;
    }
    for (std::size_t i = 0; i < measure.months.size(); ++i) {
        const AuditCell& cell = measure.months[i].cell;
        if (!cell.share || *cell.denominator.value < measure.series.fewest) continue;
        measure.series.points.push_back(i);
        values.push_back(*cell.share);
    }
    measure.series.run = run_chart(values);
    measure.series.xmr = xmr_chart(values, settings.xmr);
}

FunnelPlace place_of(double share, const FunnelLimits& limits) {
    if (share < limits.low_998 || share > limits.high_998) return FunnelPlace::outside_998;
    if (share < limits.low_95 || share > limits.high_95) return FunnelPlace::outside_95;
    return FunnelPlace::within;
}

// From what is shown alone.
std::string_view why_no_funnel(const AuditMeasure& measure, bool counts_recordings, Grouping by) {
    if (by != Grouping::site && by != Grouping::column) return "no groups were asked for";
    if (measure.groups.empty()) return "nobody is in a group";
    if (counts_recordings) return "recordings of one person hang together: binomial limits would be too narrow";
    if (measure.overall.share) return "";
    return is_hidden(measure.overall) ? "the share of all is hidden" : "there is no share of all to compare with";
}

std::string_view why_no_points(const AuditMeasure& measure) {
    const bool hidden = std::any_of(measure.groups.begin(), measure.groups.end(), [](const AuditRow& row) { return is_hidden(row.cell); });
    return hidden ? "every group with a share is hidden" : "no group has a share";
}

void add_funnel(AuditMeasure& measure, bool counts_recordings, Grouping by) {
    measure.no_funnel = why_no_funnel(measure, counts_recordings, by);
    if (!measure.no_funnel.empty()) return;
    for (const AuditRow& row : measure.groups) {
        if (!row.cell.share) continue;
        const std::size_t n = *row.cell.denominator.value;
        const auto limits = funnel_limits(n, *measure.overall.share);
        if (!limits) continue;
        const double share = *row.cell.share;
        measure.funnel.push_back({row.group, n, share, *limits, place_of(share, *limits)});
    }
    if (measure.funnel.empty()) measure.no_funnel = why_no_points(measure);
}

}  // namespace

bool shows_months(const AuditSettings& settings) {
    return settings.audience == Audience::team || settings.by != Grouping::column;
}

void fill_rows(AuditMeasure& measure, const MeasureTable& table, const Reasons& reasons, const RowPolicy& policy,
               std::vector<ToldPeople>& told) {
    const AuditSettings& settings = policy.settings;
    const Shown shown = choose_shown(table, policy, told);
    const CellRules rules{table, reasons, policy, measure.value_step};
    const auto fill = [&](std::vector<AuditRow>& out, const Rows& rows, const std::vector<RowShown>& flags) {
        std::size_t i = 0;
        for (const auto& [group, row] : rows) {
            out.push_back({group, cell_of(row, flags[i++], rules)});
        }
    };
    measure.overall = cell_of(table.all, shown.all, rules);
    if (shows_months(settings)) fill(measure.months, table.months, shown.months);
    fill(measure.groups, table.groups, shown.groups);
    add_series(measure, settings);
    add_funnel(measure, table.counts_recordings, settings.by);
}

}  // namespace tracehold
