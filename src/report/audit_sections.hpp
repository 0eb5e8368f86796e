#pragma once
// The parts of an audit report.
#include <optional>
#include <string>
#include <vector>

#include "tracehold/audit/audit.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// Empty below two months on the charts.
std::optional<Figure> months_figure(const AuditMeasure& measure);
// Empty where there is no group to compare.
std::optional<Figure> funnel_figure(const AuditMeasure& measure);

// What the charts of a measure tell; "" where they tell nothing.
std::string run_text(const RunChart& run);
std::string xmr_text(const AuditMeasure& measure);
std::string funnel_text(const AuditMeasure& measure);
bool has_signal(const AuditMeasure& measure);  // of any kind

std::string stage_text(std::string_view stage);  // "in_analysis" as people say it

ReportTable flow_table(const AuditFlow& flow);
ReportTable overall_table(const Audit& audit);
ReportTable rows_table(const AuditMeasure& measure, const std::vector<AuditRow>& rows, const std::string& first_title);
ReportTable directions_table(const std::vector<AuditDirections>& directions);

}  // namespace tracehold
