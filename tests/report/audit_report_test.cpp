// The report of an audit as a reader sees it.
#include <doctest/doctest.h>

#include <set>
#include <variant>

#include "audit/made_service.hpp"
#include "support/golden.hpp"
#include "tracehold/report/compose_audit_report.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string text_of(const Audit& audit) { return render_text(compose_audit_report(audit)); }

// Text without its line breaks and columns.
std::string flowing(const std::string& text) {
    std::string out;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\n';
        if (!blank || (!out.empty() && out.back() != ' ')) out += blank ? ' ' : c;
    }
    return out;
}

bool audit_says(const std::string& text, std::string_view what) { return flowing(text).find(what) != std::string::npos; }

// Twelve people at each of two sites; all of one are rested, none of the other but a few.
std::vector<MadePerson> two_sites(int high_at_south) {
    std::vector<MadePerson> people;
    for (int i = 0; i < 24; ++i) {
        const bool north = i < 12;
        people.push_back({.code = fmt::format("P-{:03}", i),
                          .site = north ? "north" : "south",
                          .weeks = 1,
                          .rest_uv = !north && i - 12 < high_at_south ? 6.0 : 2.0});
    }
    return people;
}

Audit by_site(int high_at_south) {
    return audit_of(two_sites(high_at_south), {.by = Grouping::site, .rest_below_uv = 4.0});
}

}  // namespace

TEST_CASE("golden: the report of an audit for the team") {
    CHECK_GOLDEN("audit.txt", text_of(made_audit(Audience::team)));
}

TEST_CASE("golden: the report of an audit for others") {
    CHECK_GOLDEN("audit_public.txt", text_of(made_audit(Audience::others)));
}

TEST_CASE("a group narrowly outside the limits is told with how often chance does that") {
    // 16 of 24: of 12 people the binomial gives all with 0.7 % by chance, beyond 2.5 and within 0.1 %.
    const Audit audit = by_site(8);
    const std::string text = text_of(audit);
    CHECK(audit_says(text, "Outside the limits: north (100 % of 12, outside the 95 % limits)"));
    CHECK(audit_says(text, "By chance alone about one group in twenty lies outside the 95 % limits."));
    CHECK(audit_says(text, "chance alone breaks one of them now and then"));
}

TEST_CASE("limits that are too loose to judge by are not drawn") {
    const auto charts_of = [](const std::vector<MadePerson>& people) {
        std::set<std::string> titles;
        for (const Section& section : compose_audit_report(audit_of(people)).sections) {
            for (const Block& block : section.blocks) {
                const auto* figure = std::get_if<Figure>(&block);
                if (figure == nullptr) continue;
                for (const Chart& chart : figure->charts) titles.insert(chart.title);
            }
        }
        return titles;
    };
    std::vector<MadePerson> few = two_sites(6);
    for (std::size_t i = 0; i < few.size(); ++i) few[i].first_day = 28 * static_cast<int>(i % 3);
    CHECK(charts_of(few) == std::set<std::string>{"Run chart"});
    CHECK(audit_says(text_of(audit_of(few)), "Individuals (X of XmR): too few points: 3 in the baseline, 12 are needed"));
    CHECK(charts_of(a_service()) == std::set<std::string>{"Run chart", "Individuals (X of XmR)", "Moving range (mR of XmR)"});
}

TEST_CASE("groups within the limits are not called alike") {
    const std::string text = text_of(by_site(1));
    CHECK(audit_says(text, "All lie within the limits: no difference beyond chance is shown."));
    CHECK_FALSE(audit_says(text, "By chance alone about one group in twenty lies"));
}

TEST_CASE("a measure without a target says so also where counts are hidden for others") {
    AuditSettings settings{.by = Grouping::site, .audience = Audience::others};
    std::vector<MadePerson> people = two_sites(0);
    for (std::size_t i = 0; i < 3; ++i)
        people[i].assessed_on_day = 6;  // a few were reviewed, so their number is hidden
    CHECK(audit_says(text_of(audit_of(people, settings)), "People reviewed in time: no service target."));
}

TEST_CASE("what is hidden from others is said to be hidden and not to be too little") {
    const auto for_audience = [](Audience audience, int high) {
        return text_of(audit_of(two_sites(high), {.by = Grouping::site, .audience = audience, .rest_below_uv = 4.0}));
    };
    CHECK(audit_says(for_audience(Audience::team, 11), "Outside the limits: north (100 % of 12"));
    const std::string others = for_audience(Audience::others, 11);  // 1 of 12 at one site: hidden
    CHECK(audit_says(others, "Not told here, since counts that it needs are hidden: "));
    CHECK(audit_says(others, "groups compare"));
    CHECK(audit_says(others, "The page of the care team may tell it."));
    CHECK_FALSE(audit_says(others, "no group can be compared"));
    CHECK_FALSE(audit_says(for_audience(Audience::team, 11), "Not told here"));
    CHECK_FALSE(audit_says(for_audience(Audience::team, 11), "no group can be compared"));
    const Audit nobody = audit_of(two_sites(0), {.by = Grouping::site, .from = std::chrono::sys_days{std::chrono::year{2090} / 1 / 1}});
    CHECK(audit_says(text_of(nobody), "no group can be compared"));
}

TEST_CASE("each target says whose it is, and where none is set nobody is counted late") {
    const auto page = [](const AuditSettings& settings) { return text_of(audit_of(two_sites(0), settings)); };
    const std::string none = page({});
    CHECK(audit_says(none, "adherence at least 80 % (the service set none: the program's); resting activity below what each person's own plan says; "
                           "none for the time to review"));
    CHECK_FALSE(audit_says(none, "People reviewed in nobody"));  // a row of the table, its title on two lines
    const std::string own = page({.adherence_at_least_pct = 80.0, .rest_below_uv = 4.0, .review_within_days = 42.0});
    CHECK(audit_says(own, "adherence at least 80 % (the service's own); resting activity below 4 µV (the service's own); review within 42 days (the "
                          "service's own)"));
    CHECK_FALSE(audit_says(own, "the program's"));
}

TEST_CASE("a rejected signal is no recording lost on the way") {
    std::vector<MadePerson> people = two_sites(0);
    people[0].rejected = 2;
    const std::string text = text_of(audit_of(people));
    CHECK(audit_says(text, "No recording was lost on the way."));
    CHECK(audit_says(text, "Without a usable signal: 2 of those in the analysis: their results say that they cannot be scored"));
    CHECK_FALSE(audit_says(text_of(audit_of(two_sites(0))), "Without a usable signal"));
    CHECK(audit_says(text, "One whose signal was rejected or shows no muscle is not lost: it counts as a session held, and gives no value."));
}

TEST_CASE("an audit speaks of no person as a woman or a man") {
    for (const Audience audience : {Audience::team, Audience::others}) {
        const std::string text = " " + flowing(text_of(made_audit(audience))) + " ";
        for (const char* word : {" her ", " she ", " hers ", " his ", " he ", " him "}) {
            CHECK_MESSAGE(text.find(word) == std::string::npos, word);
        }
    }
}
