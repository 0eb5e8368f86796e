#include "read/time_stamp.hpp"

#include <doctest/doctest.h>

using namespace tracehold;

TEST_CASE("clocks keep the full precision of their text") {
    CHECK(parse_stamp("07:30:05.123456").value().clock_s == doctest::Approx(27005.123456).epsilon(1e-15));
    CHECK(parse_stamp("7:30:05,25").value().clock_s == 27005.25);
    CHECK(parse_stamp("30:05.5").value().clock_s == 1805.5);
    CHECK(parse_stamp("2026-03-02T07:30:05+01:00").value().utc_offset == std::chrono::minutes{60});
    CHECK(parse_stamp("2026-03-02 07:30:05Z").value().utc_offset == std::chrono::minutes{0});
    CHECK(parse_stamp("2026-03-02 07:30:05 ").has_value() == false);
    CHECK(parse_stamp("2.3.2026 07:30:05").value().day == parse_day("2026-03-02"));
}

TEST_CASE("a date with slashes tells the time and no day") {
    CHECK(parse_stamp("03/02/2026 07:30:05").value().clock_s == 27005.0);
    CHECK_FALSE(parse_stamp("03/02/2026 07:30:05").value().day.has_value());
}

TEST_CASE("impossible clocks and dates are none") {
    for (const char* text : {"24:00:00", "07:60:00", "07:30:61", "07", "07:", ":30:05", "2026-02-30T07:30:05",
                             "ab:cd:ef", "07:30:05+25:00", "1:2:3:4"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_stamp(text));
    }
    CHECK_FALSE(parse_day("2026-13-01"));
    CHECK_FALSE(parse_day("1.5"));
}
