// Clocks that change, wrap, stand on a leap day, run years off or say no zone.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

#include "read_support.hpp"
#include "support/edf_builder.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// Two rows a second, each with the stamp that clock makes of its second.
template <class Clock>
std::string clocked(int rows, Clock clock) {
    std::string text = "time,emg_uV\n";
    for (int i = 0; i < rows; ++i) text += fmt::format("{},{}\n", clock(0.5 * i), 10 * (i % 5) - 20);
    return text;
}

std::string hms(double second_of_day) {
    const int whole = static_cast<int>(second_of_day);
    return fmt::format("{:02}:{:02}:{:02}.{}", whole / 3600, whole / 60 % 60, whole % 60, static_cast<int>(std::lround(10 * (second_of_day - whole))));
}

// The wall clock of central Europe around a change of its offset (EU directive 2000/84: at 01:00 UTC of the last Sunday of
// March and October). from_utc_s: of the day.
std::string wall_clock(const char* date, double utc_s, bool summer, bool with_offset) {
    return fmt::format("{}T{}{}", date, hms(utc_s + (summer ? 7200 : 3600)), !with_offset ? "" : summer ? "+02:00" : "+01:00");
}

constexpr double kChange_s = 3600.0;  // 01:00 UTC

Recording through_change(const char* date, bool to_summer, bool with_offset) {
    return csv(clocked(40, [&](double s) {
        const double utc_s = kChange_s - 10.0 + s;
        return wall_clock(date, utc_s, (utc_s >= kChange_s) == to_summer, with_offset);
    }));
}

}  // namespace

TEST_CASE("a change to or from summer time leaves no trace where the stamps say their offset") {
    for (const bool to_summer : {true, false}) {
        const Recording recording = through_change(to_summer ? "2026-03-29" : "2026-10-25", to_summer, true);
        CHECK(recording.gaps.empty());
        CHECK(recording.channels.at(0).samples.size() == 40);
        CHECK(recording.channels[0].rate.value == 2.0);
        CHECK_FALSE(has_note(recording, "clock_change"));
        CHECK(to_text(recording.start.value()) == (to_summer ? "2026-03-29T01:59:50+01:00" : "2026-10-25T02:59:50+02:00"));
    }
}

TEST_CASE("a jump of an hour without offsets is no hour of silence but named") {
    const Recording spring = through_change("2026-03-29", true, false);
    CHECK(spring.channels.at(0).samples.size() == 40);
    CHECK(spring.gaps.empty());
    CHECK(note_text(spring, "clock_change") ==
          "the clock jumps by 3600 s between two rows, as one set to summer or winter time does: no time was taken to have passed");
    const Recording autumn = through_change("2026-10-25", false, false);
    CHECK(autumn.channels.at(0).samples.size() == 40);
    CHECK(autumn.gaps.empty());
    CHECK(has_note(autumn, "clock_change"));
}

TEST_CASE("a pause of nearly an hour stays a pause") {
    const Recording recording = csv(clocked(40, [](double s) { return "2026-03-02T" + hms(36000 + s + (s >= 10 ? 3590 : 0)); }));
    REQUIRE(recording.gaps.size() == 1);
    CHECK(recording.gaps[0].length_s() == doctest::Approx(3590));
    CHECK_FALSE(has_note(recording, "clock_change"));
}

TEST_CASE("midnight is passed with and without dates") {
    const auto clock = [](double s) { return hms(std::fmod(86390.0 + s, 86400.0)); };
    const Recording bare = csv(clocked(40, clock));
    CHECK(bare.channels.at(0).samples.size() == 40);
    CHECK(bare.gaps.empty());
    CHECK_FALSE(bare.start.has_value());
    const Recording dated = csv(clocked(40, [&](double s) { return (s < 10 ? "2026-12-31 " : "2027-01-01 ") + clock(s); }));
    CHECK(dated.channels.at(0).samples.size() == 40);
    CHECK(dated.gaps.empty());
    CHECK(to_text(dated.start.value()) == "2026-12-31T23:59:50");
}

TEST_CASE("a clock without dates that runs through two midnights keeps its rate") {
    std::string text = "time,emg_uV\n";
    for (int i = 0; i < 600; ++i) text += fmt::format("{},{}\n", hms(std::fmod(86000.0 + 300.0 * i, 86400.0)), 10 * (i % 5) - 20);
    CHECK(csv(text).duration_s() == doctest::Approx(600 * 300.0));
}

TEST_CASE("leap days are days and no others are invented") {
    const auto around = [](const char* before, const char* after) {
        return csv(clocked(40, [&](double s) { return fmt::format("{} {}", s < 10 ? before : after, hms(std::fmod(86390.0 + s, 86400.0))); }));
    };
    CHECK(around("2028-02-28", "2028-02-29").gaps.empty());
    CHECK(around("2028-02-29", "2028-03-01").gaps.empty());
    CHECK(around("2026-02-28", "2026-03-01").gaps.empty());
    REQUIRE(around("2028-02-28", "2028-03-01").gaps.size() == 1);  // a day is missing there
    CHECK(around("2028-02-28", "2028-03-01").gaps[0].length_s() == doctest::Approx(86400));
    // Gregorian rule: no leap day in 2100, one in 2000.
    CHECK_FALSE(parse_civil_time("2100-02-29"));
    CHECK(parse_civil_time("2000-02-29"));
    BuiltEdf file = small_edf();
    file.date = "29.02.28";
    CHECK(to_text(read_edf(file.bytes(), "f").start.value()) == "2028-02-29T07:30:05");
    file.date = "29.02.26";
    CHECK_FALSE(read_edf(file.bytes(), "f").start.has_value());
}

TEST_CASE("a clock years off is read as it stands") {
    for (const char* date : {"1970-01-01", "1985-01-01", "2099-12-31"}) {
        const Recording recording = csv(clocked(40, [&](double s) { return fmt::format("{}T{}", date, hms(100 + s)); }));
        CHECK(date_text(recording.start.value()) == date);
        CHECK(recording.channels.at(0).samples.size() == 40);
    }
}

TEST_CASE("zones are kept as far as they are known and never guessed") {
    const auto start = [](const char* zone) {
        return csv(clocked(40, [&](double s) { return fmt::format("2026-03-02T{}{}", hms(100 + s), zone); })).start.value();
    };
    CHECK_FALSE(start("").utc_offset.has_value());
    CHECK(start("Z").utc_offset == std::chrono::minutes{0});
    CHECK(start("+05:45").utc_offset == std::chrono::minutes{345});
    CHECK(start("-0330").utc_offset == std::chrono::minutes{-210});
}

TEST_CASE("an EDF record stamped across midnight stays in one recording") {
    BuiltEdf file = small_edf_plus();
    file.time = "23.59.59";
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.gaps.empty());
    CHECK(recording.duration_s() == 2.0);
    file.signals[1] = annotation_signal({stamp("+0.5"), stamp("+1.5")});
    CHECK(to_text(read_edf(file.bytes(), "f").start.value()) == "2026-03-02T23:59:59.500");
    file.signals[1] = annotation_signal({stamp("+1.5"), stamp("+2.5")});
    CHECK(to_text(read_edf(file.bytes(), "f").start.value()) == "2026-03-03T00:00:00.500");
}
