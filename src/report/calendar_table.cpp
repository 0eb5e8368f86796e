#include "report/calendar_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "tracehold/core/number_text.hpp"

namespace tracehold {

ReportTable calendar_table(const Calendar& calendar, std::string_view language) {
    const PageWords& words = page_words(language);
    ReportTable table;
    table.columns = {{std::string(words.week)}};
    for (const std::string_view day : words.days) table.columns.push_back({std::string(day), true});
    table.columns.push_back({std::string(words.done), true});
    const bool planned = std::any_of(calendar.weeks.begin(), calendar.weeks.end(),
                                     [](const CalendarWeek& week) { return week.planned.has_value(); });
    if (planned) table.columns.push_back({std::string(words.planned), true});
    const bool counted = tells_contractions(calendar);
    if (counted) table.columns.push_back({std::string(words.counting), true});
    for (const CalendarWeek& week : calendar.weeks) {
        std::vector<Cell> row = {{week_name(week, words)}};
        for (const auto& sessions : week.sessions) row.push_back({!sessions ? "" : *sessions == 0 ? "·" : std::to_string(*sessions)});
        row.push_back({std::to_string(week.done)});
        if (planned) row.push_back({week.planned ? planned_sessions(*week.planned, words) : "–"});
        if (counted) row.push_back({week.counting ? std::to_string(*week.counting) : "–"});
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string calendar_day(std::chrono::sys_days day) {
    const std::chrono::year_month_day date{day};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                       static_cast<unsigned>(date.day()));
}

std::string week_name(const CalendarWeek& week, const PageWords& words) {
    const std::string monday = week_day(week.monday, words);
    return week.iso_week ? fmt::format("{}, W{:02}", monday, *week.iso_week) : monday;
}

bool tells_contractions(const Calendar& calendar) {
    return std::any_of(calendar.weeks.begin(), calendar.weeks.end(), [](const CalendarWeek& week) { return week.counting.has_value(); });
}

std::string planned_sessions(double planned, const PageWords& words) {
    std::string text = fixed_text(planned, 1);
    if (text.ends_with(".0")) text.resize(text.size() - 2);
    if (const auto at = text.find('.'); at != std::string::npos) text.replace(at, 1, words.decimal_mark);
    return text;
}

std::string week_day(std::chrono::sys_days day, const PageWords& words) {
    const std::chrono::year_month_day date{day};
    return fmt::format(fmt::runtime(words.day_month_year), static_cast<unsigned>(date.day()),
                       words.months[static_cast<unsigned>(date.month()) - 1], static_cast<int>(date.year()));
}

}  // namespace tracehold
