#include "report/calendar_table.hpp"

#include <fmt/format.h>

#include "report/page_words.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

ReportTable calendar_table(const Calendar& calendar, std::string_view language) {
    const PageWords& words = page_words(language);
    ReportTable table;
    table.columns = {{std::string(words.week)}};
    for (const std::string_view day : words.days) table.columns.push_back({std::string(day), true});
    table.columns.push_back({std::string(words.done), true});
    table.columns.push_back({std::string(words.planned), true});
    for (const CalendarWeek& week : calendar.weeks) {
        std::vector<Cell> row = {{calendar_day(week.monday)}};
        for (const auto& sessions : week.sessions) row.push_back({sessions ? std::to_string(*sessions) : ""});
        row.push_back({std::to_string(week.done)});
        row.push_back({week.planned ? number_text(*week.planned) : "–"});
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string calendar_day(std::chrono::sys_days day) {
    const std::chrono::year_month_day date{day};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                       static_cast<unsigned>(date.day()));
}

}  // namespace tracehold
