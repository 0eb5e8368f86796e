#pragma once
// The noun of this room: a service over many people. It names nobody and lists no person.
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/audit/audit_settings.hpp"
#include "tracehold/core/identity_level.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/statistics/binomial.hpp"
#include "tracehold/statistics/proportions.hpp"
#include "tracehold/statistics/run_chart.hpp"
#include "tracehold/statistics/xmr_chart.hpp"

namespace tracehold {

// A number, or no number because it is suppressed, or no number because there is none.
struct AuditCount {
    std::optional<std::size_t> value;
    bool suppressed = false;
    bool operator==(const AuditCount&) const = default;
};

struct ShareInterval {
    double low = 0.0, high = 0.0;
    bool operator==(const ShareInterval&) const = default;
};

// One cell of a table. Always true: share only where numerator and denominator are shown; share and ci95 0..1.
// reason: why there is no share or no median; "" where there are both, or where one is suppressed.
struct AuditCell {
    AuditCount numerator, denominator;
    std::optional<double> share;
    std::optional<ShareInterval> ci95;
    bool ci95_suppressed = false;  // it would tell how many people are behind the recordings
    std::optional<double> median;  // of the people's values, AuditMeasure::value_unit
    AuditCount median_n;           // people with a value
    bool median_suppressed = false;
    std::string reason;
    bool operator==(const AuditCell&) const = default;
};

// A month ("2026-03"; "month 3" in an anonymous audit), a site or a value of the named column ("" = not stated).
struct AuditRow {
    std::string group;
    AuditCell cell;
    bool operator==(const AuditRow&) const = default;
};

// A group against what chance explains around the share of all. Words: "differs from the average more than chance
// explains", never "bad".
enum class FunnelPlace { within, outside_95, outside_998 };
std::string_view to_string(FunnelPlace place);

struct FunnelPoint {
    std::string group;
    std::size_t denominator = 0;
    double share = 0.0;
    FunnelLimits limits;
    FunnelPlace place = FunnelPlace::within;
    bool operator==(const FunnelPoint&) const = default;
};

// The share month by month. points: rows of AuditMeasure::months that have a share of at least `fewest`, in order of
// time. fewest: min_cell, or a quarter of what the middle month counts: fewer jump about by chance. Charts see only
// what the tables show, and there are none (run.reason says so) where a month that they need is hidden.
struct AuditSeries {
    std::size_t fewest = 0;
    std::vector<std::size_t> points;
    RunChart run;
    std::optional<XmrChart> xmr;  // empty below 2 points
    bool operator==(const AuditSeries&) const = default;
};

// One question asked of the service. counts: what numerator and denominator count: "people", or "recordings" (then the
// interval allows for those of one person hanging together).
struct AuditMeasure {
    std::string_view key, title, counts, definition, source;
    std::string_view value_title, value_unit;  // of the median; "" where there is none
    double value_step = 0.0;                   // medians for others are rounded to it
    std::string_view month_of;                 // which month a unit is counted in
    AuditCell overall;
    AuditCount missing;  // people in the analysis with nothing to count here
    std::vector<AuditRow> months, groups;
    AuditSeries series;
    std::vector<FunnelPoint> funnel;  // over groups; only measures that count people
    std::string no_funnel;            // why there is none; "" where there is one
    bool operator==(const AuditMeasure&) const = default;
};

// People by the direction of the change of one measure; for the team alone. both: more under some conditions, less
// under others.
struct AuditDirections {
    std::string key, title;
    std::size_t more = 0, less = 0, both = 0, no_change_shown = 0, not_enough = 0;
    bool operator==(const AuditDirections&) const = default;
};

// stage: what it was on its way to: "readable", "scored", "in_analysis". code: stable snake_case.
struct AuditReason {
    std::string stage, code, text;
    AuditCount recordings;
    bool operator==(const AuditReason&) const = default;
};

// Recordings (a scored channel of one recording each). Always true of the true counts:
// found = readable + its reasons, readable = scored + its reasons, scored = in_analysis + its reasons.
struct AuditFlow {
    AuditCount found, readable, scored, in_analysis;
    std::vector<AuditReason> reasons;  // none of 0
    AuditCount people;                 // with at least one recording in the analysis
    AuditCount listed_only{0, false};  // people of the sessions list without a recording that was given a result: in no figure
    bool operator==(const AuditFlow&) const = default;
};

// Always true: the same for any order of input. measures in a fixed order. For Audience::others no count of 1 to
// min_cell - 1, nor anything it could be worked out from, is anywhere in it, and directions are empty.
struct Audit {
    AuditSettings settings;
    IdentityLevel identity = IdentityLevel::keep;  // what was hidden afterwards: see hide
    std::string tool_version, measures_version;
    // Over the sorted SHA-256 of the recordings in the analysis; "" where some have none. Never for others: who holds the
    // recordings of one of a few people could try which of them are in it.
    std::string inputs_sha256;
    std::optional<std::chrono::sys_days> first, last;  // days of the recordings in the analysis; never for others
    std::string period, inclusion;                     // in words
    AuditFlow flow;
    std::vector<AuditMeasure> measures;
    std::vector<AuditDirections> directions;
    std::vector<Note> notes;
};

// The measures of every audit in their order, with their texts and no figures.
std::vector<AuditMeasure> audit_measures(const AuditSettings& settings = {});

}  // namespace tracehold
