// An audit as one JSON object. Keys keep their order and, within schema /1, their meaning; keys may be added.
#include "exchange/audit_cell.hpp"
#include "exchange/enum_words.hpp"
#include "exchange/json_text.hpp"
#include "exchange/made_with_json.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_audit.hpp"

namespace tracehold {
namespace {

Json day_json(const std::optional<std::chrono::sys_days>& day) {
    return day ? Json(date_text({*day, std::nullopt})) : Json(nullptr);
}

Json count_json(const AuditCount& count) { return count.value ? Json(*count.value) : Json(nullptr); }

Json interval_json(const std::optional<ShareInterval>& interval) {
    return interval ? Json::array({json_number(interval->low), json_number(interval->high)}) : Json(nullptr);
}

// The members of a cell, behind those that are there already.
Json with_cell(Json json, const AuditCell& cell) {
    const auto hidden = suppressed_keys(cell);
    json.update({{"numerator", count_json(cell.numerator)},
                 {"denominator", count_json(cell.denominator)},
                 {"share", json_number(cell.share)},
                 {"ci95", interval_json(cell.ci95)},
                 {"median", json_number(cell.median)},
                 {"median_n", count_json(cell.median_n)},
                 {"suppressed", !hidden.empty()},
                 {"suppressed_keys", hidden},
                 {"reason", json_text(cell.reason)}});
    return json;
}

Json settings_json(const Audit& audit) {
    const AuditSettings& settings = audit.settings;
    return {{"for", to_string(settings.audience)},
            {"min_cell", settings.audience == Audience::others ? Json(settings.min_cell) : Json(nullptr)},
            {"from", day_json(settings.from)},
            {"to", day_json(settings.to)},
            {"identity", to_string(audit.identity)},
            {"adherence_at_least_pct", json_number(settings.adherence_at_least_pct.value_or(kAdherenceAtLeast_pct))},
            {"rest_below_uv", json_number(settings.rest_below_uv)},
            {"review_within_days", json_number(settings.review_within_days)},
            {"chart_rules", to_string(settings.xmr.rules)},
            {"chart_baseline_months", settings.xmr.baseline ? Json(*settings.xmr.baseline) : Json(nullptr)}};
}

Json period_json(const Audit& audit) {
    return {{"first", day_json(audit.first)}, {"last", day_json(audit.last)}, {"text", audit.period}};
}

Json stage_json(const AuditCount& count) { return {{"count", count_json(count)}, {"suppressed", count.suppressed}}; }

Json flow_json(const AuditFlow& flow) {
    Json reasons = Json::array();
    for (const AuditReason& reason : flow.reasons) {
        reasons.push_back({{"before", reason.stage},
                           {"code", reason.code},
                           {"text", reason.text},
                           {"count", count_json(reason.recordings)},
                           {"suppressed", reason.recordings.suppressed}});
    }
    return {{"found", stage_json(flow.found)},   {"readable", stage_json(flow.readable)},
            {"scored", stage_json(flow.scored)}, {"in_analysis", stage_json(flow.in_analysis)},
            {"people", stage_json(flow.people)}, {"lost", reasons},
            {"people_listed_only", stage_json(flow.listed_only)}};
}

Json measures_json(const std::vector<AuditMeasure>& measures) {
    Json json = Json::object();
    for (const AuditMeasure& measure : measures) {
        const Json texts{{"title", measure.title},
                         {"counts", measure.counts},
                         {"definition", measure.definition},
                         {"source", measure.source},
                         {"median_of", json_text(measure.value_title)},
                         {"median_unit", json_text(measure.value_unit)}};
        json[std::string(measure.key)] = with_cell(texts, measure.overall);
        json[std::string(measure.key)]["people_without"] = stage_json(measure.missing);
    }
    return json;
}

Json run_chart_json(const RunChart& run) {
    return {{"points", run.n},
            {"useful_points", run.useful},
            {"median_share", run.n > 0 ? json_number(run.median) : Json(nullptr)},
            {"longest_run", run.longest_run},
            {"longest_run_allowed", run.longest_allowed ? Json(*run.longest_allowed) : Json(nullptr)},
            {"crossings", run.crossings},
            {"fewest_crossings_allowed", run.fewest_crossings ? Json(*run.fewest_crossings) : Json(nullptr)},
            {"long_run", run.long_run ? Json(*run.long_run) : Json(nullptr)},
            {"few_crossings", run.few_crossings ? Json(*run.few_crossings) : Json(nullptr)},
            {"reason", json_text(run.reason)}};
}

Json xmr_json(const AuditMeasure& measure) {
    if (!measure.series.xmr) return nullptr;
    const XmrChart& chart = *measure.series.xmr;
    Json signals = Json::array();
    for (const XmrSignal& signal : chart.signals) {
        signals.push_back(
            {{"month", measure.months[measure.series.points[signal.point]].group}, {"rule", signal.rule}});
    }
    return {{"rules", to_string(chart.rules)},
            {"rules_text", describe(chart.rules)},
            {"points", chart.n},
            {"baseline_points", chart.baseline},
            {"mean", json_number(chart.mean)},
            {"mean_range", json_number(chart.mean_range)},
            {"low", json_number(chart.low)},
            {"high", json_number(chart.high)},
            {"range_limit", json_number(chart.range_limit)},
            {"signals", signals},
            {"reason", json_text(chart.reason)}};
}

Json series_json(const std::vector<AuditMeasure>& measures) {
    Json json = Json::object();
    for (const AuditMeasure& measure : measures) {
        Json months = Json::array();
        for (const AuditRow& row : measure.months) months.push_back(with_cell({{"month", row.group}}, row.cell));
        json[std::string(measure.key)] = {{"month_of", measure.month_of},
                                          {"months", months},
                                          {"fewest_on_charts", measure.series.fewest},
                                          {"run_chart", run_chart_json(measure.series.run)},
                                          {"xmr_chart", xmr_json(measure)}};
    }
    return json;
}

Json funnel_json(const AuditMeasure& measure) {
    Json points = Json::array();
    for (const FunnelPoint& point : measure.funnel) {
        points.push_back({{"group", json_text(point.group)},
                          {"denominator", point.denominator},
                          {"share", json_number(point.share)},
                          {"low_998", json_number(point.limits.low_998)},
                          {"low_95", json_number(point.limits.low_95)},
                          {"high_95", json_number(point.limits.high_95)},
                          {"high_998", json_number(point.limits.high_998)},
                          {"place", to_string(point.place)}});
    }
    return points;
}

Json by_json(const Audit& audit) {
    Json measures = Json::object();
    for (const AuditMeasure& measure : audit.measures) {
        Json groups = Json::array();
        for (const AuditRow& row : measure.groups)
            groups.push_back(with_cell({{"group", json_text(row.group)}}, row.cell));
        measures[std::string(measure.key)] = {
            {"groups", groups}, {"funnel", funnel_json(measure)}, {"no_funnel", json_text(measure.no_funnel)}};
    }
    return {{"grouping", to_string(audit.settings.by)},
            {"column", json_text(audit.settings.column)},
            {"measures", measures}};
}

Json directions_json(const std::vector<AuditDirections>& directions) {
    Json json = Json::object();
    for (const AuditDirections& each : directions) {
        json[each.key] = {{"title", each.title},
                          {"more", each.more},
                          {"less", each.less},
                          {"both", each.both},
                          {"no_change_shown", each.no_change_shown},
                          {"not_enough", each.not_enough}};
    }
    return json;
}

}  // namespace

std::string audit_json(const Audit& audit, int indent, const MadeWith& made_with) {
    return written(
        {{"schema", kAuditSchema},
         {"tool", {{"name", kName}, {"version", audit.tool_version}, {"measures_version", audit.measures_version}}},
         {"settings", settings_json(audit)},
         {"period", period_json(audit)},
         {"inclusion", audit.inclusion},
         {"inputs_sha256", json_text(audit.inputs_sha256)},
         {"flow", flow_json(audit.flow)},
         {"measures", measures_json(audit.measures)},
         {"series", series_json(audit.measures)},
         {"by", by_json(audit)},
         {"directions", directions_json(audit.directions)},
         {"notes", notes_json(audit.notes)},
         {"made_with", made_with_json(made_with)}},
        indent);
}

}  // namespace tracehold
