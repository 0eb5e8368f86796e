#include "report/calendar_table.hpp"
#include "report/markdown_text.hpp"
#include "report/page_words.hpp"
#include "report/svg_trace.hpp"
#include "report/text_table.hpp"
#include "tracehold/report/render.hpp"

namespace tracehold {
namespace {

std::string_view emphasis(Tone tone) { return tone == Tone::plain ? "" : "**"; }

class MarkdownPage {
public:
    void title(std::string_view words) { out = "# " + markdown_text(words) + "\n"; }
    void heading(std::string_view words) { out += "\n## " + markdown_text(words) + "\n"; }
    void figure_heading(std::string_view words) { out += words.empty() ? "" : "\n### " + markdown_text(words) + "\n"; }
    void add(const Paragraph& paragraph);
    void add(const List& list);
    void add(const Facts& facts);
    void add(const Answers& answers);
    void add(const ReportTable& table);
    void add(const TraceFigure& figure);
    void add(const Definitions& definitions);
    void add(const Figure& figure);
    void add(const Calendar& calendar);

    std::string out;
    std::string language;  // of the report

private:
    void row(const std::vector<std::string>& cells);
};

// Cells are escaped already.
void MarkdownPage::row(const std::vector<std::string>& cells) {
    for (const std::string& cell : cells) out += "| " + cell + (cell.empty() ? "" : " ");
    out += "|\n";
}

void MarkdownPage::add(const Paragraph& paragraph) {
    if (paragraph.text.empty()) return;
    const std::string_view mark = emphasis(paragraph.tone);
    out.append("\n").append(mark).append(markdown_text(paragraph.text)).append(mark).append("\n");
}

void MarkdownPage::add(const List& list) {
    out += '\n';
    for (const std::string& item : list.items) out += "- " + markdown_text(item) + "\n";
}

void MarkdownPage::add(const Facts& facts) {
    if (facts.items.empty()) return;
    out += "\n| | |\n|:--|:--|\n";
    for (const Fact& fact : facts.items) row({markdown_text(fact.label), markdown_text(fact.text)});
}

void MarkdownPage::add(const Answers& answers) {
    for (const Answer& answer : answers.items) {
        out += "\n**" + markdown_text(answer.question) + "** " + markdown_text(answer.text) + "\n";
        if (!answer.details.empty()) out += '\n';
        for (const Paragraph& detail : answer.details) out += "- " + markdown_text(detail.text) + "\n";
    }
}

void MarkdownPage::add(const ReportTable& table) {
    if (table.columns.empty()) return;
    std::vector<std::string> titles;
    std::string rule;
    for (const Column& column : table.columns) {
        titles.push_back(markdown_text(column.title));
        rule += column.numeric ? "|--:" : "|:--";
    }
    out += '\n';
    row(titles);
    out += rule + "|\n";
    for (const auto& cells : table.rows) {
        std::vector<std::string> escaped;
        for (const Cell& cell : cells)
            escaped.push_back(markdown_text(cell.text) + (cell.note ? superscript(cell.note) : ""));
        row(escaped);
    }
    for (std::size_t i = 0; i < table.notes.size(); ++i) {
        out += (i == 0 ? "\n" : "  \n") + superscript(i + 1) + " " + markdown_text(table.notes[i]);
    }
    if (!table.notes.empty()) out += '\n';
    add(Paragraph{table.caption});
}

void MarkdownPage::add(const TraceFigure& figure) {
    figure_heading(figure.title);
    add(Paragraph{figure.description});
    add(Facts{figure.key_values});
    add(trace_table(figure, page_words(language)));
}

void MarkdownPage::add(const Definitions& definitions) {
    for (const Definition& item : definitions.items) {
        const std::string unit = item.unit.empty() ? "" : ", " + markdown_text(item.unit);
        out += "\n**" + markdown_text(item.term) + "**" + unit + " (" + markdown_text(item.anchor) + "). " +
               markdown_text(item.text);
        if (!item.edges.empty()) out += " " + markdown_text(item.edges);
        if (!item.source.empty()) out += " *" + markdown_text(item.source) + ".*";
        out += '\n';
    }
}

void MarkdownPage::add(const Figure& figure) {
    figure_heading(figure.title);
    add(Paragraph{figure.description});
    std::string remarks;
    for (const Chart& chart : figure.charts) {
        if (chart.remark.empty()) continue;
        const bool named = figure.charts.size() == 1 || chart.remark.starts_with(chart.title);
        remarks += (named ? "- " : "- **" + markdown_text(chart.title) + "** ") + markdown_text(chart.remark) + "\n";
    }
    if (!remarks.empty()) out += "\n" + remarks;
    add(figure.table);
}

void MarkdownPage::add(const Calendar& calendar) {
    figure_heading(calendar.title);
    add(Paragraph{calendar.description});
    add(calendar_table(calendar, language));
}

}  // namespace

std::string render_markdown(const Report& report) {
    MarkdownPage page;
    page.language = report.language;
    page.title(report.title);
    for (const Section& section : report.sections) {
        if (!section.heading.empty()) page.heading(section.heading);
        for (const Block& block : section.blocks) std::visit([&](const auto& content) { page.add(content); }, block);
    }
    return page.out;
}

}  // namespace tracehold
