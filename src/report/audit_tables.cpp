// The figures of an audit as tables.
#include <fmt/format.h>

#include "report/audit_sections.hpp"
#include "report/audit_text.hpp"
#include "report/en/audit.hpp"

namespace tracehold {
namespace {

void add_stage(ReportTable& table, const AuditFlow& flow, std::string_view stage, const AuditCount& count) {
    for (const AuditReason& reason : flow.reasons) {
        if (reason.stage == stage)
            table.rows.push_back(
                {Cell("not " + stage_text(stage) + ": " + reason.text), Cell(count_text(reason.recordings))});
    }
    table.rows.push_back({Cell(stage_text(stage)), Cell(count_text(count))});
}

std::vector<Cell> cells_of(const AuditMeasure& measure, const AuditCell& cell) {
    std::vector<Cell> cells = {count_text(cell.numerator), count_text(cell.denominator), share_text(cell),
                               interval_text(cell)};
    if (!measure.value_title.empty()) cells.emplace_back(median_text(measure, cell));
    return cells;
}

}  // namespace

std::string stage_text(std::string_view stage) {
    if (stage == "in_analysis") return words::kInTheAnalysis;
    return stage == "scored" ? "given a result" : std::string(stage);
}

ReportTable flow_table(const AuditFlow& flow) {
    ReportTable table{words::kFlowCaption, {{words::kStepColumn}, {words::kRecordingsColumn, true}}, {}, {}};
    table.rows.push_back({Cell("found"), Cell(count_text(flow.found))});
    add_stage(table, flow, "readable", flow.readable);
    add_stage(table, flow, "scored", flow.scored);
    add_stage(table, flow, "in_analysis", flow.in_analysis);
    table.rows.push_back({Cell(words::kPeopleInTheAnalysis), Cell(count_text(flow.people))});
    return table;
}

ReportTable overall_table(const Audit& audit) {
    ReportTable table{
        words::kOverallCaption,
        {{words::kMeasureColumn}, {words::kCounted}, {words::kShareColumn, true}, {words::kIntervalColumn, true}, {words::kMedianColumn, true}, {words::kWithout, true}},
        {},
        {}};
    for (const AuditMeasure& measure : audit.measures) {
        std::vector<Cell> row;
        row.emplace_back(std::string(measure.title), 0, std::string(measure.key));
        const bool none = measure.overall.denominator.value == std::size_t{0};
        // Where there is no share the reason stands for its parts: a count of nobody would read as if none had done it.
        row.emplace_back(none ? "–" : fmt::format("{} {}", of_text(measure.overall), measure.counts));
        row.emplace_back(share_text(measure.overall));
        row.emplace_back(interval_text(measure.overall));
        row.emplace_back(measure.value_title.empty() ? "–" : median_text(measure, measure.overall));
        row.emplace_back(none ? "–" : count_text(measure.missing));
        if (!measure.overall.reason.empty()) {
            table.notes.push_back(measure.overall.reason);
            row[2].note = table.notes.size();
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

ReportTable rows_table(const AuditMeasure& measure, const std::vector<AuditRow>& rows, const std::string& first_title) {
    ReportTable table;
    table.columns = {
        {first_title}, {"Yes", true}, {"Of " + std::string(measure.counts), true}, {words::kShareColumn, true}, {words::kIntervalColumn, true}};
    if (!measure.value_title.empty()) table.columns.push_back({words::kMedianColumn, true});
    for (const AuditRow& row : rows) {
        std::vector<Cell> cells = {group_text(row.group)};
        for (Cell& cell : cells_of(measure, row.cell)) cells.push_back(std::move(cell));
        table.rows.push_back(std::move(cells));
    }
    return table;
}

ReportTable directions_table(const std::vector<AuditDirections>& directions) {
    ReportTable table{
        words::kDirectionsCaption,
        {{words::kMeasureColumn}, {words::kMore, true}, {words::kLess, true}, {words::kBoth, true}, {words::kNoChangeShown, true}, {words::kNotEnough, true}},
        {},
        {}};
    const auto number = [](std::size_t n) { return Cell(fmt::format("{}", n)); };
    for (const AuditDirections& each : directions) {
        table.rows.push_back({Cell(each.title), number(each.more), number(each.less), number(each.both),
                              number(each.no_change_shown), number(each.not_enough)});
    }
    return table;
}

}  // namespace tracehold
