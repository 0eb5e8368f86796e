#include <fmt/format.h>

#include <algorithm>

#include "report/audit_sections.hpp"
#include "report/audit_text.hpp"
#include "report/en/audit.hpp"
#include "report/limits_and_cautions.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/report/compose_audit_report.hpp"

namespace tracehold {
namespace {

bool for_others(const Audit& audit) { return audit.settings.audience == Audience::others; }

// As the audit shows them: others see no months beside a named column.
std::string grouping_text(const AuditSettings& settings) {
    const bool months = settings.by != Grouping::column || settings.audience == Audience::team;
    const std::string by_month = months ? words::kByMonth : "";
    if (settings.by == Grouping::site) return by_month + words::kAndBySite;
    if (settings.by != Grouping::column) return by_month;
    return fmt::format(words::kByTheColumn, months ? words::kByMonthAnd : "", settings.column);
}

std::string target_text(const AuditSettings& settings) {
    const double adherence_pct = settings.adherence_at_least_pct.value_or(kAdherenceAtLeast_pct);
    std::string text = fmt::format(words::kAdherenceAtLeastPct, adherence_pct) +
                       (settings.adherence_at_least_pct ? words::kTheServicesOwn : words::kByDefault);
    text += settings.rest_below_uv ? fmt::format(words::kRestingActivityBelowUv, *settings.rest_below_uv) + words::kTheServicesOwn
                                   : words::kRestingActivityBelowWhatEach;
    text += settings.review_within_days ? fmt::format(words::kReviewWithinDays, *settings.review_within_days) + words::kTheServicesOwn
                                        : words::kNoReviewTarget;
    return text;
}

Section audit_head(const Audit& audit) {
    const std::string for_whom =
        for_others(audit) ? fmt::format(words::kForOthers, audit.settings.min_cell - 1) : words::kForTeam;
    const Facts facts{{{words::kPeriod, audit.period},
                       {words::kLookedAt, grouping_text(audit.settings)},
                       {words::kTargets, target_text(audit.settings)}}};
    return {"", {Paragraph{for_whom, Tone::plain}, facts}};
}

// "" where there is none, or it is hidden.
std::string no_signal_text(const std::vector<AuditMeasure>& measures) {
    const auto signal = std::find_if(measures.begin(), measures.end(),
                                     [](const AuditMeasure& one) { return one.key == "trustworthy_signal"; });
    if (signal == measures.end()) return "";
    const auto &usable = signal->overall.numerator.value, &all = signal->overall.denominator.value;
    return usable && all && *usable < *all ? fmt::format(words::kNoSignal, *all - *usable) : "";
}

Answer who(const Audit& audit) {
    const AuditFlow& flow = audit.flow;
    Answer answer{words::kWho, "", Tone::plain, {}};
    answer.text = fmt::format(words::kWhoSays, count_text(flow.found), count_text(flow.readable),
                              count_text(flow.scored), count_text(flow.in_analysis), count_text(flow.people));
    for (const AuditReason& reason : flow.reasons) {
        answer.details.push_back(
            {fmt::format(words::kLost, stage_text(reason.stage), count_text(reason.recordings), reason.text),
             Tone::plain});
    }
    if (flow.reasons.empty()) answer.details.push_back({words::kNobodyLost, Tone::plain});
    if (flow.listed_only.value != 0) answer.details.push_back({fmt::format(words::kListedOnly, count_text(flow.listed_only)), Tone::plain});
    if (const std::string none = no_signal_text(audit.measures); !none.empty()) answer.details.push_back({none, Tone::plain});
    return answer;
}

std::string in_short(const AuditMeasure& measure) {
    const AuditCell& cell = measure.overall;
    if (cell.share) {
        const std::string interval = cell.ci95 ? ", " + interval_text(cell) : "";
        return fmt::format("{} {} ({}{})", of_text(cell), measure.counts, share_text(cell), interval);
    }
    const bool counts_hidden = cell.numerator.suppressed || cell.denominator.suppressed;
    return counts_hidden || cell.reason.empty() ? words::kHidden : cell.reason;
}

Answer shows(const Audit& audit) {
    Answer answer{words::kShows, words::kShowsSays, Tone::plain, {}};
    for (const AuditMeasure& measure : audit.measures) {
        answer.details.push_back({fmt::format("{}: {}.", measure.title, in_short(measure)), Tone::plain});
    }
    return answer;
}

bool has_verdict(const AuditMeasure& measure) {
    return measure.series.run.long_run || (measure.series.xmr && measure.series.xmr->reason.empty());
}

bool row_hidden(const AuditRow& row) { return row.cell.numerator.suppressed || row.cell.denominator.suppressed; }

bool is_grouped(const Audit& audit) { return audit.settings.by == Grouping::site || audit.settings.by == Grouping::column; }

// Of what counts people: recordings of one person are never compared by group.
bool groups_hidden_in(const AuditMeasure& measure) {
    const bool all_hidden = measure.overall.numerator.suppressed || measure.overall.denominator.suppressed;
    return measure.counts == "people" && (all_hidden || std::any_of(measure.groups.begin(), measure.groups.end(), row_hidden));
}

bool months_hidden_in(const AuditMeasure& measure) {
    return !has_verdict(measure) && std::any_of(measure.months.begin(), measure.months.end(), row_hidden);
}

void add_to_list(std::string& list, std::string_view text) { list += (list.empty() ? "" : "; ") + std::string(text); }

// What could be judged nowhere because it is hidden, or in some measures alone: no word on whether there is enough of it. "" = nothing.
std::string not_told(const Audit& audit) {
    std::string what;
    const auto& measures = audit.measures;
    const bool no_months = for_others(audit) && audit.settings.by == Grouping::column;
    if (no_months || std::any_of(measures.begin(), measures.end(), months_hidden_in))
        add_to_list(what, std::any_of(measures.begin(), measures.end(), has_verdict) ? words::kHowSomeMonths : words::kHowMonths);
    const auto compared = [](const AuditMeasure& measure) { return !measure.funnel.empty(); };
    if (is_grouped(audit) && std::any_of(measures.begin(), measures.end(), groups_hidden_in))
        add_to_list(what, std::any_of(measures.begin(), measures.end(), compared) ? words::kHowSomeGroups : words::kHowGroups);
    return what;
}

// Why there is too little, of what is not hidden; "" where both times and groups could be judged somewhere.
std::string too_little(const Audit& audit) {
    std::string why;
    const auto& measures = audit.measures;
    const bool no_months = for_others(audit) && audit.settings.by == Grouping::column;
    if (!no_months && std::none_of(measures.begin(), measures.end(), has_verdict) && std::none_of(measures.begin(), measures.end(), months_hidden_in))
        add_to_list(why, words::kTooFewMonths);
    const auto compared = [](const AuditMeasure& measure) { return !measure.funnel.empty(); };
    if (!is_grouped(audit)) {
        add_to_list(why, words::kNoGroups);
    } else if (std::none_of(measures.begin(), measures.end(), compared) && std::none_of(measures.begin(), measures.end(), groups_hidden_in)) {
        add_to_list(why, words::kNoFunnels);
    }
    return why;
}

Answer chance(const Audit& audit) {
    Answer answer{words::kChance, "", Tone::plain, {}};
    for (const AuditMeasure& measure : audit.measures) {
        if (!has_signal(measure)) continue;
        const RunChart& run = measure.series.run;
        const auto add = [&](const std::string& text) {
            answer.details.push_back({fmt::format("{}: {}", measure.title, text), Tone::plain});
        };
        if (run.long_run.value_or(false) || run.few_crossings.value_or(false)) add(run_text(run));
        if (measure.series.xmr && !measure.series.xmr->signals.empty()) add(xmr_text(measure));
        const auto outside = [](const FunnelPoint& point) { return point.place != FunnelPlace::within; };
        if (std::any_of(measure.funnel.begin(), measure.funnel.end(), outside)) add(funnel_text(measure));
    }
    const std::string open = too_little(audit), hidden = not_told(audit);
    std::vector<std::string> rest;
    if (!open.empty()) rest.push_back(fmt::format(fmt::runtime(answer.details.empty() ? words::kChanceOpen : words::kChanceRest), open));
    if (!hidden.empty()) rest.push_back(fmt::format(words::kChanceHidden, hidden));
    answer.text = !answer.details.empty() ? words::kChanceSome : words::kChanceNone;
    if (answer.details.empty() && !rest.empty()) {
        answer.text = rest.front();
        rest.erase(rest.begin());
    }
    for (std::string& text : rest) answer.details.push_back({std::move(text), Tone::plain});
    return answer;
}

void add_groups(Section& section, const AuditMeasure& measure) {
    ReportTable table = rows_table(measure, measure.groups, words::kGroup);
    table.caption = std::string(words::kGroups) + ".";
    section.blocks.emplace_back(std::move(table));
    const std::string told = funnel_text(measure);
    section.blocks.emplace_back(Paragraph{measure.funnel.empty() ? fmt::format(words::kNoFunnel, told) : told, Tone::plain});
    if (auto figure = funnel_figure(measure)) section.blocks.emplace_back(std::move(*figure));
}

void add_months(Section& section, const AuditMeasure& measure) {
    ReportTable table = rows_table(measure, measure.months, words::kMonthColumn);
    table.caption = fmt::format(words::kMonths, measure.month_of) + ".";
    section.blocks.emplace_back(std::move(table));
    List verdicts{{fmt::format("{}: {}", words::kRunChart, run_text(measure.series.run))}};
    if (measure.series.xmr) verdicts.items.push_back(fmt::format("{}: {}", words::kXmr, xmr_text(measure)));
    section.blocks.emplace_back(std::move(verdicts));
    if (auto figure = months_figure(measure)) section.blocks.emplace_back(std::move(*figure));
}

Section measure_section(const AuditMeasure& measure) {
    Section section{std::string(measure.title), {}};
    section.blocks.emplace_back(Paragraph{fmt::format(words::kOverAll, in_short(measure)), Tone::plain});
    if (!measure.groups.empty()) add_groups(section, measure);
    if (!measure.months.empty()) add_months(section, measure);
    return section;
}

Section definitions_of(const Audit& audit) {
    Definitions definitions;
    for (const AuditMeasure& measure : audit.measures) {
        definitions.items.push_back({std::string(measure.key), std::string(measure.title), "",
                                     std::string(measure.definition), fmt::format(words::kByMonthSays, measure.month_of),
                                     std::string(measure.source)});
    }
    for (Definition& term : audit_terms(audit.settings)) definitions.items.push_back(std::move(term));
    return {words::kWhatTheNumbersMean, {std::move(definitions)}};
}

Section making_of(const Audit& audit) {
    Facts facts{{{words::kWhoCounts, audit.inclusion},
                 {words::kProgram, fmt::format("{} {}, measures {}", kName, audit.tool_version, audit.measures_version)}}};
    if (!audit.inputs_sha256.empty())
        facts.items.push_back({words::kInputsRow, std::string(audit.identity == IdentityLevel::keep ? words::kInputs : words::kInputsKeyed) +
                                             audit.inputs_sha256});
    return {words::kMaking, {std::move(facts)}};
}

}  // namespace

std::vector<Definition> audit_terms(const AuditSettings& settings) {
    std::vector<Definition> terms = {
        {words::kChartsAnchor, words::kRunChart, "", words::kRunDefinition, "", words::kRunSource},
        {"audit_xmr", words::kXmRChart, "", fmt::format(words::kXmrDefinition, describe(settings.xmr.rules)), "", words::kXmrSource},
        {"audit_funnel", words::kFunnel, "", words::kFunnelDefinition, "", words::kFunnelSource}};
    if (settings.audience == Audience::others) {
        terms.push_back({"audit_hidden", words::kHiddenTitle, "", fmt::format(words::kHiddenDefinition, settings.min_cell - 1, 2 * settings.min_cell),
                         words::kHiddenEdges, words::kCommonPractice});
    }
    return terms;
}

Report compose_audit_report(const Audit& audit) {
    Report report;
    report.title = fmt::format(words::kAuditTitle, audit.period.substr(0, audit.period.find(" (")));
    report.sections.push_back(audit_head(audit));
    report.sections.back().blocks.emplace_back(Answers{{who(audit), shows(audit), chance(audit)}});
    report.sections.push_back({words::kFlow, {flow_table(audit.flow)}});
    report.sections.push_back({words::kOverall, {overall_table(audit)}});
    for (const AuditMeasure& measure : audit.measures) report.sections.push_back(measure_section(measure));
    if (!audit.directions.empty()) {
        report.sections.push_back({words::kDirections, {directions_table(audit.directions)}});
    }
    if (!audit.notes.empty()) {
        List notes;
        for (const Note& note : audit.notes) notes.items.push_back(note.text + ".");
        report.sections.push_back({words::kNoted, {std::move(notes)}});
    }
    report.sections.push_back(definitions_of(audit));
    report.sections.push_back(making_of(audit));
    report.sections.push_back(limits_section());
    return report;
}

}  // namespace tracehold
