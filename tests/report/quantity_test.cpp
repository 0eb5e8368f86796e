#include "tracehold/report/quantity.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace tracehold;

TEST_CASE("an error that begins with 1 keeps two digits and any other one digit") {
    // Rule of significant digits of an uncertainty: common practice, no source.
    struct Row {
        double error;
        int decimals;
    };
    for (const Row row : {Row{0.4, 1}, Row{0.14, 2}, Row{0.0146, 3}, Row{0.021, 2}, Row{1.2, 1}, Row{3.4, 0},
                          Row{31.0, 0}, Row{170.0, 0}, Row{0.0196, 2}, Row{0.00004, 3}}) {
        CAPTURE(row.error);
        CHECK_EQ(decimals_for(row.error, "µV", 18.2), row.decimals);
    }
}

TEST_CASE("an error that rounds up to the next power of ten still shows its first two digits") {
    CHECK_EQ(quantity_text(Estimate::of(5.0, 0.096), "µV", true), "5.00 ± 0.10");
}

TEST_CASE("times are never finer than ten milliseconds") {
    CHECK_EQ(decimals_for(0.0012, "s", 0.5), 2);
    CHECK_EQ(quantity_text(Estimate::of(0.31234, 0.0012), "s"), "0.31");
    CHECK_EQ(quantity_text(Estimate::of(0.31234), "s"), "0.31");
}

TEST_CASE("without an error the unit and the size decide") {
    CHECK_EQ(quantity_text(Estimate::of(18.24), "µV"), "18.2");
    CHECK_EQ(quantity_text(Estimate::of(0.4321), "µV"), "0.43");
    CHECK_EQ(quantity_text(Estimate::of(432.1), "µV"), "432");
    CHECK_EQ(quantity_text(Estimate::of(-11.6), "%"), "−12");
    CHECK_EQ(with_minus("-3 to 4 (-39 %), P-014 of 2026-03-02, a - b"), "−3 to 4 (−39 %), P-014 of 2026-03-02, a - b");
    CHECK_EQ(quantity_text(Estimate::of(0.0), "µV"), "0.0");
}

TEST_CASE("the value and its error stand with the same decimals") {
    CHECK_EQ(quantity_text(Estimate::of(18.24, 0.42), "µV", true), "18.2 ± 0.4");
    CHECK_EQ(quantity_text(Estimate::of(18.24), "µV", true), "18.2");
}

TEST_CASE("a missing or impossible number is a dash and never a zero") {
    CHECK_EQ(quantity_text(Estimate::none("because"), "µV", true), "–");
    CHECK_EQ(quantity_text(Estimate::of(std::numeric_limits<double>::quiet_NaN()), "s"), "–");
    CHECK_EQ(quantity_text(Estimate::of(std::numeric_limits<double>::infinity()), "s"), "–");
}

TEST_CASE("a value rounded to nothing carries no minus sign") {
    CHECK_EQ(quantity_text(Estimate::of(-0.004, 0.3), "µV"), "0.0");
}

TEST_CASE("durations and spans read as people say them") {
    CHECK_EQ(duration_text(Seconds{0.0}), "0 s");
    CHECK_EQ(duration_text(Seconds{59.6}), "1 min");
    CHECK_EQ(duration_text(Seconds{146.0}), "2 min 26 s");
    CHECK_EQ(duration_text(Seconds{3720.0}), "1 h 2 min");
    CHECK_EQ(span_text({12.04, 14.5}), "12.0–14.5 s");
}
