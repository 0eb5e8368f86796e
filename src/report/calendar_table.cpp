#include "report/calendar_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

std::string planned_sessions(double planned, const PageWords& words) {
    std::string text = fixed_text(planned, 1);
    if (text.ends_with(".0")) text.resize(text.size() - 2);
    if (const auto at = text.find('.'); at != std::string::npos) text.replace(at, 1, words.decimal_mark);
    return text;
}

}  // namespace

ReportTable calendar_table(const Calendar& calendar, std::string_view language) {
    const PageWords& words = page_words(language);
    ReportTable table;
    table.columns = {{std::string(words.week)}};
    for (const std::string_view day : words.days) table.columns.push_back({std::string(day), true});
    table.columns.push_back({std::string(done_title(calendar, words)), true});
    const bool counted = tells_contractions(calendar);
    if (counted) table.columns.push_back({std::string(words.counting), true});
    for (const CalendarWeek& week : calendar.weeks) {
        std::vector<Cell> row = {{week_name(week, words)}};
        for (const auto& sessions : week.sessions) row.push_back({!sessions ? "" : *sessions == 0 ? "·" : std::to_string(*sessions)});
        row.push_back({done_of_week(week, words)});
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

std::string_view done_title(const Calendar& calendar, const PageWords& words) {
    const bool planned = std::any_of(calendar.weeks.begin(), calendar.weeks.end(), [](const CalendarWeek& week) { return week.planned.has_value(); });
    return planned ? words.done_of_planned : words.done;
}

std::string done_of_week(const CalendarWeek& week, const PageWords& words) {
    const bool planned = week.planned && *week.planned > 0.0;
    return planned ? fmt::format("{} / {}", week.done, planned_sessions(*week.planned, words)) : std::to_string(week.done);
}

bool tells_contractions(const Calendar& calendar) {
    return std::any_of(calendar.weeks.begin(), calendar.weeks.end(), [](const CalendarWeek& week) { return week.counting.has_value(); });
}

std::string week_day(std::chrono::sys_days day, const PageWords& words) {
    const std::chrono::year_month_day date{day};
    return fmt::format(fmt::runtime(words.day_month_year), static_cast<unsigned>(date.day()),
                       words.months[static_cast<unsigned>(date.month()) - 1], static_cast<int>(date.year()));
}

}  // namespace tracehold
