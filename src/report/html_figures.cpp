// Figures, their keys and their figures as tables; the calendar.
#include <fmt/format.h>

#include <algorithm>

#include "report/calendar_table.hpp"
#include "report/html_blocks.hpp"
#include "report/svg_chart.hpp"
#include "report/svg_trace.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// Heights of plots, px; our choice: three rows of a trace and the first answers share a screen.
constexpr double kTall = 230.0;
constexpr double kRow = 110.0;
constexpr double kMiddle = 160.0;  // two or three side by side
constexpr double kSmall = 96.0;
constexpr int kTicksWide = 10;
constexpr int kTicksSmall = 5;
constexpr std::size_t kFewCharts = 4;

}  // namespace

void HtmlBlocks::caption_of(std::string_view title, std::string_view description) {
    out_ << "<figcaption>" << figure_heading(title) << "<p>" << html_text(description) << "</p></figcaption>\n";
}

void HtmlBlocks::chart(const Chart& chart, double height, int ticks_across) {
    const ChartPlace place{++charts_, height, ticks_across, height < kTall ? 3 : 5};
    out_ << "<div class=\"plot\">" << svg_chart(chart, place, words_) << "</div>\n";
}

void HtmlBlocks::numbers_of(const ReportTable& content, std::string_view name) {
    if (content.columns.empty()) return;
    out_ << "<details><summary>" << html_text(words_.chart_numbers) << "</summary>\n";
    table(content, name);
    out_ << "</details>\n";
}

void HtmlBlocks::add(const TraceFigure& figure) {
    out_ << "<figure>";
    caption_of(figure.title, figure.description);
    const std::vector<Chart> charts = trace_charts(figure, words_);
    for (const Chart& row : charts) chart(row, charts.size() == 1 ? kTall : kRow, kTicksWide);
    out_ << chart_key(charts, words_);
    add(Facts{figure.key_values});
    numbers_of(trace_table(figure, words_), figure.title);
    out_ << "</figure>\n";
}

void HtmlBlocks::remark(const Chart& chart) {
    if (!chart.remark.empty()) out_ << "<p class=\"remark\">" << html_text(chart.remark) << "</p>";
}

// What fits a sheet of paper stays together.
void HtmlBlocks::add(const Figure& figure) {
    out_ << (figure.charts.size() <= kFewCharts ? Html() << "<figure class=\"whole\">" : Html() << "<figure>");
    caption_of(figure.title, figure.description);
    if (figure.charts.size() == 1) {
        remark(figure.charts.front());
        chart(figure.charts.front(), kTall, kTicksWide);
    } else {
        const bool few = figure.charts.size() <= kFewCharts, thirds = figure.charts.size() == 3;
        out_ << "<div class=\"plots" << (thirds ? Html() << " thirds" : few ? Html() << " halves" : Html()) << "\">\n";
        for (const Chart& small : figure.charts) {
            out_ << "<div><p class=\"small\">" << linked(small.title, small.anchor) << "</p>";
            remark(small);
            chart(small, few ? kMiddle : kSmall, few ? kTicksSmall + 1 : kTicksSmall);
            out_ << "</div>\n";
        }
        out_ << "</div>\n";
    }
    out_ << chart_key(figure.charts, words_);
    numbers_of(figure.table, figure.title);
    out_ << "</figure>\n";
}

void HtmlBlocks::add(const Calendar& calendar) {
    if (calendar.weeks.empty()) return;
    out_ << figure_heading(calendar.title);
    out_ << "<div class=\"scroll calendar\" tabindex=\"0\" role=\"group\" aria-label=\""
         << html_text(calendar.title, kLongestHtmlTitle) << "\"><table>\n<caption>" << html_text(calendar.description)
         << "</caption>\n<thead><tr><th scope=\"col\">" << html_text(words_.week) << "</th>";
    for (const std::string_view day : words_.days) {
        out_ << "<th scope=\"col\" class=\"day\">" << html_text(day) << "</th>";
    }
    out_ << "<th scope=\"col\">" << html_text(done_title(calendar, words_)) << "</th>";
    if (tells_contractions(calendar)) out_ << "<th scope=\"col\">" << html_text(words_.counting) << "</th>";
    out_ << "</tr></thead>\n<tbody>\n";
    for (const CalendarWeek& each : calendar.weeks) week(each);
    out_ << "</tbody></table></div>\n";
}

void HtmlBlocks::week(const CalendarWeek& week) {
    out_ << "<tr><th scope=\"row\">" << html_text(week_name(week, words_)) << "</th>";
    for (const auto& sessions : week.sessions) {
        if (!sessions) {
            out_ << "<td class=\"day\"></td>";
            continue;
        }
        const Html shade = html_number(static_cast<double>(std::min<std::size_t>(*sessions, 2)), 0);
        out_ << "<td class=\"day d" << shade << "\"><span>"
             << (*sessions == 0 ? html_text("·") : html_number(static_cast<double>(*sessions), 0)) << "</span></td>";
    }
    out_ << "<td>" << html_text(done_of_week(week, words_));
    if (week.planned && *week.planned > 0.0) {
        const double share = std::min(1.0, static_cast<double>(week.done) / *week.planned);
        out_ << "<svg class=\"meter\" aria-hidden=\"true\" focusable=\"false\">"
             << "<rect class=\"want\" width=\"100%\" height=\"100%\"/><rect class=\"have\" width=\""
             << html_number(100.0 * share, 1) << "%\" height=\"100%\"/></svg>";
    }
    out_ << "</td>";
    if (week.counting) out_ << "<td>" << html_number(static_cast<double>(*week.counting), 0) << "</td>";
    out_ << "</tr>\n";
}

}  // namespace tracehold
