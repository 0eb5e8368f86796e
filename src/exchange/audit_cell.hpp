#pragma once
// What of a cell is hidden, by the keys of the JSON and the columns of the CSV.
#include <string_view>
#include <vector>

#include "tracehold/audit/audit.hpp"

namespace tracehold {

inline std::vector<std::string_view> suppressed_keys(const AuditCell& cell) {
    std::vector<std::string_view> keys;
    if (cell.numerator.suppressed) keys.push_back("numerator");
    if (cell.denominator.suppressed) keys.push_back("denominator");
    if (cell.numerator.suppressed || cell.denominator.suppressed) keys.push_back("share");
    if (cell.numerator.suppressed || cell.denominator.suppressed || cell.ci95_suppressed) keys.push_back("ci95");
    if (cell.median_suppressed) keys.push_back("median");
    if (cell.median_n.suppressed) keys.push_back("median_n");
    return keys;
}

}  // namespace tracehold
