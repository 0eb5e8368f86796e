#include <doctest/doctest.h>

#include <array>
#include <chrono>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/core/utf8.hpp"

using namespace tracehold;

TEST_CASE("an error tells source place message and hint") {
    const Error error(ErrorKind::malformed, "a.csv", "3:7", "no number: saw 'x', expected a decimal number", "remove the word");
    CHECK(std::string(error.what()) == "a.csv:3:7: no number: saw 'x', expected a decimal number\nhint: remove the word");
    CHECK(std::string(Error(ErrorKind::too_short, "", "", "the file is empty").what()) == "the file is empty");
}

TEST_CASE("spans of samples meet without a lost or doubled sample") {
    const Hertz rate{1000.0};
    const SampleRange a = samples_in({0.1, 0.3}, rate, 10000), b = samples_in({0.1 + 0.2, 0.7}, rate, 10000);
    CHECK(a == SampleRange{100, 300});
    CHECK(b.begin == a.end);
    CHECK(samples_in({-5.0, 1e9}, rate, 10) == SampleRange{0, 10});
    CHECK(samples_in({0.0004, 0.0006}, rate, 10).empty());
    CHECK(samples_in({2.0, 1.0}, rate, 10000).empty());
    CHECK(time_of(500, rate) == 0.5);
}

TEST_CASE("the nearest name is one slip away and not a guess") {
    constexpr std::array<std::string_view, 3> names = {"seconds", "rest_seconds", "times"};
    CHECK(nearest_name("secnods", names) == "seconds");  // neighbours swapped
    CHECK(nearest_name("SECONDS", names) == "seconds");
    CHECK(nearest_name("tims", names) == "times");
    constexpr std::array<std::string_view, 2> begun = {"--for", "--format"};
    CHECK(nearest_name("--form", begun) == "--format");  // broken off, though '--for' is one letter nearer
    CHECK(nearest_name("--fro", begun) == "--for");
    CHECK_FALSE(nearest_name("repetitions", names));
    CHECK_FALSE(nearest_name("t", names));
    CHECK(did_you_mean("tims", names) == "; did you mean 'times'?");
    CHECK(did_you_mean("nothing", names).empty());
}

TEST_CASE("numbers are decimal and finite and fill the text") {
    CHECK(parse_number(" +1.50 ") == 1.5);
    CHECK(parse_number("-1e3") == -1000.0);
    for (const char* bad : {"", " ", "nan", "inf", "-inf", "1e999", "0x10", "1,5", "1.5x", "+-1", "++1", "1 2"}) {
        CAPTURE(bad);
        CHECK_FALSE(parse_number(bad));
    }
    CHECK(parse_whole("010") == 10);
    CHECK_FALSE(parse_whole("1.0"));
    CHECK_FALSE(parse_whole("99999999999999999999"));
}

TEST_CASE("fixed text rounds half away from zero as people do") {
    CHECK(fixed_text(0.125, 2) == "0.13");
    CHECK(fixed_text(-0.125, 2) == "-0.13");
    CHECK(fixed_text(2.675, 2) == "2.68");  // whose binary neighbour is below
    CHECK(fixed_text(-0.001, 2) == "0.00");
    CHECK(fixed_text(1234.5, 0) == "1235");
}

TEST_CASE("foreign text cannot steer a terminal") {
    CHECK(shown("EMG \xC2\xB5V") == "EMG \xC2\xB5V");
    CHECK(shown("a\x1B[31mb") == "a\\x1B[31mb");
    CHECK(shown("\xB5V") == "\\xB5V");                            // Latin-1
    CHECK(shown("\xC2\x9B" "31m") == "\\xC2\\x9B" "31m");         // C1 control sequence introducer
    CHECK(shown("\xE2\x80\xAE" "fdp") == "\\xE2\\x80\\xAE" "fdp");  // right-to-left override
    CHECK(shown("abcdef", 3) == "abc...");
    std::string climbing = "e";
    for (int i = 0; i < 200; ++i) climbing += "\xCC\x81";
    CHECK(shown(climbing + "f", 10) == "e\xCC\x81\xCC\x81\xCC\x81" "f");  // three marks on one character, and no more
    CHECK(shown("\xE1\xBB\x87\xCC\x82\xCC\xA3") == "\xE1\xBB\x87\xCC\x82\xCC\xA3");
    CHECK(shown("\xC3\xA9\xC3\xA9", 2) == "\xC3\xA9\xC3\xA9");
}

// Unicode 15, chapter 3, table 3-7 (memory).
TEST_CASE("well formed UTF-8 only") {
    CHECK(is_utf8("plain \xC3\xA4 \xE2\x82\xAC \xF0\x9F\x98\x80"));
    for (const char* bad : {"\xC0\x80", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xFF", "\x80", "\xC3"}) CHECK_FALSE(is_utf8(bad));
    CHECK(utf8_count("\xC3\xA4\xE2\x82\xAC") == 2);
}

// FIPS 180-4 examples, published by NIST.
TEST_CASE("SHA-256 of the published examples") {
    CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("civil times are read written and refused") {
    const auto text_of = [](std::string_view text) {
        const auto time = parse_civil_time(text);
        return time ? to_text(*time) : std::string("none");
    };
    CHECK(text_of("2026-03-02") == "2026-03-02T00:00:00");
    CHECK(text_of("2026-03-02 07:30") == "2026-03-02T07:30:00");
    CHECK(text_of("2026-03-02T07:30:05.25+01:00") == "2026-03-02T07:30:05.250+01:00");
    CHECK(text_of("2026-03-02T07:30:05Z") == "2026-03-02T07:30:05Z");
    CHECK(text_of("2026-03-02T07:30:05-0330") == "2026-03-02T07:30:05-03:30");
    CHECK(text_of("2024-02-29") == "2024-02-29T00:00:00");
    for (const char* bad : {"2026-02-30", "2025-02-29", "2026-13-01", "2026-03-02T24:01", "2026-03-02T07", "02.03.2026", "", "2026-03-02T07:30:05+99:00",
                            "2026-03-02T07:30x", "2026-3-2"}) {
        CAPTURE(bad);
        CHECK(text_of(bad) == "none");
    }
}

TEST_CASE("time between two clocks honours their offsets only if both are known") {
    const auto at = [](std::string_view text) { return *parse_civil_time(text); };
    CHECK(seconds_between(at("2026-03-02T07:00"), at("2026-03-02T08:00")) == 3600.0);
    CHECK(seconds_between(at("2026-03-29T01:30+01:00"), at("2026-03-29T03:30+02:00")) == 3600.0);  // the night of a clock change
    CHECK(seconds_between(at("2026-03-29T01:30"), at("2026-03-29T03:30+02:00")) == 7200.0);
}

TEST_CASE("no part of an error forges a line or steers a terminal") {
    const Error error(ErrorKind::malformed, "a\nb", "1\n2", "saw \x1b[0m", "try\nthis");
    CHECK(std::string(error.what()) == "a\\x0Ab:1\\x0A2: saw \\x1B[0m\nhint: try\\x0Athis");
    CHECK(error.source == "a\nb");
}
