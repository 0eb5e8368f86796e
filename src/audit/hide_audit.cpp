#include "tracehold/audit/hide_audit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace tracehold {
namespace {

std::chrono::year_month month_of(const std::string& text) {
    const std::chrono::year_month_day day{std::chrono::floor<std::chrono::days>(parse_civil_time(text + "-01")->local)};
    return day.year() / day.month();
}

// The earliest month of any measure: a week belongs to the month of its Thursday, which may be one before the first
// recording's.
std::string first_month(const std::vector<AuditMeasure>& measures) {
    std::string first;
    for (const AuditMeasure& measure : measures) {
        for (const AuditRow& row : measure.months) first = first.empty() ? row.group : std::min(first, row.group);
    }
    return first;
}

void count_months(std::vector<AuditMeasure>& measures) {
    const std::string first = first_month(measures);
    for (AuditMeasure& measure : measures) {
        for (AuditRow& row : measure.months) row.group = fmt::format("month {}", (month_of(row.group) - month_of(first)).count() + 1);
    }
}

// The first measure has every month with a recording in it.
std::string counted_period(const Audit& audit, bool asked) {
    const auto& months = audit.measures.front().months;
    const std::string told = months.empty() ? "dates are not told" : fmt::format("{} to {}", months.front().group, months.back().group);
    return told + (asked ? " (a period was asked for)" : " (no period asked for)");
}

}  // namespace

Audit hide(Audit audit, const Identity& identity) {
    audit.identity = identity.level;
    if (identity.level != IdentityLevel::anonymous) return audit;
    audit.inputs_sha256.clear();
    const bool asked = audit.settings.from || audit.settings.to;
    for (auto* day : {&audit.first, &audit.last, &audit.settings.from, &audit.settings.to}) day->reset();
    count_months(audit.measures);
    audit.period = counted_period(audit, asked);
    audit.notes.push_back({"months_counted", "", "months are counted from the first one here; no date is told"});
    return audit;
}

}  // namespace tracehold
