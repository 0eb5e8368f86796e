// Tidy CSV: one row a measure and cell, so that any table program can filter and draw.
#include <fmt/format.h>

#include "exchange/audit_cell.hpp"
#include "exchange/csv_cell.hpp"
#include "exchange/enum_words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_audit.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kCellsSchema = "tracehold.audit_cells/1";

std::string count_cell(const AuditCount& count) { return count.value ? fmt::format("{}", *count.value) : ""; }

// UCUM: a day is 'd', micro is 'u'.
std::string_view ucum_of(std::string_view unit) { return unit == "µV" ? "uV" : unit; }

std::string hidden_cell(const AuditCell& cell) {
    std::string text;
    for (const std::string_view key : suppressed_keys(cell)) {
        const bool both = key == "ci95";
        text += (text.empty() ? "" : " ") + (both ? std::string("ci95_low ci95_high") : std::string(key));
    }
    return text;
}

std::string row(const AuditMeasure& measure, std::string_view table, const std::string& group, const AuditCell& cell,
                const Audit& audit) {
    const auto low = cell.ci95 ? std::optional(cell.ci95->low) : std::nullopt;
    const auto high = cell.ci95 ? std::optional(cell.ci95->high) : std::nullopt;
    return fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n", kCellsSchema,
                       to_string(audit.settings.audience), measure.key, measure.counts, table, csv_text_cell(group),
                       count_cell(cell.numerator), count_cell(cell.denominator), number_cell(cell.share),
                       number_cell(low), number_cell(high), number_cell(cell.median),
                       measure.value_unit.empty() ? "" : ucum_of(measure.value_unit), count_cell(cell.median_n),
                       hidden_cell(cell), csv_text_cell(cell.reason));
}

std::string flow_row(std::string_view stage, std::string_view reason, std::string_view counts, const AuditCount& count,
                     const Audit& audit) {
    return fmt::format("{},{},flow,{},{},{},{},,,,,,,,{},\n", kCellsSchema, to_string(audit.settings.audience), counts,
                       stage, reason, count_cell(count), count.suppressed ? "numerator" : "");
}

std::string flow_rows(const Audit& audit) {
    const AuditFlow& flow = audit.flow;
    std::string rows = flow_row("found", "", "recordings", flow.found, audit);
    const auto stage = [&](std::string_view name, const AuditCount& count) {
        for (const AuditReason& reason : flow.reasons) {
            if (reason.stage == name)
                rows += flow_row("lost_before_" + reason.stage, reason.code, "recordings", reason.recordings, audit);
        }
        rows += flow_row(name, "", "recordings", count, audit);
    };
    stage("readable", flow.readable);
    stage("scored", flow.scored);
    stage("in_analysis", flow.in_analysis);
    rows += flow_row("in_analysis", "", "people", flow.people, audit);
    return rows + flow_row("listed_only", "", "people", flow.listed_only, audit);
}

}  // namespace

std::string audit_csv(const Audit& audit) {
    std::string rows =
        "schema,for,measure,counts,table,group,numerator,denominator,share,ci95_low,ci95_high,median,median_unit,"
        "median_n,suppressed,reason\n";
    rows += flow_rows(audit);
    for (const AuditMeasure& measure : audit.measures) {
        rows += row(measure, "overall", "", measure.overall, audit);
        for (const AuditRow& each : measure.months) rows += row(measure, "month", each.group, each.cell, audit);
        for (const AuditRow& each : measure.groups) rows += row(measure, "group", each.group, each.cell, audit);
    }
    return rows;
}

}  // namespace tracehold
