#include <fmt/format.h>

#include <algorithm>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "tracehold/audit/audit.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {
namespace {

Section family_section(std::string_view family) {
    ReportTable table{"", {{"Key", false, {}}, {"Unit", false, {}}, {"Name", false, {}}}, {}, {}};
    for (const Measure& measure : measure_list()) {
        if (measure.family != family) continue;
        table.rows.push_back({{std::string(measure.key), 0, {}}, {std::string(measure.unit), 0, {}}, {std::string(measure.title), 0, {}}});
    }
    return {std::string(family), {std::move(table)}};
}

Section audit_section() {
    ReportTable table{"", {{"Key", false, {}}, {"Counts", false, {}}, {"Name", false, {}}}, {}, {}};
    for (const AuditMeasure& measure : audit_measures()) {
        table.rows.push_back({{std::string(measure.key), 0, {}}, {std::string(measure.counts), 0, {}}, {std::string(measure.title), 0, {}}});
    }
    return {"audit of a service", {std::move(table)}};
}

Report list_of_measures() {
    Report report;
    report.title = "Measures";
    for (const Measure& measure : measure_list()) {
        const auto same = [&](const Section& section) { return section.heading == measure.family; };
        const bool known = std::any_of(report.sections.begin(), report.sections.end(), same);
        if (!known) report.sections.push_back(family_section(measure.family));
    }
    report.sections.push_back(audit_section());
    report.sections.push_back({"", {Paragraph{"'tracehold explain KEY' tells the definition, edges and source of one.", Tone::plain}}});
    return report;
}

Report explanation(const Measure& measure) {
    const std::string unit = measure.form == MeasureForm::yes_no ? "yes or no" : std::string(measure.unit);
    Report report;
    report.title = fmt::format("{} ({})", measure.title, measure.key);
    report.sections = {{"Definition", {Paragraph{std::string(measure.definition), Tone::plain}}},
                       {"Unit", {Paragraph{unit, Tone::plain}}},
                       {"When there is no value", {Paragraph{std::string(measure.edges), Tone::plain}}},
                       {"Source", {Paragraph{std::string(measure.source), Tone::plain}}}};
    return report;
}

Report explanation(const AuditMeasure& measure) {
    Report report;
    report.title = fmt::format("{} ({})", measure.title, measure.key);
    report.sections = {{"Definition", {Paragraph{std::string(measure.definition), Tone::plain}}},
                       {"Unit", {Paragraph{fmt::format("share of {}, 0 to 1", measure.counts), Tone::plain}}},
                       {"By month", {Paragraph{std::string(measure.month_of), Tone::plain}}},
                       {"Source", {Paragraph{std::string(measure.source), Tone::plain}}}};
    return report;
}

}  // namespace

ExitStatus explain_command(const Options& options) {
    if (options.name.empty()) {
        write_output("-", render_text(list_of_measures()));
        return ExitStatus::done;
    }
    if (const auto index = measure_index(options.name)) {
        write_output("-", render_text(explanation(measure_list()[*index])));
        return ExitStatus::done;
    }
    const std::vector<AuditMeasure> audited = audit_measures();
    for (const AuditMeasure& measure : audited) {
        if (measure.key != options.name) continue;
        write_output("-", render_text(explanation(measure)));
        return ExitStatus::done;
    }
    std::vector<std::string_view> keys;
    for (const Measure& measure : measure_list()) keys.push_back(measure.key);
    for (const AuditMeasure& measure : audited) keys.push_back(measure.key);
    say(fmt::format("tracehold: no measure '{}'{}\nTry 'tracehold explain' for all of them.", shown(options.name),
                    did_you_mean(options.name, keys)));
    return ExitStatus::wrong_use;
}

}  // namespace tracehold
