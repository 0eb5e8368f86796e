#include "tracehold/audit/audit_service.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "audit/made_service.hpp"
#include "tracehold/core/version.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::vector<MadePerson> some_people(int n, std::uint32_t seed = 1) {
    std::mt19937 random(seed);
    std::vector<MadePerson> people;
    for (int i = 0; i < n; ++i) {
        MadePerson person{.code = fmt::format("P-{:03}", i)};
        person.site = std::string(1, static_cast<char>('A' + random() % 4));
        person.group = std::string(1, static_cast<char>('u' + random() % 3));
        person.weeks = 2 + static_cast<int>(random() % 3);
        person.held = 4 + static_cast<int>(random() % 4);
        person.first_day = 7 * static_cast<int>(random() % 30);
        person.rest_uv = 2.0 + 0.5 * static_cast<double>(random() % 8);
        person.rejected = random() % 3 == 0 ? 3 : 0;
        person.assessed_on_day = random() % 2 == 0 ? 8 : -1;
        people.push_back(person);
    }
    return people;
}

// Everything of an audit in one text, for comparing whole audits.
std::string text_of(const AuditCell& cell) {
    const auto count = [](const AuditCount& c) { return c.value ? fmt::format("{}", *c.value) : std::string("-"); };
    return fmt::format("{}/{} {} {} {}", count(cell.numerator), count(cell.denominator),
                       cell.share ? fmt::format("{} {} {}", *cell.share, cell.ci95 ? cell.ci95->low : -1.0,
                                                cell.ci95 ? cell.ci95->high : -1.0)
                                  : "",
                       cell.median.value_or(-1.0), cell.reason);
}

std::string text_of(const Audit& audit) {
    std::string text = audit.period + audit.inputs_sha256;
    for (const AuditReason& reason : audit.flow.reasons) {
        text += fmt::format("\n{} {} {}", reason.stage, reason.code, reason.recordings.value.value_or(0));
    }
    for (const AuditMeasure& measure : audit.measures) {
        text += fmt::format("\n{} {}", measure.key, text_of(measure.overall));
        for (const AuditRow& row : measure.months) text += fmt::format("\n  {} {}", row.group, text_of(row.cell));
        for (const AuditRow& row : measure.groups) text += fmt::format("\n  {} {}", row.group, text_of(row.cell));
        for (const FunnelPoint& p : measure.funnel)
            text += fmt::format("\n  {} {} {}", p.group, p.share, p.limits.low_95);
        text += fmt::format("\n  {} {}", measure.series.run.median, measure.series.run.longest_run);
    }
    for (const AuditDirections& d : audit.directions)
        text += fmt::format("\n{} {} {} {}", d.key, d.more, d.less, d.not_enough);
    for (const Note& note : audit.notes) text += "\n" + note.text;
    return text;
}

std::string note_of(const Audit& audit, std::string_view code) {
    for (const Note& note : audit.notes) {
        if (note.code == code) return note.text;
    }
    return "";
}

}  // namespace

TEST_CASE("nothing handed in gives an audit that says so") {
    for (const Audience audience : {Audience::team, Audience::others}) {
        const Audit audit = audit_service({}, {.by = Grouping::site, .audience = audience}, chart_person);
        CHECK(audit.flow.found.value == 0);
        CHECK(audit.flow.in_analysis.value == 0);
        CHECK(audit.flow.people.value == 0);
        CHECK(audit.inputs_sha256.empty());
        CHECK_FALSE(audit.first);
        CHECK(audit.period == "no period asked for; no recording in the analysis");
        REQUIRE(audit.measures.size() == 6);
        for (const AuditMeasure& measure : audit.measures) {
            CHECK(measure.overall.denominator.value == 0);
            CHECK_FALSE(measure.overall.share);
            CHECK_FALSE(measure.overall.median);
            CHECK_FALSE(measure.overall.reason.empty());
            CHECK(measure.months.empty());
            CHECK_FALSE(measure.series.xmr);
        }
    }
}

TEST_CASE("everything refused gives reasons and no share") {
    AuditTally tally;
    for (int i = 0; i < 7; ++i) tally.add_refused(ErrorKind::malformed);
    for (int i = 0; i < 2; ++i) tally.add_refused(ErrorKind::too_short);
    const Audit audit = audit_service(tally, {}, chart_person);
    CHECK(audit.flow.found.value == 9);
    CHECK(audit.flow.readable.value == 2);
    CHECK(audit.flow.scored.value == 0);
    REQUIRE(audit.flow.reasons.size() == 2);
    CHECK(audit.flow.reasons[0].code == "malformed");
    CHECK(audit.flow.reasons[0].stage == "readable");
    CHECK(audit.flow.reasons[1].code == "too_short");
    CHECK(audit.flow.reasons[1].stage == "scored");
    CHECK_FALSE(audit.measures[0].overall.share);
    const Audit shared = audit_service(tally, {.audience = Audience::others}, chart_person);
    CHECK(shared.flow.reasons[1].recordings.suppressed);
    CHECK(shared.flow.readable.suppressed);
}

TEST_CASE("one person is counted and hidden from others") {
    const std::vector<MadePerson> one = {{.code = "P-1", .weeks = 4, .held = 5, .rest_uv = 3.0, .rejected = 2}};
    const Audit team = audit_of(one, {.rest_below_uv = 4.0});
    CHECK(team.flow.found.value == 20);
    CHECK(team.flow.people.value == 1);
    const AuditMeasure& signal = measure_of(team, "trustworthy_signal");
    CHECK(signal.overall.numerator.value == 18);
    CHECK(signal.overall.denominator.value == 20);
    CHECK(signal.overall.ci95->high - signal.overall.ci95->low > 0.5);  // one person is worth one
    // From the first session to the last: 3 weeks and 5 days, each day prescribed.
    CHECK(*measure_of(team, "adherence").overall.median == doctest::Approx(100.0 * 20 / 26));
    CHECK(measure_of(team, "adherence").overall.numerator.value == 0);
    CHECK(measure_of(team, "resting_activity_on_target").overall.numerator.value == 1);
    CHECK(measure_of(team, "resting_activity_on_target").overall.median == 3.0);

    const Audit shared = audit_of(one, {.audience = Audience::others, .rest_below_uv = 4.0});
    CHECK(shared.flow.people.suppressed);
    CHECK(shared.flow.in_analysis.suppressed);
    CHECK(shared.directions.empty());
    for (const AuditMeasure& measure : shared.measures) {
        CHECK_FALSE(measure.overall.share);
        CHECK_FALSE(measure.overall.median);
    }
}

TEST_CASE("more sessions than prescribed are no better adherence") {
    std::vector<SessionScore> scores = sessions_of({.code = "P-1", .weeks = 2});
    for (SessionScore& score : scores) score.plan->dose.days_per_week = 5.0;
    AuditTally tally;
    for (const SessionScore& score : scores) tally.add(score);
    CHECK(*measure_of(audit_service(tally, {}, chart_person), "adherence").overall.median == doctest::Approx(100.0));
}

TEST_CASE("a week of many sessions fills no other week of an audit") {
    const MadePerson person{.code = "P-1", .weeks = 1, .planned_weeks = 2.0};
    std::vector<SessionScore> scores = sessions_of(person);
    for (SessionScore score : sessions_of(person)) {  // a second one on each day, and none in the week after but the last
        score.recording.source += "-again";
        score.recording.sha256 = sha256_hex(score.recording.source);
        score.recording.start->local += std::chrono::hours{5};
        scores.push_back(score);
    }
    scores.push_back(session_of(person, 13));
    AuditTally tally;
    for (const SessionScore& score : scores) tally.add(score);
    CHECK(*measure_of(audit_service(tally, {}, chart_person), "adherence").overall.median == doctest::Approx(100.0 * 8 / 14));
}

TEST_CASE("a hold of another length is no change of a person in an audit") {
    const auto changed = [](double longer_s) {
        AuditTally tally;
        for (int i = 0; i < 24; ++i) {
            SessionScore score = session_of({.code = "P-1"}, 7 * (i / 2) + 3 * (i % 2));
            set_value(score, "hold_mean_uv", (i < 12 ? 15.0 : 8.0) + 0.1 * (i % 3));
            if (i >= 12) score.plan->steps[0].seconds = longer_s;
            tally.add(score);
        }
        return measure_of(audit_service(tally, {}, chart_person), "change_beyond_error").overall;
    };
    CHECK(changed(8.0).numerator.value == 1);  // the plan's own
    CHECK(changed(20.0).numerator.value == 0);
    CHECK(changed(20.0).denominator.value == 1);
}

TEST_CASE("flow counts every recording once with its reason") {
    AuditTally tally = tally_of({{.code = "P-1", .weeks = 2}, {.code = "", .weeks = 1}});
    const std::vector<SessionScore> again = sessions_of({.code = "P-1", .weeks = 1});
    tally.add(again[0]);  // twice the same recording
    SessionScore undated = again[1];
    undated.recording.start.reset();
    undated.recording.sha256 = "u";
    tally.add(undated);
    SessionScore zero = again[2];
    zero.recording.start->local = std::chrono::sys_days{std::chrono::year{1985} / 1 / 1};
    zero.recording.sha256 = "z";
    tally.add(zero);
    tally.add_refused(ErrorKind::cannot_open);
    const auto last = first_day() + std::chrono::days{9};
    const Audit audit = audit_service(tally, {.to = last}, chart_person);
    CHECK(audit.flow.found.value == 14 + 7 + 3 + 1);
    CHECK(audit.flow.readable.value == 24);
    CHECK(audit.flow.scored.value == 24);
    CHECK(audit.flow.in_analysis.value == 10);
    std::size_t lost = 0;
    for (const AuditReason& reason : audit.flow.reasons) lost += *reason.recordings.value;
    CHECK(lost == 15);
    const auto count = [&](std::string_view code) {
        for (const AuditReason& reason : audit.flow.reasons) {
            if (reason.code == code) return *reason.recordings.value;
        }
        return std::size_t{0};
    };
    CHECK(count("cannot_open") == 1);
    CHECK(count("no_person") == 7);
    CHECK(count("duplicate") == 1);
    CHECK(count("no_date") == 1);
    CHECK(count("impossible_date") == 1);
    CHECK(count("outside_period") == 4);
    CHECK(audit.last == last);
}

TEST_CASE("each measure counts people as it says") {
    // Ten people by hand: six hold every day, four hold four days of seven; three rest high; five are assessed.
    std::vector<MadePerson> people;
    for (int i = 0; i < 10; ++i) {
        people.push_back({.code = fmt::format("P-{}", i),
                          .site = i < 5 ? "north" : "south",
                          .weeks = 6,
                          .held = i < 6 ? 7 : 4,
                          .rest_uv = i < 3 ? 6.0 : 2.0,
                          .assessed_on_day = i % 2 == 0 ? 14 + i : -1});
    }
    const Audit audit = audit_of(people, {.by = Grouping::site, .rest_below_uv = 4.0, .review_within_days = 19.0});
    const AuditMeasure& adherence = measure_of(audit, "adherence");
    CHECK(adherence.overall.numerator.value == 6);
    CHECK(adherence.overall.denominator.value == 10);
    CHECK(adherence.overall.ci95->low == doctest::Approx(wilson(6, 10)->ci95_low));
    CHECK(*adherence.overall.median == doctest::Approx(100.0));
    CHECK(adherence.missing.value == 0);
    REQUIRE(adherence.groups.size() == 2);
    CHECK(adherence.groups[0].cell.numerator.value == 5);
    CHECK(adherence.groups[1].cell.numerator.value == 1);
    REQUIRE(adherence.funnel.size() == 2);
    CHECK(adherence.no_funnel.empty());
    CHECK(measure_of(audit, "trustworthy_signal").no_funnel == "recordings of one person hang together: binomial limits would be too narrow");
    const auto why = [&](const AuditSettings& settings) {
        const Audit other = audit_of(people, settings);
        CHECK(measure_of(other, "adherence").funnel.empty());
        return measure_of(other, "adherence").no_funnel;
    };
    CHECK(why({.by = Grouping::month}) == "no groups were asked for");
    CHECK(why({.by = Grouping::site, .from = std::chrono::sys_days{std::chrono::year{2090} / 1 / 1}}) == "nobody is in a group");
    CHECK(why({.by = Grouping::site, .audience = Audience::others, .min_cell = 11}) == "the share of all is hidden");
    std::vector<MadePerson> halves;
    for (int i = 0; i < 12; ++i) halves.push_back({.code = fmt::format("H-{}", i), .site = i < 6 ? "north" : "south", .weeks = 6, .held = i % 2 == 0 ? 7 : 4});
    const AuditMeasure half = measure_of(audit_of(halves, {.by = Grouping::site, .audience = Audience::others, .min_cell = 4}), "adherence");
    CHECK(half.overall.share == 0.5);
    CHECK(half.no_funnel == "every group with a share is hidden");
    CHECK(adherence.funnel[0].limits == *funnel_limits(5, 0.6));
    CHECK(adherence.funnel[0].place == FunnelPlace::within);

    const AuditMeasure& rest = measure_of(audit, "resting_activity_on_target");
    CHECK(rest.overall.numerator.value == 7);
    CHECK(rest.overall.denominator.value == 10);
    CHECK(rest.overall.median == 2.0);

    // Reviewed after 14, 16, 18, 20, 22 days; three of ten in time.
    const AuditMeasure& review = measure_of(audit, "time_to_review");
    CHECK(review.overall.numerator.value == 3);
    CHECK(review.overall.denominator.value == 10);
    CHECK(review.overall.median == 18.0);
    CHECK(review.overall.median_n.value == 5);
}

// Twelve weeks of one session a day, all of them over.
TEST_CASE("who stops coming is seen in adherence and by name of the question") {
    const std::vector<MadePerson> people = {{.code = "P-1", .weeks = 12}, {.code = "P-2", .weeks = 3}, {.code = "P-3", .weeks = 1, .first_day = 76}};
    const Audit audit = audit_of(people);
    const AuditMeasure& adherence = measure_of(audit, "adherence");
    CHECK(adherence.overall.numerator.value == 2);
    CHECK(adherence.overall.denominator.value == 3);
    CHECK(measure_of(audit_of({people[1]}), "adherence").overall.median == 100.0);  // the service ends with her
    CHECK(*measure_of(audit_of({people[0], people[1]}), "adherence").overall.median == doctest::Approx((100.0 + 25.0) / 2));
    CHECK(adherence.months.size() == 3);
    CHECK(adherence.months[2].cell.denominator.value == 3);  // May, when one of them came no more
    CHECK(adherence.months[2].cell.numerator.value == 2);

    const AuditMeasure& coming = measure_of(audit, "kept_coming");
    CHECK(coming.overall.numerator.value == 1);
    CHECK(coming.overall.denominator.value == 2);
    CHECK(coming.missing.value == 1);  // P-3 began a week before the end
}

TEST_CASE("nobody is asked to come after the plan's weeks or the last day of the audit, or without weeks") {
    const MadePerson whole{.code = "P-1", .weeks = 12};
    const auto coming = [](const Audit& audit) { return measure_of(audit, "kept_coming").overall; };
    const std::vector<MadePerson> late = {whole, {.code = "P-2", .weeks = 12, .first_day = 120}};
    CHECK(coming(audit_of(late)).numerator.value == 2);
    CHECK(*measure_of(audit_of(late), "adherence").overall.median == doctest::Approx(100.0));
    const auto day = [](int n) { return first_day() + std::chrono::days{n}; };
    const MadePerson stopped{.code = "P-1", .weeks = 4};
    CHECK(coming(audit_of({stopped}, {.to = day(27 + 14)})).numerator.value == 1);
    CHECK(coming(audit_of({stopped}, {.to = day(27 + 15)})).numerator.value == 0);
    CHECK(coming(audit_of({stopped}, {.to = day(300), .today = day(27 + 14)})).numerator.value == 1);  // what is to come is not missed yet
    // The plan's weeks run from her first session, also where that is before the period.
    const Audit tail = audit_of({whole, {.code = "P-2", .weeks = 12, .first_day = 70}}, {.from = day(70)});
    CHECK(coming(tail).numerator.value == 1);
    CHECK(measure_of(tail, "kept_coming").missing.value == 1);  // two weeks of hers are in it
    CHECK(*measure_of(tail, "adherence").overall.median == doctest::Approx(100.0));

    // Every day of four weeks, and one session long after them.
    MadePerson more{.code = "P-1", .weeks = 4, .held = 7, .planned_weeks = 4.0};
    AuditTally beyond;
    for (const SessionScore& score : sessions_of(more)) beyond.add(score);
    beyond.add(session_of(more, 70));
    CHECK(*measure_of(audit_service(beyond, {}, chart_person), "adherence").overall.median == doctest::Approx(100.0));
    const AuditMeasure late_part = measure_of(audit_service(beyond, {.from = day(60)}, chart_person), "adherence");
    CHECK(late_part.overall.denominator.value == 0);  // no plan asked for anything then
    CHECK(late_part.missing.value == 1);

    AuditTally tally;
    for (SessionScore score : sessions_of(stopped)) {
        score.plan->dose.weeks.reset();
        tally.add(score);
    }
    const Audit audit = audit_service(tally, {.to = day(300)}, chart_person);
    CHECK(coming(audit).denominator.value == 0);
    CHECK(coming(audit).reason == "no plan states its weeks, or nobody began long enough before the end");
    CHECK(*measure_of(audit, "adherence").overall.median == doctest::Approx(100.0));
    CHECK(note_of(audit, "weeks_not_stated").starts_with("1 person has a plan that does not state its weeks"));
    CHECK(note_of(audit_service(tally, {.audience = Audience::others}, chart_person), "weeks_not_stated").starts_with("some people"));
}

TEST_CASE("the cues of a session count in an audit as in a course") {
    AuditTally tally;
    for (const SessionScore& score : sessions_of({.code = "P-1", .weeks = 2})) tally.add(with_cues(score, training_plan(), *score.plan));
    SessionScore visit = session_of({.code = "P-1"}, 20);
    tally.add(with_cues(visit, visit_plan(), training_plan()));
    SessionScore unplanned = with_cues(session_of({.code = "P-1"}, 14), training_plan(), training_plan());
    unplanned.plan.reset();
    tally.add(unplanned);
    const Audit audit = audit_service(tally, {}, chart_person);
    REQUIRE(audit.flow.reasons.size() == 1);
    CHECK(audit.flow.reasons[0].code == "other_plan");
    CHECK(audit.flow.reasons[0].recordings.value == 1);
    CHECK(audit.flow.in_analysis.value == 15);
    CHECK(*measure_of(audit, "adherence").overall.median == doctest::Approx(100.0 * 15 / 21));
}

TEST_CASE("recordings that another version of the program scored are told") {
    AuditTally tally = tally_of({{.code = "P-1", .weeks = 1}});
    CHECK(note_of(audit_service(tally, {}, chart_person), "other_program_version").empty());
    for (SessionScore score : sessions_of({.code = "P-2", .weeks = 1})) {
        score.tool_version = "0.0.7";
        tally.add(score);
    }
    CHECK(note_of(audit_service(tally, {}, chart_person), "other_program_version").starts_with("7 recordings were scored by another version of the program (0.0.7; "));
    CHECK(note_of(audit_service(tally, {.audience = Audience::others}, chart_person), "other_program_version").starts_with("some recordings were"));
}

TEST_CASE("who may still be reviewed in time is not counted as late") {
    const std::vector<MadePerson> people = {
        {.code = "P-1", .weeks = 6}, {.code = "P-2", .weeks = 2, .first_day = 28}, {.code = "P-3", .weeks = 6, .assessed_on_day = 20}};
    const Audit audit = audit_of(people, {.review_within_days = 30.0});
    const AuditMeasure& review = measure_of(audit, "time_to_review");
    CHECK(review.overall.numerator.value == 1);
    CHECK(review.overall.denominator.value == 2);
    CHECK(review.missing.value == 1);
}

TEST_CASE("where no review is known of anybody nobody is late") {
    const std::vector<MadePerson> people = {{.code = "P-1", .weeks = 6}, {.code = "P-2", .weeks = 6}};
    const AuditMeasure review = measure_of(audit_of(people, {.review_within_days = 7.0}), "time_to_review");
    CHECK(review.overall.denominator.value == 0);
    CHECK_FALSE(review.overall.share);
    CHECK(review.overall.reason ==
          "no review is known of, since no sessions list dates one and no assessment follows the training");
    std::vector<MadePerson> one_assessed = people;
    one_assessed[0].assessed_on_day = 20;
    const AuditMeasure late = measure_of(audit_of(one_assessed, {.review_within_days = 7.0}), "time_to_review");
    CHECK(late.overall.numerator.value == 0);
    CHECK(late.overall.denominator.value == 2);
}

TEST_CASE("why adherence has no share is said as it is") {
    const auto told = [](const MadePerson& person, std::optional<Dose> dose) {
        AuditTally tally;
        for (SessionScore score : sessions_of(person)) {
            score.plan->dose = dose.value_or(Dose{});
            tally.add(score);
        }
        return measure_of(audit_service(tally, {}, chart_person), "adherence").overall;
    };
    const MadePerson once{.code = "P-1", .weeks = 1, .held = 1};
    CHECK(told(once, Dose{0.5, 6.0, 12.0}).reason == "less than one session was prescribed in that time");
    CHECK(told(once, {}).reason == "no plan prescribes a number of sessions");
    CHECK(told(once, Dose{1.0, 7.0, 12.0}).share == 1.0);
}

TEST_CASE("a date of review in the list counts where it comes first") {
    AuditTally tally;
    const auto sessions = sessions_of({.code = "P-1", .weeks = 6, .assessed_on_day = 20});
    for (const SessionScore& score : sessions) tally.add(score, {.reviewed = first_day() + std::chrono::days{11}});
    const Audit audit = audit_service(tally, {}, chart_person);
    CHECK(measure_of(audit, "time_to_review").overall.median == 11.0);
    CHECK(measure_of(audit, "time_to_review").overall.reason == "no service target");
    CHECK(note_of(audit, "review_before_first").empty());
    AuditTally early;
    for (const SessionScore& score : sessions) early.add(score, {.reviewed = first_day() - std::chrono::days{1}});
    const Audit seen = audit_service(early, {}, chart_person);
    CHECK(note_of(seen, "review_before_first").starts_with("1 person has a review in the sessions list that is dated before"));
    CHECK(measure_of(seen, "time_to_review").overall.median == 20.0);
    AuditTally between;  // after the first recording of all, before the first one of the period
    for (const SessionScore& score : sessions) between.add(score, {.reviewed = first_day() + std::chrono::days{3}});
    const Audit later = audit_service(between, {.from = first_day() + std::chrono::days{7}}, chart_person);
    CHECK(note_of(later, "review_before_first").empty());
}

TEST_CASE("a recording in which no muscle was seen has no usable signal, as in a course") {
    AuditTally tally;
    std::vector<SessionScore> sessions = sessions_of({.code = "P-1", .weeks = 1, .held = 5});
    sessions[0].quality.findings = {{"muscle_not_seen", Severity::caution, "nothing shows in the trace", {}}};
    sessions[1].quality.findings = {{"low_contrast", Severity::caution, "little more than rest", {}}};
    sessions[2].quality.usable = false;
    for (const SessionScore& score : sessions) tally.add(score);
    const AuditCell signal = measure_of(audit_service(tally, {}, chart_person), "trustworthy_signal").overall;
    CHECK(signal.numerator.value == 3);
    CHECK(signal.denominator.value == 5);
    CHECK(chart_person(sessions).used == 3);
}

TEST_CASE("copies of a recording under other names and dates are told") {
    const auto tally_with = [](double second) {
        AuditTally tally;
        std::vector<SessionScore> sessions = sessions_of({.code = "P-1", .weeks = 1, .held = 3});
        for (std::size_t i = 0; i < sessions.size(); ++i) {
            sessions[i].cycles.resize(1);
            const double value = i == 1 ? second : 3.0 + static_cast<double>(i);
            for (int k = 0; k < 8; ++k) sessions[i].cycles[0].values.push_back(Estimate::of(value + k));
        }
        for (const SessionScore& score : sessions) tally.add(score);
        for (const SessionScore& score : sessions) tally.add(score);  // the same to the byte: counted once, and no copy
        return tally;
    };
    CHECK(note_of(audit_service(tally_with(3.0), {}, chart_person), "same_samples").starts_with("1 recording holds the same samples as another one"));
    CHECK(note_of(audit_service(tally_with(3.0), {.audience = Audience::others}, chart_person), "same_samples").starts_with("some recordings hold"));
    CHECK(note_of(audit_service(tally_with(3.5), {}, chart_person), "same_samples").empty());
}

TEST_CASE("resting activity is held against the person's own plan where the service sets no target") {
    AuditTally tally;
    for (SessionScore score : sessions_of({.code = "P-1", .rest_uv = 3.0})) {
        score.plan->targets = {{"rest_mean_uv", 3.5, std::nullopt}};
        tally.add(score);
    }
    add_person(tally, {.code = "P-2", .rest_uv = 9.0});
    const AuditMeasure rest = measure_of(audit_service(tally, {}, chart_person), "resting_activity_on_target");
    CHECK(rest.overall.numerator.value == 1);
    CHECK(rest.overall.denominator.value == 1);
    CHECK(rest.missing.value == 1);
    CHECK(rest.overall.median == 6.0);
    const AuditMeasure own =
        measure_of(audit_service(tally, {.rest_below_uv = 3.0}, chart_person), "resting_activity_on_target");
    CHECK(own.overall.numerator.value == 0);  // at the target is not below it
    CHECK(own.overall.denominator.value == 2);
}

TEST_CASE("resting activity from which something was subtracted is held against no target") {
    AuditTally tally;
    for (SessionScore score : sessions_of({.code = "P-1", .rest_uv = 1.0})) {
        score.settings.envelope.subtract_noise_floor = true;
        tally.add(score);
    }
    add_person(tally, {.code = "P-2", .rest_uv = 2.0});
    const AuditMeasure rest = measure_of(audit_service(tally, {.rest_below_uv = 3.0}, chart_person), "resting_activity_on_target");
    CHECK(rest.overall.numerator.value == 1);
    CHECK(rest.overall.denominator.value == 1);
    CHECK(rest.overall.median == 2.0);
}

TEST_CASE("months follow the recording for signals and the prescription for adherence") {
    // Monday 2 March 2026, six weeks: the week of Thursday 2 April and the one after belong to April.
    const Audit audit = audit_of({{.code = "P-1", .weeks = 6, .rejected = 7}});
    const AuditMeasure& signal = measure_of(audit, "trustworthy_signal");
    REQUIRE(signal.months.size() == 2);
    CHECK(signal.months[0].group == "2026-03");
    CHECK(signal.months[0].cell.numerator.value == 30);
    CHECK(signal.months[1].cell.numerator.value == 5);
    CHECK(signal.months[1].cell.denominator.value == 12);
    const AuditMeasure& adherence = measure_of(audit, "adherence");
    REQUIRE(adherence.months.size() == 2);
    CHECK(adherence.months[0].cell.numerator.value == 1);
    CHECK(adherence.months[1].cell.numerator.value == 1);
    CHECK(signal.series.points.size() == 2);
    CHECK(signal.series.run.reason.find("too few points") == 0);
}

TEST_CASE("the audit says of a person what her course says") {
    // The kept record against the whole result: every primary measure has the same figures and statement.
    for (const double rise_pct : {0.0, 60.0, -40.0}) {
        std::vector<SessionScore> scores =
            make_course({.days = 56, .sessions_per_day = 1, .rise_pct = rise_pct, .seed = 4});
        for (SessionScore& score : scores) score.plan = training_plan();
        scores.push_back(scores.back());  // an assessment with steps of its own
        SessionScore& assessed = scores.back();
        assessed.recording.source = "assessment";
        assessed.recording.sha256 = "a";
        assessed.recording.start->local += std::chrono::hours{4};
        assessed.plan->purpose = PlanPurpose::assessment;
        assessed.steps = {{0, StepKind::hold, 5, 5, 0, 0, assessed.measures}};
        AuditTally tally;
        for (const SessionScore& score : scores) tally.add(score);
        std::vector<SessionScore> kept;
        for (const SessionRecord& record : tally.people().at("C-07")) {
            kept.push_back(tally.score_of(record));
            kept.back().recording.person = "C-07";
        }
        const Course whole = chart_person(scores), reduced = chart_person(kept);
        REQUIRE(whole.phases.size() == 2);
        REQUIRE(reduced.phases.size() == 2);
        CHECK(reduced.adherence.planned_sessions == whole.adherence.planned_sessions);
        CHECK(reduced.adherence.sessions == whole.adherence.sessions);
        bool any = false;
        for (std::size_t phase = 0; phase < 2; ++phase) {
            for (const MeasureChange& change : whole.phases[phase].measures) {
                if (!change.primary) continue;
                const MeasureChange* other = find_change(reduced.phases[phase], change.key);
                REQUIRE(other != nullptr);
                CHECK(other->text == change.text);
                CHECK(other->points == change.points);
                CHECK(other->p_adjusted == change.p_adjusted);
                CHECK(other->statement == change.statement);
                any = any || change.statement == Statement::more || change.statement == Statement::less;
            }
        }
        const Audit audit = audit_service(tally, {}, chart_person);
        CHECK(measure_of(audit, "change_beyond_error").overall.numerator.value == (any ? 1 : 0));
        CHECK(measure_of(audit, "change_beyond_error").overall.denominator.value == 1);
        CHECK(any == (rise_pct != 0.0));
        const AuditDirections& hold = audit.directions.front();
        CHECK(hold.key == "hold_mean_uv");
        CHECK(hold.more == (rise_pct > 0.0 ? 1 : 0));
        CHECK(hold.less == (rise_pct < 0.0 ? 1 : 0));
        CHECK(hold.more + hold.less + hold.both + hold.no_change_shown + hold.not_enough == 1);
    }
}

TEST_CASE("the order of input changes nothing") {
    std::vector<std::pair<SessionScore, SessionContext>> all;
    for (const MadePerson& person : some_people(25)) {
        for (const SessionScore& score : sessions_of(person)) all.push_back({score, {.group = person.group}});
    }
    all.push_back(all[3]);
    std::mt19937 random(8);
    for (const AuditSettings& settings :
         {AuditSettings{.by = Grouping::site, .rest_below_uv = 4.0, .review_within_days = 10.0},
          AuditSettings{.by = Grouping::column, .column = "arm", .audience = Audience::others, .min_cell = 3}}) {
        std::string first;
        for (int i = 0; i < 3; ++i) {
            AuditTally tally;
            for (const auto& [score, context] : all) tally.add(score, context);
            const std::string text = text_of(audit_service(tally, settings, chart_person));
            if (first.empty()) first = text;
            CHECK(text == first);
            std::shuffle(all.begin(), all.end(), random);
        }
    }
}

TEST_CASE("groups and months add up to all people") {
    const Audit audit = audit_of(some_people(40), {.by = Grouping::site, .rest_below_uv = 4.0});
    for (const AuditMeasure& measure : audit.measures) {
        std::size_t yes = 0, n = 0, month_yes = 0, month_n = 0;
        for (const AuditRow& row : measure.groups) {
            yes += *row.cell.numerator.value;
            n += *row.cell.denominator.value;
        }
        CHECK(yes == measure.overall.numerator.value);
        CHECK(n == measure.overall.denominator.value);
        if (measure.counts == "people") CHECK(n + *measure.missing.value == audit.flow.people.value);
        if (measure.key == "adherence") continue;  // a person is in several months
        for (const AuditRow& row : measure.months) {
            month_yes += *row.cell.numerator.value;
            month_n += *row.cell.denominator.value;
        }
        CHECK(month_yes == measure.overall.numerator.value);
        CHECK(month_n == measure.overall.denominator.value);
    }
}

TEST_CASE("period inclusion version and inputs are named") {
    const auto from = first_day(), to = first_day() + std::chrono::days{20};
    const Audit audit = audit_of({{.code = "P-1"}}, {.from = from, .to = to});
    CHECK(audit.period == "2026-03-02 to 2026-03-22 (asked for: 2026-03-02 to 2026-03-22)");
    CHECK(audit.inclusion.find("names a person") != std::string::npos);
    CHECK(audit.tool_version == kVersion);
    CHECK(audit.measures_version == kMeasuresVersion);
    CHECK(audit.inputs_sha256.size() == 64);
    CHECK(audit_of({{.code = "P-1"}}, {.to = to}).inputs_sha256 == audit.inputs_sha256);
    CHECK(audit_of({{.code = "P-1"}}).inputs_sha256 != audit.inputs_sha256);
    CHECK(audit_of({{.code = "P-1"}}, {.audience = Audience::others}).inputs_sha256.empty());
}

TEST_CASE("a person at two sites counts at the first") {
    AuditTally tally;
    add_person(tally, {.code = "P-1", .site = "", .weeks = 1});
    add_person(tally, {.code = "P-1", .site = "south", .weeks = 1, .first_day = 7});
    add_person(tally, {.code = "P-1", .site = "north", .weeks = 1, .first_day = 14});
    const Audit audit = audit_service(tally, {.by = Grouping::site}, chart_person);
    const AuditMeasure& signal = measure_of(audit, "trustworthy_signal");
    REQUIRE(signal.groups.size() == 1);
    CHECK(signal.groups[0].group == "south");
    CHECK(signal.groups[0].cell.denominator.value == 21);
    REQUIRE(audit.notes.size() == 1);
    CHECK(audit.notes[0].code == "people_in_several_groups");
}

TEST_CASE("impossible settings are refused") {
    const auto refused = [](const AuditSettings& settings) {
        try {
            audit_service({}, settings, chart_person);
        } catch (const Error& error) {
            CHECK(error.kind == ErrorKind::wrong_use);
            return error.message;
        }
        return std::string();
    };
    CHECK(refused({.audience = Audience::others, .min_cell = 1}) ==
          "nothing would be suppressed: saw a smallest cell of 1, expected 2 or more");
    CHECK(refused({.from = first_day(), .to = first_day() - std::chrono::days{1}}) ==
          "the period ends before it starts: saw 2026-03-02 to 2026-03-01");
    CHECK(refused({.rest_below_uv = 0.0}) ==
          "a target that cannot be: saw resting activity 0, expected a number above 0");
    CHECK(refused({.min_cell = 1}).empty());
}

TEST_CASE("one recording under the codes of two people is told and its people are not") {
    const auto told = [](const AuditTally& tally, Audience audience) {
        return note_of(audit_service(tally, {.audience = audience}, chart_person), "recordings_of_several_people");
    };
    const MadePerson person{.code = "CANARY-1", .weeks = 1, .held = 3};
    AuditTally tally = tally_of({person, {.code = "CANARY-2", .weeks = 1}});
    add_person(tally, person);                      // twice under one code: a duplicate
    add_person(tally, {.weeks = 1, .held = 2});     // of nobody
    CHECK(told(tally, Audience::team).empty());
    for (SessionScore score : sessions_of(person)) {
        score.recording.person = "CANARY-2";
        tally.add(score);
    }
    CHECK(told(tally, Audience::team).starts_with("3 recordings came"));
    CHECK(told(tally, Audience::others).starts_with("some recordings came"));
    CHECK(told(tally, Audience::others).find("CANARY") == std::string::npos);
}

TEST_CASE("codes that differ in letters alone are counted and not told") {
    const auto told = [](const std::vector<std::string>& codes, Audience audience) {
        std::vector<MadePerson> people;
        for (const std::string& code : codes) people.push_back({.code = code, .weeks = 1, .held = 2});
        return note_of(audit_service(tally_of(people), {.audience = audience}, chart_person), "codes_alike");
    };
    CHECK(told({"Canary-1", "Canary-2", "Canary -1"}, Audience::team).empty());
    CHECK(told({"Canary-1", "CANARY-1", " canary-1\t", "Canary-2", "canary-2", "x"}, Audience::team).starts_with("5 codes of people differ from one another only"));
    const std::string open = told({"Canary-1", "CANARY-1"}, Audience::others);
    CHECK(open.starts_with("some codes of people differ"));
    CHECK(open.find("anary") == std::string::npos);
    CHECK(told({"x", " "}, Audience::team).empty());
    CHECK(told({"ÄB", "äB"}, Audience::team).empty());  // letters beyond ASCII are taken as they are
}
