#pragma once
// The blocks of a Report as markup.
#include <cstddef>
#include <set>
#include <string>

#include "report/html_text.hpp"
#include "report/page_words.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// Writes one page's content in order; counts charts so that ids occur once.
class HtmlBlocks {
public:
    explicit HtmlBlocks(const Report& report);

    void heading(std::string_view text);  // of a section
    void no_heading();                    // its blocks stand right under the title
    void add(const Paragraph& paragraph);
    void add(const List& list);
    void add(const Facts& facts);
    void add(const Answers& answers);
    void add(const ReportTable& table);
    void add(const TraceFigure& figure);
    void add(const Definitions& definitions);
    void add(const Figure& figure);
    void add(const Calendar& calendar);

    const Html& content() const { return out_; }

private:
    void answer(const Answer& answer);
    void terms_of(const Answer& answer);
    void definition(const Definition& item);
    void table(const ReportTable& table, std::string_view name);
    void head_of(const ReportTable& table);
    void row_of(const ReportTable& table, const std::vector<Cell>& row);
    void numbers_of(const ReportTable& table, std::string_view name);
    void caption_of(std::string_view title, std::string_view description);
    void remark(const Chart& chart);
    void chart(const Chart& chart, double height, int ticks_across);
    void week(const CalendarWeek& week);
    Html linked(std::string_view text, const std::string& anchor) const;
    Html figure_heading(std::string_view text) const;

    const PageWords& words_;
    std::set<std::string> defined_;  // anchors that lead somewhere
    std::set<std::string> written_;  // those whose definition stands already
    std::size_t charts_ = 0;
    std::string heading_;  // of the section at hand, "" without
    Html out_;
};

}  // namespace tracehold
