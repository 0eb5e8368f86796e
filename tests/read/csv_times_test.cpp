// Times kept as whole numbers against the same times kept as doubles, bit for bit.
#include "read/csv_times.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <random>
#include <string>

#include "read/read_support.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

PlainDecimal decimal_of(const std::string& text) {
    PlainDecimal number;
    REQUIRE(read_plain_decimal(text.data(), text.data() + text.size(), '.', number) == text.data() + text.size());
    return number;
}

// Out: how many times were kept as whole numbers.
std::size_t check_same(const std::vector<std::string>& texts) {
    CsvTimes times;
    for (const std::string& text : texts) times.add(decimal_of(text));
    const TimesView view = times.view();
    REQUIRE(view.size() == texts.size());
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < texts.size(); ++i) wrong += !same_bits(view[i], decimal_value(texts[i], '.').value());
    CHECK(wrong == 0);
    for (std::size_t cut = 0; cut <= texts.size(); cut += 1 + texts.size() / 7) {  // in two parts
        CsvTimes joined, behind;
        for (std::size_t i = 0; i < texts.size(); ++i) (i < cut ? joined : behind).add(decimal_of(texts[i]));
        joined.add(behind);
        const TimesView both = joined.view();
        REQUIRE(both.size() == texts.size());
        for (std::size_t i = 0; i < texts.size(); ++i) wrong += !same_bits(both[i], view[i]);
        CHECK(both.ticks.size() == view.ticks.size());
    }
    CHECK(wrong == 0);
    return view.ticks.size();
}

}  // namespace

TEST_CASE("times of one number of decimals stay whole numbers") {
    std::vector<std::string> texts;
    for (int i = 0; i < 5000; ++i) texts.push_back(fmt::format("{:.4f}", 0.0005 * i));
    CHECK(check_same(texts) == 5000);
}

TEST_CASE("times whose decimals grow and shrink are the same numbers") {
    CHECK(check_same({"0", "0.5", "1", "1.25", "1.3", "-2.125", "7", "0.000001"}) == 8);
    CHECK(check_same({"-1", "-0.5", "0.5"}) == 3);
}

TEST_CASE("times too long for whole numbers become doubles") {
    CHECK(check_same({"2147483647", "1"}) == 2);
    CHECK(check_same({"1", "2147483648", "3"}) == 0);
    CHECK(check_same({"2147483647", "0.1", "0.5"}) == 0);
    CHECK(check_same({"0.0000000000000001", "1", "2.5"}) == 0);
    CHECK(check_same({"-0", "1"}) == 0);
    CHECK(check_same({"1720000000.0005", "1720000000.001"}) == 0);
}

TEST_CASE("random times are the same numbers") {
    std::mt19937_64 random(11);
    for (int round = 0; round < 200; ++round) {
        std::vector<std::string> texts;
        for (int i = 0; i < 30; ++i)
            texts.push_back(fmt::format("{}{}.{:0{}}", random() % 4 == 0 ? "-" : "", random() % 30'000, random() % 1000,
                                        3 + random() % 3));
        check_same(texts);
    }
}

TEST_CASE("a missing time makes all of them doubles and a cut leaves out the last") {
    CsvTimes times;
    for (const char* text : {"0.0", "0.1", "0.2"}) times.add(decimal_of(text));
    times.cut(2);
    CHECK(times.view().size() == 2);
    times.add(std::nan(""));
    times.add(decimal_of("0.3"));
    const TimesView view = times.view();
    REQUIRE(view.size() == 4);
    CHECK(view[1] == 0.1);
    CHECK(std::isnan(view[2]));
    CHECK(view.back() == 0.3);
    times.cut(1);
    CHECK(times.view().size() == 1);
    CHECK(CsvTimes{}.view().empty());
}
