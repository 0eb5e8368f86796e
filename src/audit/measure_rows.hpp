#pragma once
// From true counts to what is shown: suppression, shares, medians, charts.
#include <string_view>

#include "audit/tables.hpp"

namespace tracehold {

// Why a measure has no share or no median, in words for the reader.
struct Reasons {
    std::string_view no_share, no_median;
};

// hide_people: how many people are behind a row must stay open.
struct RowPolicy {
    const AuditSettings& settings;
    bool hide_people = false;
};

// In: measure with its texts. Fills overall, months, groups, series, funnel; leaves missing to the caller.
void fill_rows(AuditMeasure& measure, const MeasureTable& table, const Reasons& reasons, const RowPolicy& policy);

// The months are left out for others beside a named column.
bool shows_months(const AuditSettings& settings);

}  // namespace tracehold
