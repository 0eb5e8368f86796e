// From stamps to an even axis, at the edges: stamps missing, standing, in blocks, going back.
#include "read/csv_clock.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "read/csv_clock_change.hpp"
#include "tracehold/core/error.hpp"

using namespace tracehold;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

std::string axis_refusal(const std::vector<double>& stamps) {
    try {
        even_axis(stamps, {.resolution = 0.001, .source = "x.csv"});
    } catch (const Error& error) {
        return error.what();
    }
    return "an axis";
}

std::string axis_codes(const EvenAxis& axis) {
    std::string all;
    for (const Note& note : axis.notes) all += note.code + " ";
    return all;
}

// rows stamps, one every `rows_per_stamp` rows moves on by `length`.
std::vector<double> in_blocks(int rows, int rows_per_stamp, double length, int first = 0) {
    std::vector<double> stamps;
    for (int i = 0; i < rows; ++i) stamps.push_back(length * ((i + first) / rows_per_stamp));
    return stamps;
}

std::vector<double> clock(std::size_t rows, double step_s) {
    std::vector<double> stamps;
    for (std::size_t i = 0; i < rows; ++i) stamps.push_back(step_s * static_cast<double>(i));
    return stamps;
}

}  // namespace

TEST_CASE("fewer than two stamps or none that can be read tell no rate") {
    const std::string hint = "\nhint: --rate HZ";
    CHECK(axis_refusal({}) == "x.csv: too few rows to know the rate: saw 0 with a time, expected at least 2" + hint);
    CHECK(axis_refusal({1.5}) == "x.csv: too few rows to know the rate: saw 1 with a time, expected at least 2" + hint);
    CHECK(axis_refusal({kNone}) == "x.csv: too few rows to know the rate: saw 0 with a time, expected at least 2" + hint);
    CHECK(axis_refusal({kNone, kNone, kNone}) ==
          "x.csv: too few rows to know the rate: saw 0 with a time, expected at least 2" + hint);
    CHECK(axis_refusal({2.0, 2.0, 2.0}) ==
          "x.csv: time never moves on: saw 2 in the first row and nothing later, expected rising times" + hint);
    CHECK(axis_refusal({3.0, 2.0, 1.0}) ==
          "x.csv: time never moves on: saw 3 in the first row and nothing later, expected rising times" + hint);
    CHECK(axis_refusal({0.0, 0.5}) == "an axis");
}

TEST_CASE("stamps that cannot be read stand on the line between their neighbours") {
    std::vector<double> stamps = clock(100, 0.01);
    stamps[40] = stamps[41] = stamps[42] = kNone;
    const EvenAxis axis = even_axis(stamps, {.resolution = 0.01});
    CHECK(axis.step / 0.01 == doctest::Approx(1.0));
    CHECK(axis.jumps.empty());
    CHECK(axis.notes.empty());
}

TEST_CASE("stamps missing at either end stand on the nearest one") {
    std::vector<double> stamps = clock(100, 0.01);
    stamps[0] = stamps[99] = kNone;
    const EvenAxis axis = even_axis(stamps, {.resolution = 0.01});
    CHECK(axis.step / 0.01 == doctest::Approx(1.0).epsilon(0.015));
    CHECK(axis_codes(axis) == "time_repeated ");
    CHECK(axis.notes[0].text == "rows that repeat the time of the row before: 2; even steps were assumed");
}

TEST_CASE("a stamp that stands now and then is no block") {
    std::vector<double> stamps = clock(100, 0.01);
    stamps[50] = stamps[49];
    const EvenAxis axis = even_axis(stamps, {.resolution = 0.01});
    CHECK(axis_codes(axis) == "time_repeated ");
    CHECK(axis.jumps.empty());
    CHECK(axis.step / 0.01 == doctest::Approx(1.0));
}

TEST_CASE("whole seconds in blocks give the rate within them whatever the first block holds") {
    for (const int first : {0, 1, 37, 99}) {
        const EvenAxis axis = even_axis(in_blocks(1000, 100, 1.0, first), {.resolution = 1.0});
        CHECK(axis.step / 0.01 == doctest::Approx(1.0).epsilon(1e-9));
        CHECK(axis.jumps.empty());
        CHECK(axis_codes(axis) == "time_in_blocks ");
    }
}

TEST_CASE("two cut blocks are all that is known and their mean is the step") {
    const EvenAxis axis = even_axis(in_blocks(20, 10, 1.0), {.resolution = 1.0});
    CHECK(axis.step == doctest::Approx(1.0 / 19.0));
}

TEST_CASE("blocks that go back in time keep the step of a block") {
    std::vector<double> stamps = in_blocks(1000, 100, 1.0);
    for (std::size_t i = 500; i < stamps.size(); ++i) stamps[i] -= 4.0;
    const EvenAxis axis = even_axis(stamps, {.resolution = 1.0});
    CHECK(axis.step / 0.01 == doctest::Approx(1.0));
    REQUIRE(axis.jumps.size() == 1);
    CHECK(axis.jumps[0].missing == 1);
    CHECK(axis_codes(axis) == "time_in_blocks time_goes_back ");
}

TEST_CASE("ten jumps back are borne and eleven are not") {
    const auto jumping = [](int times) {
        std::vector<double> stamps;
        for (int part = 0; part <= times; ++part) {
            for (int i = 0; i < 30; ++i) stamps.push_back(0.01 * i);
        }
        return stamps;
    };
    const EvenAxis axis = even_axis(jumping(10), {.resolution = 0.01});
    CHECK(axis.jumps.size() == 10);
    CHECK(axis.notes.back().text == "places where time goes back: 10; what follows was put behind a gap of one step");
    CHECK(axis_refusal(jumping(11)).find(": time goes back too often: saw 11 times, expected at most 10; the first is named here\nhint: ") !=
          std::string::npos);
}

TEST_CASE("a row counts as late from half a step on") {
    const auto late_by = [](double steps) {
        std::vector<double> stamps = clock(200, 1.0);
        for (std::size_t i = 100; i < stamps.size(); ++i) stamps[i] += steps;
        return even_axis(stamps, {.resolution = 0.01});
    };
    CHECK(late_by(0.4).jumps.empty());
    REQUIRE(late_by(0.6).jumps.size() == 1);
    CHECK(late_by(0.6).jumps[0].missing == 1);  // at least one
    CHECK(late_by(3.4).jumps[0].missing == 3);
    CHECK(late_by(3.6).jumps[0].missing == 4);
}

TEST_CASE("rounded stamps of an uneven step are no gaps") {
    // 300 Hz in whole milliseconds: 3, 3, 4 ms.
    std::vector<double> stamps;
    for (int i = 0; i < 3000; ++i) stamps.push_back(std::floor(i / 0.3));
    const EvenAxis axis = even_axis(stamps, {.resolution = 1.0});
    CHECK(axis.jumps.empty());
    CHECK(axis.step == doctest::Approx(1.0 / 0.3).epsilon(1e-3));
    // 700 Hz: 1, 1, 2, 1, 2 ...: steps of two medians that come at regular distances.
    stamps.clear();
    for (int i = 0; i < 3000; ++i) stamps.push_back(std::floor(i / 0.7));
    CHECK(even_axis(stamps, {.resolution = 1.0}).jumps.empty());
}

TEST_CASE("a jitter is noted from more than the last digit and a fiftieth of a step on") {
    const auto jittered = [](double by) {
        std::vector<double> stamps = clock(200, 1.0);
        for (std::size_t i = 1; i < stamps.size(); i += 2) stamps[i] += by;
        return axis_codes(even_axis(stamps, {.resolution = 0.0001}));
    };
    CHECK(jittered(0.015) == "");
    CHECK(jittered(0.03) == "time_jitter ");
}

TEST_CASE("an hour forth or back between two rows is a clock that was set") {
    std::vector<Note> notes;
    for (const double hour : {3600.0, -3600.0}) {
        std::vector<double> stamps = clock(100, 0.5);
        for (std::size_t i = 60; i < 100; ++i) stamps[i] += hour;
        const auto settled = without_clock_changes(stamps, 0.01, notes);
        REQUIRE(settled);
        for (std::size_t i = 0; i < 100; ++i) CHECK((*settled)[i] == doctest::Approx(0.5 * static_cast<double>(i)));
    }
    CHECK(notes.size() == 2);
    CHECK(notes[0].text ==
          "the clock jumps by 3600 s between two rows, as one set to summer or winter time does: no time was taken to "
          "have passed");
}

TEST_CASE("an hour that leaves time missing or too much of it is a pause") {
    std::vector<Note> notes;
    const auto jump = [&](double seconds) {
        std::vector<double> stamps = clock(100, 0.1);
        for (std::size_t i = 60; i < 100; ++i) stamps[i] += seconds;
        return without_clock_changes(stamps, 0.01, notes).has_value();
    };
    CHECK(jump(3600.0));
    CHECK(jump(3599.9));        // no time at all passed beside the hour
    CHECK_FALSE(jump(3599.5));  // less than an hour
    CHECK(jump(3600.1));        // two steps
    CHECK_FALSE(jump(3600.3));
    CHECK_FALSE(jump(1800.0));
    CHECK_FALSE(jump(0.0));
    CHECK_FALSE(without_clock_changes(std::vector<double>{}, 0.01, notes));
    // Nothing but the jump itself tells of a step.
    CHECK(without_clock_changes(std::vector<double>{0.0, -3600.0}, 0.01, notes).has_value());
}
