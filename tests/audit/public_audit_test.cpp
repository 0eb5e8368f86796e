// Whole audits for others, read by someone who wants the hidden counts back; the audit for the team holds the truth.
#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "audit/made_service.hpp"
#include "audit/table_solver.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::vector<MadePerson> some_people(std::mt19937& random) {
    std::vector<MadePerson> people;
    const int n = 4 + static_cast<int>(random() % 22);
    for (int i = 0; i < n; ++i) {
        MadePerson person{.code = fmt::format("CANARY-{:03}", i)};
        person.site = std::string(1, static_cast<char>('A' + std::min(random() % 5, random() % 5)));
        person.weeks = random() % 6 == 0 ? 2 : 1;
        person.held = random() % 3 == 0 ? 2 : 7;
        person.first_day = 7 * static_cast<int>(random() % 12);
        person.rest_uv = random() % 4 == 0 ? 6.0 : 2.0;
        person.rejected = random() % 6 == 0 ? person.held * person.weeks : 0;
        person.assessed_on_day = random() % 2 == 0 ? 3 : -1;
        people.push_back(person);
    }
    return people;
}

SeenRow seen(const AuditCell& cell) { return {cell.numerator.value, cell.denominator.value}; }

struct Findings {
    std::size_t hidden = 0, given_back = 0, narrow = 0, tables = 0;
};

void count_hidden(Findings& findings, const AuditCell& shown, const AuditCell& truth, const PossibleRow& possible) {
    const auto look = [&](const AuditCount& count, std::size_t true_count, const std::set<std::size_t>& values) {
        CHECK(count.suppressed == !count.value.has_value());
        if (count.value) {
            CHECK(*count.value == true_count);
            return;
        }
        ++findings.hidden;
        CHECK(values.count(true_count) == 1);
        findings.given_back += values.size() < 2 ? 1 : 0;
        findings.narrow += values.size() < 5 ? 1 : 0;
    };
    look(shown.numerator, *truth.numerator.value, possible.yes);
    look(shown.denominator, *truth.denominator.value, possible.total);
}

void attack(Findings& findings, const std::vector<AuditRow>& shown, const AuditCell& all,
            const std::vector<AuditRow>& truth, const AuditCell& true_all) {
    REQUIRE(shown.size() == truth.size());
    std::vector<SeenRow> rows;
    for (const AuditRow& row : shown) rows.push_back(seen(row.cell));
    const TableSolver solver(rows, seen(all), *true_all.denominator.value + 10);
    for (std::size_t i = 0; i < shown.size(); ++i) {
        count_hidden(findings, shown[i].cell, truth[i].cell, solver.rows()[i]);
    }
    count_hidden(findings, all, true_all, solver.all());
    ++findings.tables;
}

// One who adds up: what a count may be, and the sums that tie counts together. Every sum here hangs on another by one
// count and in no ring, so that narrowing until nothing moves leaves exactly what is possible.
class Sums {
public:
    static constexpr long kUnbounded = 1000000;
    struct Range {
        long low = 0, high = kUnbounded;
    };

    std::size_t count(const AuditCount& shown, long least) {
        const auto value = static_cast<long>(shown.value.value_or(0));
        ranges_.push_back(shown.value ? Range{value, value} : Range{least, kUnbounded});
        return ranges_.size() - 1;
    }
    void add_up(std::size_t total, std::vector<std::size_t> parts) { sums_.emplace_back(total, std::move(parts)); }
    void narrow() {
        while (narrowed()) {
        }
    }
    const Range& operator[](std::size_t i) const { return ranges_[i]; }

private:
    bool keep(std::size_t i, long low, long high) {
        Range& range = ranges_[i];
        const Range before = range;
        range = {std::max(range.low, low), std::min(range.high, high)};
        return range.low != before.low || range.high != before.high;
    }
    bool narrowed() {
        bool moved = false;
        for (const auto& [total, parts] : sums_) {
            long low = 0, high = 0;
            for (const std::size_t part : parts) low += ranges_[part].low, high += ranges_[part].high;
            moved = keep(total, low, high) || moved;
            for (const std::size_t part : parts) {
                const Range own = ranges_[part];
                moved = keep(part, ranges_[total].low - (high - own.high), ranges_[total].high - (low - own.low)) || moved;
            }
            if (moved) return true;
        }
        return false;
    }

    std::vector<Range> ranges_;
    std::vector<std::pair<std::size_t, std::vector<std::size_t>>> sums_;
};

// The flow beside the denominators of the signal's table: what is left at its end is the sum of the months and of the
// groups, and stands above them.
void attack_flow(Findings& findings, const Audit& shown, const Audit& truth) {
    Sums sums;
    std::vector<std::pair<std::size_t, std::size_t>> hidden;  // in the sums, its true count
    const auto take = [&](const AuditCount& count, const AuditCount& true_count, long least) {
        const std::size_t i = sums.count(count, least);
        if (count.suppressed) hidden.emplace_back(i, *true_count.value);
        return i;
    };
    const AuditFlow &flow = shown.flow, &own = truth.flow;
    const AuditMeasure &signal = shown.measures.front(), &own_signal = truth.measures.front();
    REQUIRE(signal.key == "trustworthy_signal");
    REQUIRE(flow.reasons.size() == own.reasons.size());
    const std::size_t found = take(flow.found, own.found, 0), readable = take(flow.readable, own.readable, 0),
                      scored = take(flow.scored, own.scored, 0), left = take(flow.in_analysis, own.in_analysis, 0);
    const auto add_stage = [&](std::string_view stage, std::size_t before, std::size_t after) {
        std::vector<std::size_t> parts{after};
        for (std::size_t i = 0; i < flow.reasons.size(); ++i) {
            if (flow.reasons[i].stage == stage) parts.push_back(take(flow.reasons[i].recordings, own.reasons[i].recordings, 1));
        }
        sums.add_up(before, parts);
    };
    add_stage("readable", found, readable);
    add_stage("scored", readable, scored);
    add_stage("in_analysis", scored, left);
    sums.add_up(left, {take(signal.overall.denominator, own_signal.overall.denominator, 0)});
    for (const auto rows : {&AuditMeasure::months, &AuditMeasure::groups}) {
        std::vector<std::size_t> parts;
        for (std::size_t i = 0; i < (signal.*rows).size(); ++i) {
            parts.push_back(take((signal.*rows)[i].cell.denominator, (own_signal.*rows)[i].cell.denominator, 1));
        }
        if (!parts.empty()) sums.add_up(left, parts);
    }
    sums.narrow();
    for (const auto& [i, true_count] : hidden) {
        const auto count = static_cast<long>(true_count);
        const Sums::Range& range = sums[i];
        CHECK((range.low <= count && count <= range.high));
        ++findings.hidden;
        findings.given_back += range.low == range.high ? 1 : 0;
        findings.narrow += range.high - range.low < 4 ? 1 : 0;
    }
    ++findings.tables;
}

// A few are refused, name nobody, or come twice.
AuditTally with_losses(const std::vector<MadePerson>& people, std::mt19937& random) {
    AuditTally tally = tally_of(people);
    const auto some = [&] { return random() % 3 == 0 ? 0 : random() % 2 == 0 ? random() % 5 : random() % 20; };
    for (const ErrorKind kind : {ErrorKind::malformed, ErrorKind::unsupported, ErrorKind::too_short}) {
        for (std::size_t k = some(); k > 0; --k) tally.add_refused(kind);
    }
    for (std::size_t k = some(); k > 0; --k) add_person(tally, {.weeks = 1, .held = 1, .first_day = static_cast<int>(k)});
    for (std::size_t k = std::min(some(), people.size()); k > 0; --k) add_person(tally, people[k - 1]);
    return tally;
}

// Nothing small, and nothing worked out from what is hidden.
void check_cell(const AuditCell& cell) {
    const auto fine = [](std::size_t count) { return count == 0 || count >= 5; };
    if (cell.numerator.value) CHECK(fine(*cell.numerator.value));
    if (cell.denominator.value) CHECK(fine(*cell.denominator.value));
    if (cell.median_n.value) CHECK(fine(*cell.median_n.value));
    const bool whole = cell.numerator.value && cell.denominator.value;
    if (whole) CHECK(fine(*cell.denominator.value - *cell.numerator.value));
    if (!whole) {
        CHECK(cell.reason.empty());
        CHECK_FALSE(cell.median_n.value);
        CHECK_FALSE(cell.share);
        CHECK_FALSE(cell.median);
    }
}

// People with something to count in one measure and not in another: few of them are few people. Months of adherence
// count whoever trained in them.
void check_between_measures(const Audit& shown) {
    const auto compare = [](const AuditCount& a, const AuditCount& b) {
        if (!a.value || !b.value || *a.value == *b.value) return;
        CHECK(std::max(*a.value, *b.value) - std::min(*a.value, *b.value) >= 5);
    };
    const auto compare_rows = [&](const AuditMeasure& a, const AuditMeasure& b, std::vector<AuditRow> AuditMeasure::*part) {
        std::size_t rest_a = a.overall.denominator.value.value_or(0), rest_b = b.overall.denominator.value.value_or(0);
        for (const AuditRow& row : a.*part) {
            const auto other = std::find_if((b.*part).begin(), (b.*part).end(), [&](const AuditRow& each) { return each.group == row.group; });
            if (other == (b.*part).end()) continue;
            const AuditCount &own = row.cell.denominator, &its = other->cell.denominator;
            compare(own, its);
            if (own.value && its.value) rest_a -= *own.value, rest_b -= *its.value;
        }
        if (!(a.*part).empty() && a.overall.denominator.value && b.overall.denominator.value) compare({rest_a}, {rest_b});
    };
    for (const AuditMeasure& a : shown.measures) {
        for (const AuditMeasure& b : shown.measures) {
            if (a.counts != "people" || b.counts != "people" || a.key >= b.key) continue;
            CAPTURE(a.key);
            CAPTURE(b.key);
            compare(a.overall.denominator, b.overall.denominator);
            compare_rows(a, b, &AuditMeasure::groups);
            if (a.key != "adherence") compare_rows(a, b, &AuditMeasure::months);
        }
    }
}

bool has_note(const Audit& audit, std::string_view code) {
    return std::any_of(audit.notes.begin(), audit.notes.end(), [&](const Note& note) { return note.code == code; });
}

std::string all_texts(const Audit& audit) {
    std::string text = audit.period + audit.inclusion + audit.tool_version + audit.inputs_sha256;
    for (const AuditReason& reason : audit.flow.reasons) text += reason.code + reason.text + reason.stage;
    for (const AuditMeasure& measure : audit.measures) {
        text += measure.no_funnel + measure.overall.reason + measure.series.run.reason;
        for (const AuditRow& row : measure.months) text += row.group + row.cell.reason;
        for (const AuditRow& row : measure.groups) text += row.group + row.cell.reason;
        for (const FunnelPoint& point : measure.funnel) text += point.group;
    }
    for (const Note& note : audit.notes) text += note.code + note.place + note.text;
    return text;
}

}  // namespace

TEST_CASE("an audit for others gives no hidden count back") {
    std::mt19937 random(41);
    Findings findings;
    for (int i = 0; i < 40; ++i) {
        CAPTURE(i);
        const auto people = some_people(random);
        AuditSettings settings{.by = Grouping::site, .rest_below_uv = 4.0, .review_within_days = 5.0};
        const Audit truth = audit_of(people, settings);
        settings.audience = Audience::others;
        const Audit shown = audit_of(people, settings);
        CHECK(all_texts(shown).find("CANARY") == std::string::npos);
        CHECK(shown.directions.empty());
        for (std::size_t m = 0; m < shown.measures.size(); ++m) {
            const AuditMeasure &measure = shown.measures[m], &own = truth.measures[m];
            CAPTURE(measure.key);
            check_cell(measure.overall);
            const bool whole = measure.overall.numerator.value && measure.overall.denominator.value;
            if (!whole && !measure.value_title.empty()) CHECK(measure.overall.median_suppressed);
            for (const AuditRow& row : measure.groups) check_cell(row.cell);
            for (const AuditRow& row : measure.months) check_cell(row.cell);
            // Those without a value are all people without the denominator.
            if (measure.missing.suppressed) {
                CHECK_FALSE((shown.flow.people.value && measure.overall.denominator.value));
            }
            if (measure.counts != "people") continue;
            attack(findings, measure.groups, measure.overall, own.groups, own.overall);
            if (measure.key != "adherence") attack(findings, measure.months, measure.overall, own.months, own.overall);
        }
    }
    MESSAGE(findings.tables << " tables of whole audits, " << findings.hidden << " hidden counts, "
                            << findings.given_back << " given back");
    CHECK(findings.hidden > 500);
    CHECK(findings.given_back == 0);
    CHECK(findings.narrow == 0);
}

TEST_CASE("the flow gives no small loss back beside the denominators of the measures") {
    std::mt19937 random(17);
    Findings findings;
    for (int i = 0; i < 300; ++i) {
        CAPTURE(i);
        const auto people = some_people(random);
        AuditSettings settings{.by = i % 2 == 0 ? Grouping::site : Grouping::none};
        const AuditTally tally = with_losses(people, random);
        const Audit truth = audit_service(tally, settings, chart_person);
        settings.audience = Audience::others;
        attack_flow(findings, audit_service(tally, settings, chart_person), truth);
    }
    MESSAGE(findings.tables << " flows, " << findings.hidden << " hidden counts, " << findings.given_back << " given back");
    CHECK(findings.hidden > 500);
    CHECK(findings.given_back == 0);
    CHECK(findings.narrow == 0);
}

TEST_CASE("a lone small loss hides what came before it and not what the measures tell anyway") {
    std::vector<MadePerson> people;
    for (int i = 0; i < 30; ++i) people.push_back({.code = fmt::format("P-{:02}", i), .weeks = 1});
    AuditTally tally = tally_of(people);
    add_person(tally, {.weeks = 1, .held = 3});  // three that name nobody
    const Audit shown = audit_service(tally, {.audience = Audience::others}, chart_person);
    CHECK(measure_of(shown, "trustworthy_signal").overall.denominator.value == 210);
    CHECK(shown.flow.in_analysis.value == 210);
    REQUIRE(shown.flow.reasons.size() == 1);
    CHECK(shown.flow.reasons[0].recordings.suppressed);
    for (const AuditCount& count : {shown.flow.scored, shown.flow.readable, shown.flow.found}) CHECK(count.suppressed);
}

TEST_CASE("charts for others rest on what the tables show") {
    std::mt19937 random(3);
    AuditSettings settings{.by = Grouping::site, .audience = Audience::others, .rest_below_uv = 4.0};
    int with = 0, without = 0;
    for (int i = 0; i < 10; ++i) {
        const Audit shown = audit_of(some_people(random), settings);
        for (const AuditMeasure& measure : shown.measures) {
            std::vector<double> shares;
            for (const AuditRow& row : measure.months) {
                if (row.cell.share && *row.cell.denominator.value >= measure.series.fewest) {
                    shares.push_back(*row.cell.share);
                }
            }
            if (measure.series.run.reason.find("months are hidden") == 0) {
                CHECK(measure.series.points.empty());
                CHECK_FALSE(measure.series.xmr);
                ++without;
            } else {
                CHECK(measure.series.run == run_chart(shares));
                CHECK(measure.series.xmr == xmr_chart(shares));
                ++with;
            }
            if (!measure.overall.share) CHECK(measure.funnel.empty());
            CHECK(measure.funnel.empty() == !measure.no_funnel.empty());
        }
    }
    CHECK(with > 0);
    CHECK(without > 0);
}

TEST_CASE("months are left out for others beside a named column") {
    const std::vector<MadePerson> people(1, {.code = "P-1", .group = "arm"});
    const Audit shown = audit_of(people, {.by = Grouping::column, .column = "arm", .audience = Audience::others});
    for (const AuditMeasure& measure : shown.measures) CHECK(measure.months.empty());
    CHECK(has_note(shown, "month_table_left_out"));
    const Audit team = audit_of(people, {.by = Grouping::column, .column = "arm"});
    CHECK_FALSE(team.measures[0].months.empty());
    CHECK(team.measures[0].groups[0].group == "arm");
}

TEST_CASE("small groups of a named column are counted together and no group is called as a person is") {
    std::vector<MadePerson> people;
    for (int i = 0; i < 20; ++i) {
        const std::string code = fmt::format("CANARY-{:02}", i);
        people.push_back({.code = code,
                          .site = i < 6 ? "home of canary-03" : "clinic",
                          .weeks = 1,
                          .group = i < 12 ? "early" : "lives near " + code});
    }
    const Audit by_column = audit_of(people, {.by = Grouping::column, .column = "arm", .audience = Audience::others});
    REQUIRE(by_column.measures[0].groups.size() == 2);
    CHECK(by_column.measures[0].groups[0].group == "early");
    CHECK(by_column.measures[0].groups[1].group == "other groups");
    CHECK(by_column.measures[0].groups[1].cell.denominator.value == 8 * 7);
    CHECK(has_note(by_column, "groups_pooled"));
    const Audit by_site = audit_of(people, {.by = Grouping::site, .audience = Audience::others});
    CHECK(by_site.measures[0].groups[1].group == "other groups");
    CHECK(all_texts(by_site).find("canary") == std::string::npos);
    const Audit team = audit_of(people, {.by = Grouping::column, .column = "arm"});
    CHECK(team.measures[0].groups.size() == 9);
}

TEST_CASE("no two measures for others count nearly the same people of a row") {
    std::mt19937 random(29);
    std::size_t lacking = 0;  // counts that would tell, unhidden
    for (int i = 0; i < 60; ++i) {
        CAPTURE(i);
        const auto people = some_people(random);
        AuditSettings settings{.by = i % 3 == 0 ? Grouping::none : Grouping::site, .rest_below_uv = 4.0, .review_within_days = 30.0};
        const Audit truth = audit_of(people, settings);
        const std::size_t changed = *measure_of(truth, "change_beyond_error").overall.denominator.value;
        const std::size_t rested = *measure_of(truth, "resting_activity_on_target").overall.denominator.value;
        lacking += changed != people.size() || rested != people.size() ? 1 : 0;
        settings.audience = Audience::others;
        check_between_measures(audit_of(people, settings));
    }
    CHECK(lacking > 30);
}

TEST_CASE("the number of people stays open where it would give a small count away") {
    std::vector<MadePerson> people;
    for (int i = 0; i < 30; ++i) people.push_back({.code = fmt::format("P-{:02}", i), .weeks = 1, .rest_uv = 2.0});
    const AuditSettings settings{.audience = Audience::others, .rest_below_uv = 4.0};
    const Audit open = audit_of(people, settings);
    CHECK(open.flow.people.value == 30);
    CHECK(measure_of(open, "trustworthy_signal").overall.ci95.has_value());
    for (std::size_t i = 0; i < 11; ++i) people[i].rejected = i < 3 ? 7 : 1;  // three without a value
    const Audit closed = audit_of(people, settings);
    CHECK(closed.flow.people.suppressed);
    CHECK(measure_of(closed, "adherence").overall.denominator.value == 30);
    CHECK(measure_of(closed, "resting_activity_on_target").overall.denominator.suppressed);  // 27: beside 30 it tells of 3
    CHECK(measure_of(closed, "resting_activity_on_target").overall.median_suppressed);
    CHECK(measure_of(closed, "resting_activity_on_target").missing.suppressed);
    CHECK(measure_of(closed, "adherence").missing.suppressed);
    // Its width would tell how many people are behind 210 recordings.
    CHECK(measure_of(closed, "trustworthy_signal").overall.share.has_value());
    CHECK(measure_of(closed, "trustworthy_signal").overall.ci95_suppressed);
    CHECK_FALSE(measure_of(closed, "trustworthy_signal").overall.ci95);
    CHECK(has_note(closed, "intervals_left_out"));
    // One recording a person: the recordings are as good as the people.
    for (MadePerson& person : people) person.held = 1, person.rejected = person.rejected > 1 ? 1 : 0;
    CHECK(measure_of(audit_of(people, settings), "trustworthy_signal").overall.denominator.suppressed);
}

TEST_CASE("medians for others are rounded and stand for twice as many people as a count") {
    std::vector<MadePerson> people;
    for (int i = 0; i < 9; ++i) people.push_back({.code = fmt::format("P-{:02}", i), .weeks = 2, .rest_uv = 2.345});
    AuditSettings settings{.audience = Audience::others, .rest_below_uv = 4.0};
    CHECK(measure_of(audit_of(people, settings), "resting_activity_on_target").overall.median_suppressed);
    people.push_back({.code = "P-09", .weeks = 2, .rest_uv = 2.345});
    CHECK(measure_of(audit_of(people, settings), "resting_activity_on_target").overall.median == 2.3);
    settings.audience = Audience::team;
    CHECK(measure_of(audit_of(people, settings), "resting_activity_on_target").overall.median ==
          doctest::Approx(2.345));
}

TEST_CASE("others see months and not the day of one person") {
    const std::vector<MadePerson> people = {{.code = "P-1", .weeks = 6}};
    const Audit shown = audit_of(people, {.audience = Audience::others});
    CHECK(shown.period == "2026-03 to 2026-04 (no period asked for)");
    CHECK_FALSE(shown.first);
    CHECK(audit_of(people).first.has_value());
}

TEST_CASE("the team sees every count") {
    std::mt19937 random(5);
    const Audit team = audit_of(some_people(random), {.by = Grouping::site, .rest_below_uv = 4.0});
    for (const AuditMeasure& measure : team.measures) {
        CHECK_FALSE(measure.missing.suppressed);
        CHECK(measure.overall.numerator.value.has_value());
        for (const AuditRow& row : measure.groups) CHECK(row.cell.denominator.value.has_value());
        for (const AuditRow& row : measure.months) CHECK(row.cell.denominator.value.has_value());
    }
    CHECK(team.directions.size() == 4);
}
