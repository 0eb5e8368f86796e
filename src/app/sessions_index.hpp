#pragma once
// The sessions list for many look-ups, and what an audit takes from it.
#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "tracehold/audit/audit_tally.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/sessions_list.hpp"

namespace tracehold {

class SessionsIndex {
public:
    explicit SessionsIndex(const std::vector<SessionEntry>& entries);

    // As find_entry of the whole list.
    const SessionEntry* find(const std::string& path);

    // The files of rows that find() never gave, in the order of the list: slips of the pen, or of recordings that were
    // not asked for. None where all that was looked for is one recording and it has its row.
    std::vector<std::string> unused() const;

private:
    std::vector<std::string> files_;
    std::set<std::string> used_;
    std::size_t look_ups_ = 0;
    std::unordered_map<std::string, std::vector<SessionEntry>> by_base_name_;
};

// When a clinician reviewed the person.
inline constexpr std::string_view kReviewed = "reviewed";

// The value of a further column; null where there is none.
const std::string* other_value(const SessionEntry& entry, std::string_view column);

// The column of '--by COLUMN', "" where the row does not fill it: posture, plan, channel, or any other column but file,
// person and start, which would list people.
std::string column_value(const SessionEntry& entry, const std::string& column);

// Why there can be no groups by a column: no list, no such column (with those there are), one that would list people.
std::optional<Error> wrong_column(const std::vector<SessionEntry>& entries, const std::string& column, const std::string& list);

// group: of column, if one is asked for; reviewed: the column 'reviewed'. Errors: bad_setting (not a date).
SessionContext context_of(const SessionEntry& entry, const std::string& column, const std::string& list);

}  // namespace tracehold
