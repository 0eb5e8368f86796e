// Prints audits of invented services for a solver that wants the hidden counts back: for each service a line as others
// see it and a line as the team does. Usage: dump_audits COUNT
#include <cstdio>
#include <random>
#include <string>

#include "audit/made_service.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_audit.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::vector<MadePerson> some_people(std::mt19937& random) {
    std::vector<MadePerson> people;
    const std::size_t n = 4 + random() % 50, sites = 1 + random() % 5, months = 1 + random() % 4;
    const bool one_session = random() % 3 == 0;  // as many recordings as people: each count of one tells the other
    const std::size_t rare = 4 + random() % 12;  // how seldom something is missing
    for (std::size_t i = 0; i < n; ++i) {
        MadePerson person{.code = fmt::format("P-{:03}", i)};
        person.site = std::string(1, static_cast<char>('A' + std::min(random() % sites, random() % sites)));
        person.group = person.site;
        person.weeks = one_session ? 1 : 1 + static_cast<int>(random() % 2);
        person.held = one_session && random() % 4 > 0 ? 1 : random() % 3 == 0 ? 2 : 7;
        person.planned_weeks = 1 + static_cast<int>(random() % 8);
        person.first_day = 28 * static_cast<int>(random() % months);
        person.rest_uv = random() % 4 == 0 ? 6.0 : 2.0;
        person.rejected =
            random() % rare == 0 ? person.held * person.weeks : 0;  // then there is no value of the muscle
        person.assessed_on_day = !one_session && random() % 2 == 0 ? 3 : -1;
        people.push_back(person);
    }
    return people;
}

}  // namespace

int main(int count, char** words) {
    const auto services = count > 1 ? parse_whole(words[1]).value_or(20) : 20;
    std::mt19937 random(2026);
    for (long long i = 0; i < services; ++i) {
        const auto people = some_people(random);
        AuditSettings settings{
            .by = i % 4 == 3 ? Grouping::none : i % 4 == 2 ? Grouping::column : Grouping::site, .rest_below_uv = 4.0, .review_within_days = 5.0};
        if (settings.by == Grouping::column) settings.column = "arm";
        settings.min_cell = i % 5 == 4 ? 3 : 5;
        if (i % 3 == 1) {  // a period that some begin before, and some after
            const auto first = std::chrono::floor<std::chrono::days>(session_of({}, 0).recording.start->local);
            settings.from = first + std::chrono::days{5};
            settings.to = first + std::chrono::days{33};
        }
        AuditTally tally = tally_of(people);
        for (const ErrorKind kind : {ErrorKind::malformed, ErrorKind::unsupported, ErrorKind::too_short}) {
            for (std::size_t k = random() % 9; k > 3; --k) tally.add_refused(kind);
        }
        for (std::size_t k = random() % 9; k > 3; --k) add_person(tally, {.weeks = 1, .held = 1, .first_day = static_cast<int>(k)});
        for (std::size_t k = random() % 9; k > 3; --k) add_person(tally, people[k - 4]);  // handed in twice
        const std::string team = audit_json(audit_service(tally, settings, chart_person), 0);
        settings.audience = Audience::others;
        std::fputs((audit_json(audit_service(tally, settings, chart_person), 0) + team).c_str(), stdout);
    }
}
