#include <fmt/format.h>

#include <algorithm>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "tracehold/audit/audit.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/course/course_terms.hpp"
#include "tracehold/course/rules.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/compose_audit_report.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/report.hpp"
#include "tracehold/report/session_terms.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kRulesName = "rules";

Section family_section(std::string_view family) {
    ReportTable table{"", {{"Key", false, {}}, {"Unit", false, {}}, {"Name", false, {}}}, {}, {}};
    for (const Measure& measure : measure_list()) {
        if (measure.family != family) continue;
        table.rows.push_back({{std::string(measure.key), 0, {}}, {std::string(measure.unit), 0, {}}, {std::string(measure.title), 0, {}}});
    }
    return {std::string(family), {std::move(table)}};
}

// All that an audit may print, with the limits that it has unless others are asked for.
std::vector<Definition> terms_of_audits() { return audit_terms({.audience = Audience::others}); }

Section audit_section() {
    ReportTable table{"", {{"Key", false, {}}, {"Counts", false, {}}, {"Name", false, {}}}, {}, {}};
    for (const AuditMeasure& measure : audit_measures()) {
        table.rows.push_back({{std::string(measure.key), 0, {}}, {std::string(measure.counts), 0, {}}, {std::string(measure.title), 0, {}}});
    }
    for (const Definition& term : terms_of_audits()) {
        table.rows.push_back({{term.anchor, 0, {}}, {"", 0, {}}, {term.term, 0, {}}});
    }
    return {"audit of a service", {std::move(table)}};
}

Section session_section() {
    ReportTable table{"", {{"Key", false, {}}, {"Unit", false, {}}, {"Name", false, {}}}, {}, {}};
    for (const Definition& term : session_terms())
        table.rows.push_back({{term.anchor, 0, {}}, {term.unit, 0, {}}, {term.term, 0, {}}});
    return {"words of a session", {std::move(table)}};
}

Section course_section() {
    ReportTable table{"", {{"Key", false, {}}, {"Unit", false, {}}, {"Name", false, {}}}, {}, {}};
    const auto add = [&](std::string_view key, std::string_view unit, std::string_view title) {
        table.rows.push_back({{std::string(key), 0, {}}, {std::string(unit), 0, {}}, {std::string(title), 0, {}}});
    };
    for (const CourseMeasure& measure : course_measures()) {
        if (!measure_index(measure.key)) add(measure.key, measure.unit, measure.title);
    }
    for (const CourseTerm& term : course_terms()) add(term.key, term.unit, term.title);
    return {"course of a person", {std::move(table)}};
}

Report list_of_measures() {
    Report report;
    report.title = "Measures";
    for (const Measure& measure : measure_list()) {
        const auto same = [&](const Section& section) { return section.heading == measure.family; };
        const bool known = std::any_of(report.sections.begin(), report.sections.end(), same);
        if (!known) report.sections.push_back(family_section(measure.family));
    }
    report.sections.push_back(session_section());
    report.sections.push_back(course_section());
    report.sections.push_back(audit_section());
    report.sections.push_back(
        {"",
         {Paragraph{"'tracehold explain KEY' tells the definition, edges and source of one; 'tracehold explain "
                    "rules' prints the table of questions of a course.",
                    Tone::plain}}});
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

Report explanation(const CourseTerm& term) {
    Report report;
    report.title = fmt::format("{} ({})", term.title, term.key);
    report.sections = {{"Definition", {Paragraph{std::string(term.definition), Tone::plain}}}};
    if (!term.unit.empty()) report.sections.push_back({"Unit", {Paragraph{std::string(term.unit), Tone::plain}}});
    if (!term.edges.empty()) report.sections.push_back({"Limits", {Paragraph{std::string(term.edges), Tone::plain}}});
    report.sections.push_back({"Source", {Paragraph{std::string(term.source), Tone::plain}}});
    return report;
}

Report explanation(const Definition& term) {
    Report report;
    report.title = fmt::format("{} ({})", term.term, term.anchor);
    report.sections = {{"Definition", {Paragraph{term.text, Tone::plain}}}};
    if (!term.edges.empty()) report.sections.push_back({"Limits", {Paragraph{term.edges, Tone::plain}}});
    report.sections.push_back({"Source", {Paragraph{term.source, Tone::plain}}});
    return report;
}

// Of a course; empty where it knows no such key.
std::optional<Report> explanation_in_course(std::string_view key) {
    if (const CourseTerm* term = find_course_term(key)) return explanation(*term);
    for (const CourseMeasure& measure : course_measures()) {
        if (measure.key != key) continue;
        return explanation(CourseTerm{measure.key, measure.title, measure.unit, measure.definition,
                                      "Empty where the session has none, or its signal was not usable.", measure.source});
    }
    return std::nullopt;
}

std::vector<Definition> terms_of_pages() {
    std::vector<Definition> terms = session_terms();
    for (Definition& term : terms_of_audits()) terms.push_back(std::move(term));
    return terms;
}

}  // namespace

std::vector<std::string> explained_keys() {
    std::vector<std::string> keys = {std::string(kRulesName)};
    for (const Measure& measure : measure_list()) keys.emplace_back(measure.key);
    for (const CourseMeasure& measure : course_measures()) keys.emplace_back(measure.key);
    for (const CourseTerm& term : course_terms()) keys.emplace_back(term.key);
    for (const AuditMeasure& measure : audit_measures()) keys.emplace_back(measure.key);
    for (const Definition& term : terms_of_pages()) keys.push_back(term.anchor);
    std::sort(keys.begin(), keys.end());
    keys.erase(std::unique(keys.begin(), keys.end()), keys.end());
    return keys;
}

ExitStatus explain_command(const Options& options) {
    if (options.name.empty()) {
        write_output("-", render_text(list_of_measures()));
        return ExitStatus::done;
    }
    if (const auto index = measure_index(options.name)) {
        write_output("-", render_text(explanation(measure_list()[*index])));
        return ExitStatus::done;
    }
    if (options.name == kRulesName) {
        write_output("-", std::string(default_rules_text()));
        return ExitStatus::done;
    }
    if (const auto report = explanation_in_course(options.name)) {
        write_output("-", render_text(*report));
        return ExitStatus::done;
    }
    for (const AuditMeasure& measure : audit_measures()) {
        if (measure.key != options.name) continue;
        write_output("-", render_text(explanation(measure)));
        return ExitStatus::done;
    }
    for (const Definition& term : terms_of_pages()) {
        if (term.anchor != options.name) continue;
        write_output("-", render_text(explanation(term)));
        return ExitStatus::done;
    }
    const std::vector<std::string> keys = explained_keys();
    const std::vector<std::string_view> known(keys.begin(), keys.end());
    say(fmt::format("tracehold: no measure '{}'{}\nTry 'tracehold explain' for all of them.", shown(options.name),
                    did_you_mean(options.name, known)));
    return ExitStatus::wrong_use;
}

}  // namespace tracehold
