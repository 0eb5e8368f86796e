// Numbers as texts against the C library, in the C locale that every test runs in.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <bit>
#include <cmath>
#include <cstdlib>
#include <random>

#include "tracehold/core/number_text.hpp"

using namespace tracehold;

namespace {

bool same_bits(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

double c_library(const std::string& text) { return std::strtod(text.c_str(), nullptr); }

}  // namespace

TEST_CASE("two hundred thousand doubles of any bits are written and read as themselves") {
    std::mt19937_64 random(308);
    std::size_t wrong = 0, finite = 0;
    for (int i = 0; i < 200'000; ++i) {
        const double value = std::bit_cast<double>(random());
        if (!std::isfinite(value)) continue;
        const std::string text = number_text(value);
        const auto read = parse_number(text);
        wrong += !read || !same_bits(*read, value) || !same_bits(c_library(text), value);
        ++finite;
    }
    CHECK(wrong == 0);
    CHECK(finite > 190'000);
}

TEST_CASE("decimals of any length read as strtod reads them") {
    std::mt19937_64 random(17);
    std::size_t wrong = 0;
    for (int i = 0; i < 100'000; ++i) {
        std::string text = random() % 2 == 0 ? "-" : "";
        for (auto digits = 1 + random() % 25; digits > 0; --digits) text += static_cast<char>('0' + random() % 10);
        if (random() % 2 == 0) text += "." + std::to_string(random());
        if (random() % 3 == 0) text += "e" + std::to_string(static_cast<int>(random() % 600) - 300);
        const double expected = c_library(text);
        const auto read = parse_number(text);
        wrong += std::isfinite(expected) && (expected != 0.0 || text.find_first_of("123456789") > text.find('e'))
                     ? !read || !same_bits(*read, expected)
                     : read.has_value() && !same_bits(*read, expected);
    }
    CHECK(wrong == 0);
}

TEST_CASE("the hardest halfway cases are rounded to even as in the C library") {
    // Near-halfway decimals of IEEE 754 doubles: 2^53 + 1, the smallest normal and subnormal numbers, the largest double;
    // the values are those of the standard's definition of binary64.
    for (const char* text : {"9007199254740993", "9007199254740992.9999999999999999", "2.2250738585072011e-308",
                             "2.2250738585072014e-308", "4.9406564584124654e-324", "1.7976931348623157e308",
                             "0.1000000000000000055511151231257827021181583404541015625", "1e23", "8.5e22"}) {
        CAPTURE(text);
        REQUIRE(parse_number(text).has_value());
        CHECK(same_bits(*parse_number(text), c_library(text)));
    }
    CHECK_FALSE(parse_number("1.7976931348623159e308"));  // rounds beyond the largest double
}
