#include "report/audit_text.hpp"

#include <fmt/format.h>

#include "report/en/audit.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

bool counts_hidden(const AuditCell& cell) { return cell.numerator.suppressed || cell.denominator.suppressed; }

// A tenth of a percent means something from a thousand on.
int share_decimals(const AuditCell& cell) { return cell.denominator.value.value_or(0) >= 1000 ? 1 : 0; }

int audit_decimals(std::string_view unit) { return unit == "%" ? 0 : 1; }

}  // namespace

std::string count_text(const AuditCount& count) {
    if (count.suppressed) return words::kHidden;
    return count.value ? fmt::format("{}", *count.value) : "–";
}

std::string of_text(const AuditCell& cell) {
    return fmt::format("{} of {}", count_text(cell.numerator), count_text(cell.denominator));
}

std::string percent_text(double share) { return fixed_text(100.0 * share, 0) + " %"; }

std::string share_text(const AuditCell& cell) {
    if (counts_hidden(cell)) return words::kHidden;
    return cell.share ? fixed_text(100.0 * *cell.share, share_decimals(cell)) + " %" : "–";
}

std::string interval_text(const AuditCell& cell) {
    if (counts_hidden(cell) || cell.ci95_suppressed) return words::kHidden;
    if (!cell.ci95) return "–";
    const int decimals = share_decimals(cell);
    return fmt::format("{} to {} %", fixed_text(100.0 * cell.ci95->low, decimals),
                       fixed_text(100.0 * cell.ci95->high, decimals));
}

std::string median_text(const AuditMeasure& measure, const AuditCell& cell) {
    if (cell.median_suppressed) return words::kHidden;
    if (!cell.median) return "–";
    const std::string value = fixed_text(*cell.median, audit_decimals(measure.value_unit));
    return fmt::format("{} {} ({})", value, measure.value_unit, count_text(cell.median_n));
}

std::string group_text(const std::string& group) { return group.empty() ? words::kNotStated : group; }

bool is_hidden(const AuditCell& cell) {
    return counts_hidden(cell) || cell.ci95_suppressed || cell.median_suppressed || cell.median_n.suppressed;
}

}  // namespace tracehold
