#include <algorithm>

#include "report/calendar_table.hpp"
#include "report/text_picture.hpp"
#include "report/text_table.hpp"
#include "report/text_width.hpp"
#include "report/wrap_text.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/render.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kNarrowest = 40;
constexpr std::size_t kLongestText = 10000;  // of one paragraph or cell; more is an attack on the reader
constexpr std::size_t kWidestLabel = 18;

std::string safe(std::string_view text) { return shown(text, kLongestText); }

std::string repeated(std::string_view mark, std::size_t count) {
    std::string line;
    for (; count > 0; --count) line += mark;
    return line;
}

// Grows downwards, a line at a time.
class TextPage {
public:
    explicit TextPage(const TextStyle& style)
        : style_(style), width_(std::max(kNarrowest, static_cast<std::size_t>(std::max(style.columns, 0)))) {}

    void title(std::string_view text);
    void heading(std::string_view text);
    void add(const Paragraph& paragraph) { hang("", paragraph.text, 0, paragraph.tone); }
    void add(const List& list);
    void add(const Facts& facts);
    void add(const Answers& answers);
    void add(const ReportTable& table);
    void add(const TraceFigure& figure);
    void add(const Definitions& definitions);
    void add(const Figure&) {}  // its figures stand in the tables beside it; characters could not draw it
    void add(const Calendar& calendar);

    std::string text;
    std::string language;  // of the report

private:
    void line(std::string_view words) { text.append(words).append("\n"); }
    void hang(std::string_view label, std::string_view words, std::size_t indent, Tone tone = Tone::plain);
    std::string coloured(std::string words, Tone tone) const;

    TextStyle style_;
    std::size_t width_;
};

std::string TextPage::coloured(std::string words, Tone tone) const {
    if (!style_.color || tone == Tone::plain) return words;
    return (tone == Tone::reject ? "\x1b[31m" : "\x1b[33m") + words + "\x1b[0m";
}

// The label at the margin, the words beside it in lines of equal indent.
void TextPage::hang(std::string_view label, std::string_view words, std::size_t indent, Tone tone) {
    std::string margin = flush_left(safe(label), indent);
    for (const std::string& part : wrapped(safe(words), width_ - indent)) {
        line(margin + coloured(part, tone));
        margin = std::string(indent, ' ');
    }
}

void TextPage::title(std::string_view words) {
    hang("", words, 0);
    line(repeated("━", width_));
}

void TextPage::heading(std::string_view words) {
    line("");
    hang("", words, 0);
    line(repeated("─", std::min(width_, text_columns(safe(words)))));
}

void TextPage::add(const List& list) {
    for (const std::string& item : list.items) hang("·", item, 2);
}

void TextPage::add(const Facts& facts) {
    std::size_t widest = 0;
    for (const Fact& fact : facts.items) widest = std::max(widest, text_columns(safe(fact.label)));
    const std::size_t indent = std::min(widest, kWidestLabel) + 2;
    for (const Fact& fact : facts.items) {
        const bool fits = text_columns(safe(fact.label)) <= kWidestLabel;
        if (!fits) hang("", fact.label, 0);
        hang(fits ? fact.label : "", fact.text, indent);
    }
}

void TextPage::add(const Answers& answers) {
    std::size_t indent = 0;
    for (const Answer& answer : answers.items) indent = std::max(indent, text_columns(safe(answer.question)) + 2);
    indent = std::min(indent, width_ / 2);
    for (const Answer& answer : answers.items) {
        line("");
        const bool fits = text_columns(safe(answer.question)) < indent;
        if (!fits) hang("", answer.question, 0);
        hang(fits ? answer.question : "", answer.text, indent, answer.tone);
        for (const Paragraph& detail : answer.details) hang("", detail.text, indent, detail.tone);
    }
}

void TextPage::add(const ReportTable& table) {
    ReportTable safe_table = table;
    for (Column& column : safe_table.columns) column.title = safe(column.title);
    for (auto& row : safe_table.rows) {
        for (Cell& cell : row) cell.text = safe(cell.text);
    }
    for (const std::string& row : table_lines(safe_table, width_)) line(row);
    for (std::size_t i = 0; i < table.notes.size(); ++i)
        hang(superscript(i + 1), table.notes[i], table.notes.size() > 9 ? 3 : 2);
    if (!table.caption.empty()) hang("", table.caption, 0);
}

void TextPage::add(const TraceFigure& figure) {
    const auto drawn = style_.pictures ? picture_lines(figure, width_) : std::vector<std::string>{};
    for (const std::string& row : drawn) line(row);
    hang("", figure.description, 0);
    if (drawn.empty()) add(Facts{figure.key_values});
}

// Edges and sources are left to the pages: a terminal's reader wants to know what the number is.
void TextPage::add(const Definitions& definitions) {
    for (const Definition& item : definitions.items) {
        hang("", item.anchor.empty() ? item.term : item.term + " (" + item.anchor + ")", 0);
        hang("", item.text, 2);
    }
}

void TextPage::add(const Calendar& calendar) {
    add(Paragraph{calendar.description});
    add(calendar_table(calendar, language));
}

// Under what came before it there is a line between; answers bring their own.
bool stands_alone(const Report& report, const Section& section) {
    return section.heading.empty() && &section != &report.sections.front() && !section.blocks.empty() &&
           !std::holds_alternative<Answers>(section.blocks.front());
}

// What the pages draw: nothing of it would stand under its heading here.
bool is_drawn_only(const Section& section) {
    const auto drawn = [](const Block& block) { return std::holds_alternative<Figure>(block); };
    return !section.blocks.empty() && std::all_of(section.blocks.begin(), section.blocks.end(), drawn);
}

}  // namespace

std::string render_text(const Report& report, const TextStyle& style) {
    TextPage page(style);
    page.language = report.language;
    page.title(report.title);
    for (const Section& section : report.sections) {
        if (is_drawn_only(section)) continue;
        if (!section.heading.empty()) page.heading(section.heading);
        if (stands_alone(report, section)) page.text += '\n';
        const Block* before = nullptr;
        for (const Block& block : section.blocks) {
            if (std::holds_alternative<Figure>(block)) continue;
            const bool introduced =
                before && std::holds_alternative<Paragraph>(*before) && std::holds_alternative<List>(block);
            if (before && !introduced) page.text += '\n';
            before = &block;
            std::visit([&](const auto& content) { page.add(content); }, block);
        }
    }
    return page.text;
}

}  // namespace tracehold
