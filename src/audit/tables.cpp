#include "audit/tables.hpp"

#include <algorithm>

namespace tracehold {
namespace {

// One person's part in one row.
struct Part {
    std::optional<bool> yes;
    std::optional<double> value;
};

void add_part(Gathered& row, const Part& part) {
    if (part.value) row.values.push_back(*part.value);
    if (!part.yes) {
        ++row.missing;
        return;
    }
    CountRow& counts = row.counts;
    ++(*part.yes ? counts.yes : counts.no);
    ++(*part.yes ? counts.people_yes : counts.people_no);
    ++counts.people;
}

void add_recordings(Gathered& row, Cluster part) {
    CountRow& counts = row.counts;
    counts.yes += part.count;
    counts.no += part.total - part.count;
    counts.people_yes += part.count > 0 ? 1 : 0;
    counts.people_no += part.total > part.count ? 1 : 0;
    ++counts.people;
    row.people.push_back(part);
}

bool grouped(const AuditSettings& settings) { return settings.by == Grouping::site || settings.by == Grouping::column; }

// Of measures where a person counts once: they are counted in the month of their first recording.
void add_once(MeasureTable& table, const PersonFigures& person, const Part& part, const AuditSettings& settings) {
    add_part(table.all, part);
    add_part(table.months[month_text(person.first)], part);
    if (grouped(settings)) add_part(table.groups[person.group], part);
}

void gather_signal(MeasureTable& table, const PersonFigures& person, const AuditSettings& settings) {
    const Cluster own{person.usable, person.recordings};
    add_recordings(table.all, own);
    if (grouped(settings)) add_recordings(table.groups[person.group], own);
    for (const auto& [month, figures] : person.months) {
        if (figures.recordings > 0) add_recordings(table.months[month], {figures.usable, figures.recordings});
    }
}

// Less than one session prescribed is no ground to judge adherence by. More sessions than prescribed are no better adherence.
Part adherence_part(double planned, std::size_t sessions, const AuditSettings& settings) {
    if (planned < 1.0) return {};
    const double share_pct = 100.0 * static_cast<double>(sessions) / planned;
    // Doses of part weeks are sums of sevenths: the last digits of the sum do not decide.
    return {share_pct >= settings.adherence_at_least_pct.value_or(kAdherenceAtLeast_pct) - 1e-9, std::min(share_pct, 100.0)};
}

void gather_adherence(MeasureTable& table, const PersonFigures& person, const AuditSettings& settings) {
    const Part own = adherence_part(person.planned_sessions, person.sessions, settings);
    add_part(table.all, own);
    if (grouped(settings)) add_part(table.groups[person.group], own);
    for (const auto& [month, figures] : person.months) {
        add_part(table.months[month], adherence_part(figures.planned_sessions, figures.sessions, settings));
    }
}

Part rest_part(const PersonFigures& person, const AuditSettings& settings) {
    const auto below_uv = settings.rest_below_uv ? settings.rest_below_uv : person.plan_rest_below_uv;
    if (!person.rest_uv) return {};
    if (!below_uv) return {std::nullopt, person.rest_uv};
    return {*person.rest_uv < *below_uv, person.rest_uv};
}

// Only people whose time is over count in the share: counting the early ones at once and the late ones only later would
// flatter the service.
Part review_part(const PersonFigures& person, const AuditSettings& settings, const ReviewBasis& reviews) {
    const auto& limit = settings.review_within_days;
    const auto seen_for = static_cast<double>((reviews.end - person.first).count());
    if (!limit || !reviews.tells_reviews || seen_for < *limit) {
        return {std::nullopt, person.review_days};
    }
    return {person.review_days && *person.review_days <= *limit, person.review_days};
}

}  // namespace

void gather(Tables& tables, const PersonFigures& person, const AuditSettings& settings, const ReviewBasis& reviews) {
    if (person.recordings == 0) return;
    gather_signal(tables.signal, person, settings);
    gather_adherence(tables.adherence, person, settings);
    add_once(tables.coming, person, {person.kept_coming, std::nullopt}, settings);
    add_once(tables.change, person, {person.changed, std::nullopt}, settings);
    add_once(tables.rest, person, rest_part(person, settings), settings);
    add_once(tables.review, person, review_part(person, settings, reviews), settings);
}

}  // namespace tracehold
