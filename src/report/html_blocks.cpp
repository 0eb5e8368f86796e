#include "report/html_blocks.hpp"

#include <algorithm>
#include <variant>

namespace tracehold {
namespace {

Html tone_class(Tone tone) {
    return tone == Tone::plain ? Html() : tone == Tone::caution ? Html() << " caution" : Html() << " reject";
}

// The shape says what the colour says.
Html tone_sign(Tone tone) {
    if (tone == Tone::plain) return {};
    Html sign;
    sign << "<svg class=\"sign\" viewBox=\"0 0 16 16\" aria-hidden=\"true\" focusable=\"false\"><path d=\"";
    if (tone == Tone::caution)
        sign << "M8 2 15 14H1zM8 6.5v3.5M8 12v.5";
    else
        sign << "M5 1.5h6L14.5 5v6L11 14.5H5L1.5 11V5zM5.5 5.5l5 5m0-5l-5 5";
    sign << "\"/></svg>";
    return sign;
}

std::set<std::string> anchors_of(const Report& report) {
    std::set<std::string> anchors;
    for (const Section& section : report.sections) {
        for (const Block& block : section.blocks) {
            const auto* definitions = std::get_if<Definitions>(&block);
            if (!definitions) continue;
            for (const Definition& item : definitions->items) {
                if (!item.anchor.empty()) anchors.insert(item.anchor);
            }
        }
    }
    return anchors;
}

Html html_count(std::size_t number) { return html_number(static_cast<double>(number), 0); }

constexpr std::string_view kDash = "–";
// More, and answers stand under each other; our choice.
constexpr std::size_t kDetailsBeside = 3;
constexpr std::size_t kAnswersBeside = 3;  // a row of them on paper

}  // namespace

HtmlBlocks::HtmlBlocks(const Report& report) : words_(page_words(report.language)), defined_(anchors_of(report)) {}

void HtmlBlocks::heading(std::string_view text) {
    out_ << "<h2>" << html_text(text, kLongestHtmlTitle) << "</h2>\n";
    heading_ = text;
}

void HtmlBlocks::no_heading() { heading_.clear(); }

Html HtmlBlocks::figure_heading(std::string_view text) const {
    const Html words = html_text(text, kLongestHtmlTitle);
    return !heading_.empty() ? Html() << "<h3>" << words << "</h3>" : Html() << "<h2>" << words << "</h2>";
}

Html HtmlBlocks::linked(std::string_view text, const std::string& anchor) const {
    if (!defined_.contains(anchor)) return html_text(text);
    return Html() << "<a href=\"#" << html_text(html_id(anchor)) << "\">" << html_text(text) << "</a>";
}

void HtmlBlocks::add(const Paragraph& paragraph) {
    if (paragraph.text.empty()) return;
    if (paragraph.tone == Tone::plain)
        out_ << "<p>";
    else
        out_ << "<p class=\"" << tone_class(paragraph.tone) << "\">" << tone_sign(paragraph.tone);
    out_ << html_text(paragraph.text) << "</p>\n";
}

void HtmlBlocks::add(const List& list) {
    if (list.items.empty()) return;
    out_ << "<ul>\n";
    for (const std::string& item : list.items) out_ << "<li>" << html_text(item) << "</li>\n";
    out_ << "</ul>\n";
}

void HtmlBlocks::add(const Facts& facts) {
    if (facts.items.empty()) return;
    out_ << "<dl class=\"facts\">\n";
    for (const Fact& fact : facts.items) {
        out_ << "<div><dt>" << linked(fact.label, fact.anchor) << "</dt><dd>" << html_text(fact.text) << "</dd></div>\n";
    }
    out_ << "</dl>\n";
}

void HtmlBlocks::add(const Answers& answers) {
    if (answers.items.empty()) return;
    const bool stacked = answers.items.size() > kAnswersBeside ||
                         std::any_of(answers.items.begin(), answers.items.end(),
                                     [](const Answer& each) { return each.details.size() > kDetailsBeside; });
    out_ << "<div class=\"answers" << (stacked ? Html() << " stacked" : Html()) << "\">\n";
    for (const Answer& each : answers.items) answer(each);
    out_ << "</div>\n";
}

void HtmlBlocks::answer(const Answer& answer) {
    out_ << "<div class=\"answer" << tone_class(answer.tone) << "\">" << figure_heading(answer.question)
         << "<p class=\"said\">" << tone_sign(answer.tone) << html_text(answer.text) << "</p>";
    if (!answer.details.empty()) {
        out_ << "<ul>";
        for (const Paragraph& detail : answer.details) out_ << "<li>" << html_text(detail.text) << "</li>";
        out_ << "</ul>";
    }
    terms_of(answer);
    out_ << "</div>\n";
}

// Links to the words that the answer uses; on paper they lead nowhere and are left out.
void HtmlBlocks::terms_of(const Answer& answer) {
    if (answer.terms.empty()) return;
    out_ << "<p class=\"terms\">";
    for (const Cell& term : answer.terms) out_ << linked(term.text, term.anchor) << " ";
    out_ << "</p>";
}

// Who hears the page is told first what the table is of.
void HtmlBlocks::add(const ReportTable& content) {
    const bool both = !heading_.empty() && !content.caption.empty();
    table(content, heading_ + (both ? ": " : "") + content.caption);
}

// A place of its own that scrolls and takes the keyboard, so that nothing is lost on a narrow screen.
void HtmlBlocks::table(const ReportTable& table, std::string_view name) {
    if (table.columns.empty()) return;
    out_ << "<div class=\"scroll\" tabindex=\"0\" role=\"group\" aria-label=\""
         << html_text(name.empty() ? table.columns.front().title : name, kLongestHtmlTitle) << "\"><table"
         << (table.to_fill_in ? Html() << " class=\"fill\"" : Html()) << ">\n";
    if (!table.caption.empty()) out_ << "<caption>" << html_text(table.caption) << "</caption>\n";
    head_of(table);
    out_ << "<tbody>\n";
    for (const auto& row : table.rows) row_of(table, row);
    out_ << "</tbody></table></div>\n";
    if (table.notes.empty()) return;
    out_ << "<ol class=\"notes\">\n";
    for (const std::string& note : table.notes) out_ << "<li>" << html_text(note) << "</li>\n";
    out_ << "</ol>\n";
}

void HtmlBlocks::head_of(const ReportTable& table) {
    out_ << "<thead><tr>";
    for (const Column& column : table.columns) {
        const Html place = column.numeric ? Html() << " class=\"n\"" : Html();
        if (column.title.empty())
            out_ << "<td" << place << "></td>";
        else
            out_ << "<th scope=\"col\"" << place << ">" << linked(column.title, column.anchor) << "</th>";
    }
    out_ << "</tr></thead>\n";
}

void HtmlBlocks::row_of(const ReportTable& table, const std::vector<Cell>& row) {
    out_ << "<tr>";
    for (std::size_t i = 0; i < row.size() && i < table.columns.size(); ++i) {
        const bool head = i == 0 && !row[i].text.empty();
        out_ << (head ? Html() << "<th scope=\"row\"" : Html() << "<td");
        if (table.columns[i].numeric) out_ << " class=\"n\"";
        out_ << ">";
        if (row[i].text == kDash)
            out_ << "<span aria-hidden=\"true\">" << html_text(kDash) << "</span><span class=\"vh\">"
                 << html_text(words_.not_given) << "</span>";
        else
            out_ << linked(row[i].text, row[i].anchor);
        if (row[i].note > 0) out_ << "<sup>" << html_count(row[i].note) << "</sup>";
        out_ << (head ? Html() << "</th>" : Html() << "</td>");
    }
    out_ << "</tr>\n";
}

void HtmlBlocks::add(const Definitions& definitions) {
    if (definitions.items.empty()) return;
    out_ << "<dl class=\"defs\">\n";
    for (const Definition& item : definitions.items) definition(item);
    out_ << "</dl>\n";
}

void HtmlBlocks::definition(const Definition& item) {
    const bool first = !item.anchor.empty() && written_.insert(item.anchor).second;
    out_ << "<div" << (first ? Html() << " id=\"" << html_text(html_id(item.anchor)) << "\"" : Html()) << ">";
    out_ << "<dt>" << html_text(item.term);
    if (!item.unit.empty()) out_ << "<span>, " << html_text(item.unit) << "</span>";
    if (!item.anchor.empty()) out_ << " <code>" << html_text(item.anchor) << "</code>";
    out_ << "</dt><dd>" << html_text(item.text) << "</dd>";
    if (!item.edges.empty()) out_ << "<dd class=\"more\">" << html_text(item.edges) << "</dd>";
    if (!item.source.empty()) {
        out_ << "<dd class=\"more\">" << html_text(words_.source) << " " << html_text(item.source) << "</dd>";
    }
    out_ << "</div>\n";
}

}  // namespace tracehold
