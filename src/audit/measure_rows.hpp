#pragma once
// From true counts to what is shown: suppression, shares, medians, charts.
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

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

// How many people measures show in each row, as far as they count each person in one row; no number = hidden.
struct ToldPeople {
    using Rows = std::map<std::string, std::optional<std::size_t>>;
    std::optional<std::size_t> all;
    Rows months, groups;
};

// In: measure with its texts; told: the measures filled before it, of the same people. Fills overall, months, groups,
// series, funnel, and adds what it tells; leaves missing to the caller. Always true for others: no two measures show
// counts of one row, or of all rows that one of them hides, that differ by 1 to min_cell - 1 people.
void fill_rows(AuditMeasure& measure, const MeasureTable& table, const Reasons& reasons, const RowPolicy& policy,
               std::vector<ToldPeople>& told);

// The months are left out for others beside a named column.
bool shows_months(const AuditSettings& settings);

}  // namespace tracehold
