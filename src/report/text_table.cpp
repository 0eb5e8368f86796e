// Idea: every column starts as narrow as its content allows (headers wrapped to one word a line). If the sum is too
// wide, gaps and then the widest text columns give way; if there is room left, headers get it back until they stand on
// fewer lines.
#include "report/text_table.hpp"

#include <algorithm>
#include <optional>

#include "report/text_width.hpp"
#include "report/wrap_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kNarrowestText = 8;  // our choice: below it wrapped prose is unreadable

struct Layout {
    std::vector<std::size_t> widths;
    std::size_t gap = 2;

    std::size_t total() const {
        std::size_t sum = gap * (widths.size() - 1);
        for (const std::size_t width : widths) sum += width;
        return sum;
    }
};

std::string cell_text(const Cell& cell) { return cell.note == 0 ? cell.text : cell.text + superscript(cell.note); }

std::size_t content_width(const ReportTable& table, std::size_t column) {
    std::size_t width = longest_word(table.columns[column].title);
    for (const auto& row : table.rows) width = std::max(width, text_columns(cell_text(row[column])));
    return std::max<std::size_t>(width, 1);
}

// The widest text column that can still shrink.
std::optional<std::size_t> widest_text(const ReportTable& table, const Layout& layout) {
    std::optional<std::size_t> widest;
    for (std::size_t i = 0; i < layout.widths.size(); ++i) {
        const bool shrinks = !table.columns[i].numeric && layout.widths[i] > kNarrowestText;
        if (shrinks && (!widest || layout.widths[i] > layout.widths[*widest])) widest = i;
    }
    return widest;
}

// Widens the column whose header has the most lines, while there is room to save a line of it.
void relax_headers(const ReportTable& table, Layout& layout, std::size_t width) {
    const auto header_lines = [&](std::size_t i, std::size_t w) { return wrapped(table.columns[i].title, w).size(); };
    for (;;) {
        std::size_t tallest = 0;
        for (std::size_t i = 1; i < layout.widths.size(); ++i) {
            if (header_lines(i, layout.widths[i]) > header_lines(tallest, layout.widths[tallest])) tallest = i;
        }
        const std::size_t lines = header_lines(tallest, layout.widths[tallest]);
        const std::size_t room = width - layout.total();
        std::size_t more = 0;
        while (more <= room && header_lines(tallest, layout.widths[tallest] + more) == lines) ++more;
        if (lines == 1 || more > room) return;
        layout.widths[tallest] += more;
    }
}

std::optional<Layout> laid_out(const ReportTable& table, std::size_t width) {
    Layout layout;
    for (std::size_t i = 0; i < table.columns.size(); ++i) layout.widths.push_back(content_width(table, i));
    if (layout.total() > width) layout.gap = 1;
    while (layout.total() > width) {
        const auto column = widest_text(table, layout);
        if (!column) return std::nullopt;
        --layout.widths[*column];
    }
    relax_headers(table, layout, width);
    return layout;
}

// One row of wrapped cells. Headers stand on the rule (from_bottom), bodies hang from it.
void append_row(std::vector<std::string>& lines, const ReportTable& table, const std::vector<std::string>& cells,
                const Layout& layout, bool from_bottom) {
    std::vector<std::vector<std::string>> columns;
    std::size_t height = 1;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        columns.push_back(wrapped(cells[i], layout.widths[i]));
        height = std::max(height, columns.back().size());
    }
    for (std::size_t row = 0; row < height; ++row) {
        std::string line;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const std::size_t above = from_bottom ? height - columns[i].size() : 0;
            const bool here = row >= above && row - above < columns[i].size();
            const std::string text = here ? columns[i][row - above] : "";
            if (i > 0) line += std::string(layout.gap, ' ');
            line += table.columns[i].numeric ? flush_right(text, layout.widths[i]) : flush_left(text, layout.widths[i]);
        }
        line.erase(line.find_last_not_of(' ') + 1);
        lines.push_back(line);
    }
}

std::vector<std::string> as_lists(const ReportTable& table, std::size_t width) {
    std::vector<std::string> lines;
    for (const auto& row : table.rows) {
        if (!lines.empty()) lines.emplace_back();
        for (std::size_t i = 0; i < row.size(); ++i) {
            for (const std::string& line : wrapped(table.columns[i].title + ": " + cell_text(row[i]), width))
                lines.push_back(line);
        }
    }
    return lines;
}

}  // namespace

std::string superscript(std::size_t number) {
    static constexpr const char* kDigits[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    std::string text;
    for (const char digit : std::to_string(number)) text += kDigits[digit - '0'];
    return text;
}

std::vector<std::string> table_lines(const ReportTable& table, std::size_t width) {
    if (table.columns.empty()) return {};
    const auto layout = laid_out(table, width);
    if (!layout) return as_lists(table, width);
    std::vector<std::string> lines, titles;
    for (const Column& column : table.columns) titles.push_back(column.title);
    append_row(lines, table, titles, *layout, true);
    std::string rule;
    for (std::size_t i = 0; i < layout->total(); ++i) rule += "─";
    lines.push_back(rule);
    for (const auto& row : table.rows) {
        std::vector<std::string> cells;
        for (const Cell& cell : row) cells.push_back(cell_text(cell));
        append_row(lines, table, cells, *layout, false);
    }
    return lines;
}

}  // namespace tracehold
