#include "audit/audit_flow.hpp"

#include <algorithm>

#include "audit/suppress.hpp"

namespace tracehold {
namespace {

struct ReasonText {
    std::string_view code, text;
};

constexpr ReasonText kLeftOutTexts[] = {
    {"anonymous", "made anonymous: who it is of, and when, is not told"},
    {"no_person", "no person named"},          {"no_date", "no date"},
    {"impossible_date", "an impossible date"}, {"outside_period", "outside the period"},
    {"duplicate", "handed in before"},         {"overlap", "overlaps another recording of the same person and channel"},
    {"other_plan", "its cues are not those of the plan it was scored by"},
};

constexpr std::string_view text_of(ErrorKind kind) {
    switch (kind) {
        case ErrorKind::cannot_open: return "could not be opened";
        case ErrorKind::not_recognised: return "in none of the formats that are read";
        case ErrorKind::malformed: return "damaged beyond repair";
        case ErrorKind::unsupported: return "of a kind that is not read";
        case ErrorKind::too_short: return "too short to score";
        case ErrorKind::bad_setting: return "not possible with the settings or the plan given";
        case ErrorKind::cannot_write: return "its result could not be written";
        case ErrorKind::wrong_use: break;  // stops the command: no recording is counted under it
    }
    return "";
}

// The file was read, but there is no score.
bool was_readable(ErrorKind kind) {
    return kind == ErrorKind::too_short || kind == ErrorKind::bad_setting || kind == ErrorKind::cannot_write;
}

void list_refused(std::vector<AuditReason>& reasons, const FlowCounts& counts, bool readable) {
    for (const auto& [kind, n] : counts.refused) {
        if (was_readable(kind) != readable || n == 0) continue;
        reasons.push_back(
            {readable ? "scored" : "readable", std::string(to_string(kind)), std::string(text_of(kind)), {n, false}});
    }
}

void list_left_out(std::vector<AuditReason>& reasons, const FlowCounts& counts) {
    for (const auto& [code, n] : counts.left_out) {
        const auto* known = std::find_if(std::begin(kLeftOutTexts), std::end(kLeftOutTexts),
                                         [&](const ReasonText& reason) { return reason.code == code; });
        const std::string text(known == std::end(kLeftOutTexts) ? std::string_view(code) : known->text);
        reasons.push_back({"in_analysis", code, text, {n, false}});
    }
}

std::size_t lost_before(const AuditFlow& flow, std::string_view stage) {
    std::size_t lost = 0;
    for (const AuditReason& reason : flow.reasons) lost += reason.stage == stage ? *reason.recordings.value : 0;
    return lost;
}

void hide(AuditCount& count, bool shown) {
    if (!shown) count = {std::nullopt, true};
}

// Many recordings of few people are as small as the people.
bool enough_people(const FlowCounts& counts, const AuditReason& reason, std::size_t min_cell) {
    const auto people = counts.left_out_people.find(reason.code);
    return reason.stage != "in_analysis" || people == counts.left_out_people.end() || people->second >= min_cell;
}

void suppress(AuditFlow& flow, const FlowCounts& counts, std::size_t min_cell) {
    std::vector<FlowBlock> blocks(3);
    const std::string_view stages[] = {"in_analysis", "scored", "readable"};
    AuditCount* totals[] = {&flow.scored, &flow.readable, &flow.found};
    blocks[0].parts.push_back({counts.in_analysis, counts.in_analysis_shown, counts.in_analysis_at_least});
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        blocks[i].total = *totals[i]->value;
        for (const AuditReason& reason : flow.reasons) {
            if (reason.stage == stages[i]) {
                blocks[i].parts.push_back({*reason.recordings.value, enough_people(counts, reason, min_cell)});
            }
        }
    }
    suppress_flow(blocks, min_cell);
    hide(flow.in_analysis, blocks[0].parts[0].shown);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        hide(*totals[i], blocks[i].total_shown);
        std::size_t part = i == 0 ? 1 : 0;
        for (AuditReason& reason : flow.reasons) {
            if (reason.stage == stages[i]) hide(reason.recordings, blocks[i].parts[part++].shown);
        }
    }
}

}  // namespace

AuditFlow flow_of(const FlowCounts& counts, const AuditSettings& settings) {
    AuditFlow flow;
    list_refused(flow.reasons, counts, false);
    list_refused(flow.reasons, counts, true);
    list_left_out(flow.reasons, counts);
    flow.in_analysis.value = counts.in_analysis;
    flow.scored.value = counts.in_analysis + lost_before(flow, "in_analysis");
    flow.readable.value = *flow.scored.value + lost_before(flow, "scored");
    flow.found.value = *flow.readable.value + lost_before(flow, "readable");
    if (settings.audience == Audience::others) suppress(flow, counts, settings.min_cell);
    return flow;
}

}  // namespace tracehold
