#include "report/en/overview.hpp"
#include "tracehold/report/overview.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "report/course_parts.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

std::string base_name(const std::string& path) {
    const auto slash = path.find_last_of('/');
    return slash == std::string::npos ? path : path.substr(slash + 1);
}

std::string mean_text(const SessionScore& score, std::string_view key) {
    const auto index = measure_index(key);
    if (!index || *index >= score.measures.size()) return "–";
    const auto& mean = score.measures[*index].mean;
    return quantity_text(mean ? Estimate::of(*mean) : Estimate::none(words::kNoValue), measure_list()[*index].unit);
}

std::string trust_text(const Quality& quality) {
    if (!quality.usable) return "no";
    const bool doubted = std::any_of(quality.findings.begin(), quality.findings.end(),
                                     [](const Finding& finding) { return finding.severity != Severity::note; });
    return doubted ? words::kWithCare : "yes";
}

std::string counts_text(const SessionScore& score) {
    return score.plan && score.cues != CueSource::trace ? fmt::format("{} of {}", score.done, score.planned) : fmt::format("{}", score.done);
}

// What keeps a reader from taking the row at its face.
std::string remark_on(const SessionScore& score) {
    std::string text;
    const auto add = [&](const std::string& part) { text += (text.empty() ? "" : "; ") + part; };
    for (const Finding& finding : score.quality.findings) {
        if (finding.severity != Severity::note) add(finding.text);
    }
    if (score.missed > 0) add(fmt::format("{} missed", score.missed));
    if (score.extra > 0) add(fmt::format("{} extra", score.extra));
    if (score.unusable > 0) add(fmt::format("{} unusable", score.unusable));
    return text;
}

std::optional<std::chrono::sys_days> day_of(const RecordingFacts& recording) {
    if (!recording.start) return std::nullopt;
    return std::chrono::floor<std::chrono::days>(recording.start->local);
}

std::string amount_text(double count, const std::string& one, const std::string& many) {
    return number_text(count) + " " + (count == 1.0 ? one : many);
}

// The first row of the same bytes, person and day: itself unless it is a copy.
const OverviewRow* original_of(const OverviewRow& row, const std::vector<OverviewRow>& rows) {
    if (row.sha256.empty()) return &row;
    const auto is_same = [&](const OverviewRow& first) { return first.sha256 == row.sha256 && first.person == row.person && first.day == row.day; };
    return &*std::find_if(rows.begin(), rows.end(), is_same);
}

// What the plan asks for beside what is there; "" where rows differ in person or dose, or a date is missing.
std::string asked_and_there(const std::vector<OverviewRow>& rows) {
    std::set<std::chrono::sys_days> days;
    std::size_t copies = 0;
    for (const OverviewRow& row : rows) {
        copies += original_of(row, rows) != &row ? 1 : 0;
        if (!row.day || row.person != rows.front().person || row.dose != rows.front().dose) return "";
        days.insert(*row.day);
    }
    const Dose& dose = rows.front().dose;
    if (!dose.sessions_per_day || !dose.days_per_week) return "";
    return fmt::format(words::kAskedAndThere,
                       amount_text(*dose.sessions_per_day, "session a day", "sessions a day"),
                       amount_text(*dose.days_per_week, "day a week", "days a week"),
                       amount_text(static_cast<double>(rows.size() - copies), "recording", "recordings"),
                       amount_text(static_cast<double>(days.size()), "day", "days"), day_text(*days.begin()),
                       day_text(*days.rbegin()));
}

// By their first cells; where those repeat with the person, and where that does not tell them apart either, as the caller named them.
std::vector<std::string> names_of(const std::vector<OverviewRow>& rows) {
    std::vector<std::string> names;
    for (const OverviewRow& row : rows) names.push_back(row.cells.front());
    const auto tell_apart = [&](auto&& other_name) {
        std::map<std::string, std::size_t> seen;
        for (const std::string& name : names) ++seen[name];
        for (std::size_t i = 0; i < rows.size(); ++i) {
            if (seen[names[i]] > 1) names[i] = other_name(rows[i]);
        }
    };
    tell_apart([](const OverviewRow& row) { return row.person.empty() ? row.cells.front() : fmt::format("{} ({})", row.cells.front(), row.person); });
    tell_apart([](const OverviewRow& row) { return row.source; });
    return names;
}

}  // namespace

OverviewRow overview_row(const SessionScore& score) {
    return {
        .source = score.recording.source,
        .cells = {base_name(score.recording.source), score.recording.start ? date_text(*score.recording.start) : "–",
                  trust_text(score.quality), counts_text(score), mean_text(score, "work_mean_uv"),
                  mean_text(score, "rest_mean_uv"), mean_text(score, "release_s")},
        .remark = remark_on(score),
            .scored = score.quality.usable,
            .day = day_of(score.recording),
            .person = score.recording.person,
            .sha256 = score.recording.sha256,
            .dose = score.plan ? score.plan->dose : Dose{}};
}

OverviewRow overview_row(const Error& refused) {
    return {.source = refused.source,
            .cells = {base_name(refused.source), "–", "refused", "–", "–", "–", "–"},
            .remark = refused.message,
            .scored = false,
            .day = {},
            .person = {},
            .sha256 = {},
            .dose = {}};
}

Report compose_overview(const std::vector<OverviewRow>& rows) {
    ReportTable table{.caption = words::kMeansOverHolds,
                      .columns = {{words::kRecordingColumn, false, {}},
                                  {words::kDateColumn, false, {}},
                                  {words::kTrustedColumn, false, {}},
                                  {words::kDoneColumn, true, {}},
                                  {words::kWorkUv, true, {}},
                                  {words::kRestUv, true, {}},
                                  {words::kRelease_s, true, {}}},
                      .rows = {},
                      .notes = {}};
    List remarks;
    std::size_t scored = 0, copies = 0;
    const std::vector<std::string> names = names_of(rows);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const OverviewRow& row = rows[i];
        table.rows.emplace_back(row.cells.begin(), row.cells.end());
        table.rows.back().front().text = names[i];
        const auto original = static_cast<std::size_t>(original_of(row, rows) - rows.data());
        if (original != i) {
            ++copies;
            remarks.items.push_back(fmt::format(words::kCopyOf, names[i], names[original]));
            continue;
        }
        if (!row.remark.empty()) remarks.items.push_back(names[i] + ": " + row.remark);
        scored += row.scored ? 1 : 0;
    }
    Section section{fmt::format("{} recordings, {} scored", rows.size() - copies, scored), {std::move(table)}};
    if (const std::string asked = asked_and_there(rows); !asked.empty()) section.blocks.emplace_back(Paragraph{asked});
    if (!remarks.items.empty()) section.blocks.emplace_back(std::move(remarks));
    Report report;
    report.title = words::kOverview;
    report.sections.push_back(std::move(section));
    return report;
}

}  // namespace tracehold
