#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "course/change.hpp"
#include "course/day_values.hpp"
#include "course/made_course.hpp"
#include "course/measurement_error.hpp"
#include "course/neighbouring_days.hpp"
#include "course/trend.hpp"
#include "tracehold/statistics/distributions.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr std::string_view kHold = "hold_mean_uv";

// One session a day with these hold means.
std::vector<SessionScore> holds(const std::vector<double>& values, int every_days = 1) {
    std::vector<SessionScore> scores;
    for (std::size_t i = 0; i < values.size(); ++i) {
        scores.push_back(with_hold(made_session(static_cast<int>(i) * every_days), values[i]));
    }
    return scores;
}

MeasureChange hold_of(const std::vector<SessionScore>& scores) {
    const Course course = course_of(scores);
    REQUIRE(course.phases.size() == 1);
    const MeasureChange* change = find_change(course.phases.front(), kHold);
    REQUIRE(change != nullptr);
    return *change;
}

bool holds_text(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

std::vector<DayValue> far_days(const std::vector<double>& scaled, double first) {
    std::vector<DayValue> days;
    for (std::size_t i = 0; i < scaled.size(); ++i) {
        days.push_back({.at_days = first + 100.0 * static_cast<double>(i), .scaled = scaled[i], .values = {scaled[i]}});
    }
    return days;
}

const CourseMeasure& measure(std::string_view key) {
    const auto list = course_measures();
    return *std::find_if(list.begin(), list.end(), [&](const CourseMeasure& one) { return one.key == key; });
}

}  // namespace

TEST_CASE("a constant course shows no change and stays level") {
    const MeasureChange hold = hold_of(holds(std::vector<double>(84, 15.0)));
    CHECK(hold.statement == Statement::no_change_shown);
    CHECK(*hold.change == doctest::Approx(0.0));
    CHECK(*hold.slope_per_week == doctest::Approx(0.0));
    CHECK(*hold.p == 1.0);
    CHECK(*hold.sem == doctest::Approx(0.0));
    CHECK(*hold.needed_rise == doctest::Approx(21.0));  // the published least, as in measurement_error.hpp
    CHECK(hold.error_source == ErrorSource::published);
    REQUIRE(hold.plateau);
    CHECK(hold.plateau->sessions == 42);
    CHECK(hold.text.find("no change shown") != std::string::npos);
}

TEST_CASE("a single step of two fifths is a change of 40 percent") {
    std::vector<double> values;
    for (int day = 0; day < 60; ++day) values.push_back((day < 30 ? 10.0 : 14.0) * (day % 2 == 0 ? 1.05 : 1.0 / 1.05));
    const MeasureChange hold = hold_of(holds(values));
    CHECK(*hold.change == doctest::Approx(40.0));
    CHECK(hold.baseline->value == doctest::Approx(10.0));
    CHECK(hold.current->value == doctest::Approx(14.0));
    CHECK(hold.baseline->days == 14);
    CHECK(hold.current->days == 14);
    CHECK(*hold.change_low < 40.0);
    CHECK(*hold.change_high > 40.0);
    CHECK(hold.statement == Statement::more);
    CHECK(hold.text.find("Hold mean rose from 10.0 to 14.0 µV (+40 %)") == 0);
    CHECK(hold.reason.empty());  // nothing speaks against a change that is shown
    CHECK(astray(hold) == Astray::no);
    std::reverse(values.begin(), values.end());
    const MeasureChange back = hold_of(holds(values));
    CHECK(back.statement == Statement::less);
    CHECK(*back.change == doctest::Approx(100.0 * (10.0 / 14.0 - 1.0)));
    CHECK(*back.p == doctest::Approx(*hold.p));
    CHECK(back.text.find("Hold mean fell from 14.0 to 10.0 µV (-29 %)") == 0);
}

TEST_CASE("the error of a session comes from the first days by hand") {
    // ln 10, 12 and 15 have a standard deviation of 0.20307476.
    const MeasureChange hold = hold_of(holds({10.0, 12.0, 15.0, 14.0, 14.0, 14.0}, 7));
    REQUIRE(hold.baseline->days == 3);
    CHECK(*hold.sem == doctest::Approx(22.516406));    // 100 (exp(0.20307476) - 1)
    CHECK(*hold.mdc95 == doctest::Approx(75.574719));  // 100 (exp(1.96 sqrt(2) 0.20307476) - 1)
}

TEST_CASE("a published least is told as one and beside it that own days differ by less") {
    CHECK(holds_text(hold_of(holds(std::vector<double>(84, 15.0))).text,
                     "the measurement error of 21 % (published figure; the means of this person's own days differ by less)"));
}

TEST_CASE("an even rise has its own slope") {
    std::vector<double> values;
    for (int week = 0; week < 12; ++week) values.push_back(10.0 * std::pow(1.03, week));
    const MeasureChange hold = hold_of(holds(values, 7));
    CHECK(*hold.slope_per_week == doctest::Approx(3.0));
    CHECK(*hold.slope_low == doctest::Approx(3.0));
    CHECK(*hold.slope_high == doctest::Approx(3.0));
    CHECK(hold.baseline->days == 3);
    CHECK(*hold.change == doctest::Approx(100.0 * (std::pow(1.03, 9) - 1.0)));
}

TEST_CASE("a rise that stopped has a plateau and a rise that goes on has none") {
    std::vector<double> stopped, going_on;
    for (int day = 0; day < 84; ++day) {
        const double wobble = day % 2 == 0 ? 1.02 : 1.0 / 1.02;
        stopped.push_back(10.0 * std::pow(1.5, std::min(day, 40) / 40.0) * wobble);
        going_on.push_back(10.0 * std::pow(1.5, day / 84.0) * wobble);
    }
    const MeasureChange level = hold_of(holds(stopped)), rising = hold_of(holds(going_on));
    CHECK(level.statement == Statement::more);
    REQUIRE(level.plateau);
    CHECK(level.plateau->from == first_day() + std::chrono::days{42});
    CHECK(level.plateau->to == first_day() + std::chrono::days{83});
    CHECK(level.plateau->low <= 0.0);
    CHECK(level.plateau->high >= 0.0);
    CHECK(level.plateau->text.find(
              "Hold mean stayed level within the measurement error of +21 % or -17 % over the last 42 days") == 0);
    CHECK(rising.statement == Statement::more);
    CHECK_FALSE(rising.plateau);
}

TEST_CASE("ends that differ without a direction between them are no change shown") {
    // The first days lie a fifth below the last; between them half of the days lie below both and half above both.
    std::vector<double> values;
    for (int day = 0; day < 42; ++day) {
        const bool odd = day % 2 == 1;
        const double level = day < 14 ? 8.0 : day < 28 ? (odd ? 6.0 : 13.0) : 10.0;
        values.push_back(level * (odd ? 1.02 : 1.0 / 1.02));
    }
    const MeasureChange hold = hold_of(holds(values));
    CHECK(*hold.change == doctest::Approx(25.0));
    CHECK(*hold.change > *hold.needed_rise);
    CHECK(hold.statement == Statement::no_change_shown);
    CHECK(hold.text.find("the days between do not follow one direction (p") != std::string::npos);
    // And the other way round: a clear direction, too small to mean anything.
    std::vector<double> creeping;
    for (int day = 0; day < 84; ++day) creeping.push_back(10.0 * (1.0 + 0.001 * day));
    const MeasureChange small = hold_of(holds(creeping));
    CHECK(*small.p < 0.001);
    CHECK(small.statement == Statement::no_change_shown);
    CHECK(small.text.find("within the measurement error of 21 %") != std::string::npos);
}

TEST_CASE("days that go one way and fail on the account for all tests are said to do so") {
    std::vector<SessionScore> scores;
    const std::vector<double> hold = {10.0, 12.2, 11.0, 10.8, 13.0, 12.6, 16.0, 15.0}, level = {3.0, 3.3, 2.9, 3.2, 3.1, 2.8, 3.2, 3.0};
    for (std::size_t i = 0; i < hold.size(); ++i) scores.push_back(with_hold(made_session(4 * static_cast<int>(i)), hold[i]));
    const auto alone = chart_course(scores);
    REQUIRE(alone.tested_measures == 1);
    CHECK(hold_of(scores).statement == Statement::more);
    for (std::size_t i = 0; i < hold.size(); ++i) {
        for (const char* key : {"rest_mean_uv", "release_s"}) set_value(scores[i], key, level[i]);
        scores[i].reference_uv = Estimate::of(3.0 * hold[i] * level[i]);
    }
    const MeasureChange together = hold_of(scores);
    INFO("p " << *together.p << ", " << *together.p_adjusted << " " << *together.change << " needed " << *together.needed_rise);
    CHECK(*together.p < 0.05);
    CHECK(*together.p_adjusted > 0.05);
    CHECK(together.statement == Statement::no_change_shown);
    CHECK(astray(together) == Astray::unsure);
    CHECK(together.reason == "beyond the measurement error, and the days go one way, but not surely enough with 4 measures tested together");
    CHECK(together.text.find("the days go one way, but not surely enough with 4 measures tested together (p 0.0") != std::string::npos);
    CHECK(together.text.find("do not follow one direction") == std::string::npos);
}

TEST_CASE("a p that fails is never written as the level it fails") {
    MeasureChange change{.title = "Hold mean", .unit = "µV", .change_unit = "%", .change = 30.0, .needed_rise = 20.0, .needed_fall = 17.0};
    change.baseline = CourseBlock{.value = 10.0};
    change.current = CourseBlock{.value = 13.0};
    change.statement = Statement::no_change_shown;
    for (const auto& [p, words] : {std::pair(0.0501, "(p 0.0501, accounted for"), std::pair(0.054, "(p 0.054, accounted for"), std::pair(0.3, "(p 0.30, accounted for")}) {
        change.p_adjusted = p;
        CHECK(statement_text(change, 4).find(words) != std::string::npos);
    }
    change.p_adjusted = 0.05;  // passes: the days lead the other way
    CHECK(statement_text(change, 4).find("(p ") == std::string::npos);
    CHECK(statement_text(change, 4).find("the days between do not lead that way") != std::string::npos);
}

TEST_CASE("another scale of microvolts changes no percentage and no statement") {
    auto scores = make_course({.rise_pct = 40.0, .spread = 0.15, .seed = 5});
    const MeasureChange before = hold_of(scores);
    for (SessionScore& score : scores) {
        set_value(score, kHold, 80.0 * *score.measures[*measure_index(kHold)].mean);
        score.reference_uv.value = 80.0 * *score.reference_uv.value;
    }
    const MeasureChange after = hold_of(scores);
    CHECK(after.statement == before.statement);
    CHECK(*after.change == doctest::Approx(*before.change));
    CHECK(*after.sem == doctest::Approx(*before.sem));
    CHECK(*after.mdc95 == doctest::Approx(*before.mdc95));
    CHECK(*after.needed_rise == doctest::Approx(*before.needed_rise));
    CHECK(*after.slope_per_week == doctest::Approx(*before.slope_per_week));
    CHECK(*after.p == doctest::Approx(*before.p));
    const Course course = course_of(scores);
    const MeasureChange* ratio = find_change(course.phases.front(), kHoldOfReference);
    REQUIRE(ratio != nullptr);
    CHECK(ratio->points.front().value < 200.0);
}

TEST_CASE("the order of the scores does not matter and neither does the calendar") {
    const auto scores = make_course({.rise_pct = 40.0, .spread = 0.15, .seed = 6});
    auto reversed = scores;
    std::reverse(reversed.begin(), reversed.end());
    auto later = scores;
    for (SessionScore& score : later) score.recording.start->local += std::chrono::days{1000};
    const MeasureChange one = hold_of(scores), two = hold_of(reversed), three = hold_of(later);
    CHECK(one.text == two.text);
    CHECK(one.points == two.points);
    CHECK(*one.p_adjusted == *two.p_adjusted);
    CHECK(one.text == three.text);
    CHECK(*one.slope_per_week == doctest::Approx(*three.slope_per_week));
}

TEST_CASE("few days say what they are and claim nothing") {
    const MeasureChange one = hold_of(holds({12.0}));
    CHECK(one.statement == Statement::not_enough);
    CHECK_FALSE(one.change);
    CHECK(one.reason == "1 day with a value, at least 6 are needed");
    const MeasureChange two = hold_of(holds({12.0, 30.0}));
    CHECK(two.statement == Statement::not_enough);
    CHECK(*two.change == doctest::Approx(150.0));
    CHECK(*two.needed_rise == doctest::Approx(44.0));  // published most
    CHECK(two.error_source == ErrorSource::published);
    CHECK_FALSE(two.change_low);
    const MeasureChange five = hold_of(holds({10, 12, 14, 16, 20}, 7));
    CHECK(five.statement == Statement::not_enough);
    CHECK(hold_of(holds({10.0, 10.2, 10.1, 14, 14.2, 14.1, 14.3, 14.4, 14.5, 14.6}, 7)).statement == Statement::more);
    const MeasureChange many_in_a_day = [] {
        std::vector<SessionScore> scores;
        for (int i = 0; i < 20; ++i) scores.push_back(with_hold(made_session(i % 2, i), i % 2 == 0 ? 10.0 : 20.0));
        return hold_of(scores);
    }();
    CHECK(many_in_a_day.statement == Statement::not_enough);
    CHECK(many_in_a_day.reason == "2 days with a value (20 sessions), at least 6 are needed");
    CHECK(two.beyond_published == true);
    CHECK(holds_text(two.text, "not enough to say whether it changed"));
    // Published minimal difference within one session of up to 44 %, as measurement_error.hpp quotes it; 1 / 1.44 is 31 % less.
    CHECK(holds_text(two.text, "It went from 12.0 to 30.0 µV (+150 %), beyond the published error of +44 % or -31 %, which is of one session"));
}

TEST_CASE("two days stand beside the published error in either direction and claim nothing") {
    // +44 % and its inverse: 100 (1 / 1.44 - 1) = -30.6 %.
    for (const auto& [now, beyond] : {std::pair(14.3, false), std::pair(14.5, true), std::pair(7.0, false), std::pair(6.9, true)}) {
        const MeasureChange hold = hold_of(holds({10.0, now}, 70));
        CAPTURE(now);
        CHECK(hold.statement == Statement::not_enough);
        CHECK(hold.beyond_published == beyond);
        CHECK_FALSE(hold.p_adjusted);
    }
    CHECK_FALSE(hold_of(holds({10.0})).beyond_published);
    CHECK_FALSE(hold_of(holds({10, 12, 14, 16, 20, 24}, 7)).beyond_published);  // enough days: a statement takes its place
    auto scores = holds({10.0, 20.0});
    for (std::size_t i = 0; i < 2; ++i) set_value(scores[i], "release_s", 0.5 + static_cast<double>(i));
    set_value(scores[0], "peak_uv", 10.0), set_value(scores[1], "peak_uv", 30.0);
    const Course course = course_of(scores);
    const MeasureChange* release = find_change(course.phases[0], "release_s");
    CHECK_FALSE(release->beyond_published);
    CHECK(holds_text(release->text, "It went from 0.50 to 1.50 s (+1.00 s); no published error of it is known"));
    CHECK_FALSE(find_change(course.phases[0], "peak_uv")->beyond_published);  // described only in training
}

TEST_CASE("only the few primary measures get a statement") {
    auto scores = make_course({.rise_pct = 60.0});
    for (SessionScore& score : scores) {
        set_value(score, "peak_uv", 2.0 * *score.measures[*measure_index(kHold)].mean);
        set_value(score, "fade_pct", -10.0);
    }
    const Course course = course_of(scores);
    CHECK(course.tested_measures == 4);
    const MeasureChange* peak = find_change(course.phases.front(), "peak_uv");
    REQUIRE(peak != nullptr);
    CHECK_FALSE(peak->statement);
    CHECK_FALSE(peak->p_adjusted);
    CHECK(peak->reason.find("described only") == 0);
    CHECK(*peak->change == doctest::Approx(*find_change(course.phases.front(), kHold)->change));
    CHECK(find_change(course.phases.front(), "fade_pct")->change_unit == "%");
}

TEST_CASE("a session mean of zero leaves percentages open") {
    auto scores = holds(std::vector<double>(20, 10.0));
    scores[3] = with_hold(scores[3], 0.0);
    const MeasureChange hold = hold_of(scores);
    CHECK(hold.statement == Statement::not_enough);
    CHECK(hold.reason.find("mean of 0") != std::string::npos);
}

TEST_CASE("blocks of independent days are compared as in the two sample t test") {
    // Textbook form with a pooled variance; 100 days apart nothing is left of the correlation.
    const std::vector<double> a{1.0, 1.4, 0.9, 1.3}, b{2.0, 2.6, 2.2};
    const auto first = far_days(a, 0.0), last = far_days(b, 1000.0);
    const BlockComparison ends = compare_blocks({first, last, 0.3}, measure("fade_pct"));
    double ss = 0.0;
    for (const double x : a) ss += (x - 1.15) * (x - 1.15);
    for (const double x : b) ss += (x - 6.8 / 3.0) * (x - 6.8 / 3.0);
    const double expected = student_t_quantile(0.975, 5.0) * std::sqrt(ss / 5.0 * (1.0 / 4.0 + 1.0 / 3.0));
    CHECK(ends.difference == doctest::Approx(6.8 / 3.0 - 1.15));
    CHECK(*ends.half_width == doctest::Approx(expected));
    CHECK(*ends.needed == doctest::Approx(expected));
    CHECK(ends.own);
    CHECK(*compare_blocks({first, last, 0.3}, measure("release_s")).needed >= kLeastTimeChange_s);
}

TEST_CASE("neighbouring days count for less") {
    const std::vector<double> far{0.0, 100.0, 200.0, 300.0}, near{0.0, 1.0, 2.0, 3.0};
    CHECK(mean_variance_factor(far, 0.3) == doctest::Approx(1.0));
    CHECK(trend_variance_factor(far, 0.3) == doctest::Approx(1.0));
    // Variance of the mean of an AR(1) series of four: 1 + 2/4 (3 r + 2 r^2 + r^3).
    CHECK(mean_variance_factor(near, 0.3) == doctest::Approx(1.0 + 0.5 * (0.9 + 0.18 + 0.027)));
    // Hamed & Rao 1998 (from memory) at lag 1 alone: 2/(n(n-1)(n-2)) (n-1)(n-2)(n-3) = 2 (n-3)/n, rank correlation of
    // r.
    const double lag_1 = 6.0 / M_PI * std::asin(0.15);
    CHECK(trend_variance_factor(near, 0.3) == doctest::Approx(1.0 + 2.0 * 1.0 / 4.0 * lag_1));
    std::vector<double> long_series;
    for (int i = 0; i < 2000; ++i) long_series.push_back(i);
    CHECK(mean_variance_factor(long_series, 0.5) == doctest::Approx(3.0).epsilon(0.01));  // (1 + r) / (1 - r)
}

TEST_CASE("the correlation of days is seen where there are enough of them") {
    std::mt19937_64 random(3);
    std::normal_distribution<double> normal;
    std::vector<DayValue> days;
    double value = 0.0;
    for (int i = 0; i < 3000; ++i) {
        value = 0.6 * value + 0.8 * normal(random);
        if (i < 2000)
            days.push_back({.at_days = static_cast<double>(i), .scaled = value + 0.001 * i, .values = {value}});
    }
    CHECK(day_correlation(days) == doctest::Approx(0.6 + 0.8 / std::sqrt(2000.0)).epsilon(0.08));
    CHECK(day_correlation(std::span(days).first(15)) == kLeastDayCorrelation);
    CHECK(day_correlation({}) == kLeastDayCorrelation);
}

TEST_CASE("the morning of one day and the evening of the next are neighbours and later ones are not") {
    const auto apart = [](double days_apart) {
        std::vector<DayValue> days;
        for (int i = 0; i < 40; ++i) {
            const double value = i / 10 % 2 == 0 ? 1.0 : -1.0;  // ten alike, again and again
            days.push_back({.at_days = days_apart * i, .scaled = value, .values = {value}});
        }
        return day_correlation(days);
    };
    CHECK(apart(1.0) > 0.8);
    CHECK(apart(1.5) == apart(1.0));
    CHECK(apart(1.75) == kLeastDayCorrelation);
}

TEST_CASE("p values are accounted for together as Holm has it") {
    // By hand: sorted 0.01 0.02 0.04, times 3, 2, 1, each at least the one before.
    const auto adjusted = adjust_together(std::vector{0.04, 0.01, 0.02});
    CHECK(adjusted[0] == doctest::Approx(0.04));
    CHECK(adjusted[1] == doctest::Approx(0.03));
    CHECK(adjusted[2] == doctest::Approx(0.04));
    CHECK(adjust_together(std::vector{0.6, 0.7}) == std::vector{1.0, 1.0});
    CHECK(adjust_together({}).empty());
}
