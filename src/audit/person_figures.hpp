#pragma once
// What one person adds to an audit.
#include <chrono>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "tracehold/audit/audit_service.hpp"

namespace tracehold {

struct MonthFigures {
    std::size_t recordings = 0, usable = 0;
    double planned_sessions = 0.0;  // weeks belong to the month of their Thursday
    std::size_t sessions = 0;       // in weeks with a dose
};

struct Direction {
    bool more = false, less = false, none_shown = false, seen = false;
};

// Always true: recordings 0 = not in the analysis, and then nothing but left_out is set.
struct PersonFigures {
    std::map<std::string, std::size_t> left_out;  // code -> recordings
    std::size_t recordings = 0, usable = 0;
    std::vector<std::string> hashes;  // of the recordings in the analysis
    std::string group;                // at the first recording that names one
    bool several_groups = false;
    std::chrono::sys_days first{}, last{};
    std::map<std::string, MonthFigures> months;
    double planned_sessions = 0.0;
    std::size_t sessions = 0;
    bool weeks_not_stated = false;    // a dose without its weeks: adherence ends with the last session
    std::optional<bool> kept_coming;  // empty: no weeks stated, or begun too late to say
    std::size_t by_other_version = 0;    // recordings
    std::set<std::string> other_versions;
    std::optional<bool> changed;  // empty: not enough for a statement
    std::map<std::string, Direction> directions;
    std::optional<double> rest_uv;
    std::optional<double> plan_rest_below_uv;
    std::optional<double> review_days;
    bool early_review = false;  // the list dates one before the very first recording
};

// What all people are looked at by. end: the last day of the audit.
struct PersonBasis {
    const AuditTally& tally;
    const AuditSettings& settings;
    const ChartPerson& chart;
    std::optional<std::chrono::sys_days> end;
};

// In: records of one person, sorted here so that their order of input does not matter.
PersonFigures figures_of(const std::string& person, std::vector<SessionRecord> records, const PersonBasis& basis);

bool outside_period(const SessionRecord& record, const AuditSettings& settings);

std::string month_text(std::chrono::sys_days day);  // "2026-03"

}  // namespace tracehold
