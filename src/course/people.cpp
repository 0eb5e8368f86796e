#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "tracehold/core/error.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/chart_course.hpp"

namespace tracehold {

std::vector<std::string> people_of(std::span<const SessionScore> scores) {
    std::set<std::string> people;
    for (const SessionScore& score : scores) people.insert(score.recording.person);
    return {people.begin(), people.end()};
}

std::vector<SessionScore> select_person(std::span<const SessionScore> scores, std::string_view person) {
    std::vector<SessionScore> own;
    for (const SessionScore& score : scores) {
        if (score.recording.person == person) own.push_back(score);
    }
    if (!own.empty()) return own;
    const auto people = people_of(scores);
    const std::vector<std::string_view> names(people.begin(), people.end());
    throw Error(ErrorKind::bad_setting, "", "",
                fmt::format("no recording of this person: saw '{}', expected one that the recordings name{}",
                            shown(person), did_you_mean(person, names)),
                "'--by-person' writes a course for each person");
}

}  // namespace tracehold
