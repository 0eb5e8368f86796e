#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/chart_course.hpp"

namespace tracehold {

std::vector<std::string> people_of(std::span<const SessionScore> scores) {
    std::set<std::string> people;
    for (const SessionScore& score : scores) people.insert(score.recording.person);
    return {people.begin(), people.end()};
}

namespace {

constexpr std::size_t kMostCodes = 20;  // our choice: what a message can hold

// "one of 'P-014', 'P-022'"
std::string codes_in(std::span<const SessionScore> scores) {
    const bool hidden = std::any_of(scores.begin(), scores.end(), [](const SessionScore& score) {
        return score.settings.identity != IdentityLevel::keep;
    });
    if (hidden) return "one that the recordings name";
    std::vector<std::string> people = people_of(scores);
    std::erase(people, "");
    if (people.empty()) return "none, because no recording names anybody";
    std::string text = people.size() == 1 ? "" : "one of ";
    for (std::size_t i = 0; i < std::min(people.size(), kMostCodes); ++i) {
        text += fmt::format("{}'{}'", i == 0 ? "" : ", ", shown(people[i]));
    }
    return people.size() > kMostCodes ? fmt::format("{} ... ({} in all)", text, people.size()) : text;
}

}  // namespace

std::vector<SessionScore> select_person(std::span<const SessionScore> scores, std::string_view person) {
    std::vector<SessionScore> own;
    for (const SessionScore& score : scores) {
        if (score.recording.person == person) own.push_back(score);
    }
    if (!own.empty()) return own;
    throw Error(ErrorKind::bad_setting, "", "",
                fmt::format("no recording of this person: saw '{}', expected {}", shown(person), codes_in(scores)),
                "'--by-person' writes a course for each person");
}

}  // namespace tracehold
