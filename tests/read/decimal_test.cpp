// The fast way of reading decimals against std::from_chars, bit for bit.
#include "read/decimal.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <random>
#include <string>

#include "read/read_support.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

double reference(const std::string& text) {
    double value = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

std::string random_decimal(std::mt19937_64& random) {
    const double size = std::pow(10.0, static_cast<double>(random() % 24) - 12);
    const double value = (static_cast<double>(random() >> 11) / 9007199254740992.0 - 0.5) * size;
    switch (random() % 5) {
        case 0: return fmt::format("{}", value);
        case 1: return fmt::format("{:.{}e}", value, random() % 20);
        case 2: return fmt::format("{:.{}f}", value, random() % 22);
        case 3: return fmt::format("{}", static_cast<std::int64_t>(random()));
        default: return fmt::format("{:.4f}", value);
    }
}

}  // namespace

TEST_CASE("a hundred thousand random decimals read as from_chars reads them with point and with comma") {
    std::mt19937_64 random(100000);
    std::size_t fast = 0, wrong = 0;
    for (int i = 0; i < 100'000; ++i) {
        const std::string text = random_decimal(random);
        const double expected = reference(text);
        std::string comma = text;
        for (char& c : comma) c = c == '.' ? ',' : c;
        for (const char mark : {'.', ','}) {
            const std::string& written = mark == '.' ? text : comma;
            PlainDecimal plain;
            const char* const end = written.data() + written.size();
            if (read_plain_decimal(written.data(), end, mark, plain) == end) {
                wrong += !same_bits(plain.value(), expected);
                ++fast;
            }
            const auto slow = decimal_value(written, mark);
            wrong += !slow || !same_bits(*slow, expected);
        }
    }
    CHECK(wrong == 0);
    CHECK(fast > 50'000);
}

TEST_CASE("numbers at the borders of the fast way are exact or left to the slow way") {
    for (const std::string text :
         {"0", "-0", "0.0", "-0.0", ".5", "5.", "-.5", "00012.5", "9007199254740992", "9007199254740993",
          "900719925474099.3", "123456789012345678", "1234567890123456789", "0.000000000000000001",
          "0.0000000000000000001", "99999999999999999999", "18446744073709551617"}) {
        CAPTURE(text);
        PlainDecimal plain;
        const char* const end = text.data() + text.size();
        const char* const behind = read_plain_decimal(text.data(), end, '.', plain);
        if (behind != nullptr) CHECK(behind == end);
        if (behind != nullptr) CHECK(same_bits(plain.value(), reference(text)));
        CHECK(same_bits(decimal_value(text, '.').value(), reference(text)));
    }
}

TEST_CASE("a number within a text reads as the same number alone whatever stands behind it") {
    std::mt19937_64 random(5);
    const std::string letters = "0123456789012345678.,-;\t\n\r |eE+\x80\xB9\xFF/:";
    std::size_t wrong = 0, read = 0;
    for (int i = 0; i < 300'000; ++i) {
        std::string text;
        for (int k = 0; k < 16; ++k) text += letters[random() % letters.size()];
        std::size_t size = text[0] == '-' ? 1 : 0;
        while (size < text.size() && text[size] >= '0' && text[size] <= '9') ++size;
        if (size < text.size() && text[size] == '.') {
            ++size;
            while (size < text.size() && text[size] >= '0' && text[size] <= '9') ++size;
        }
        const std::string alone = text.substr(0, size);
        PlainDecimal within, by_itself;
        const char* const behind = read_plain_decimal(text.data(), text.data() + text.size(), '.', within);
        const char* const end = read_plain_decimal(alone.data(), alone.data() + alone.size(), '.', by_itself);
        wrong += (behind == nullptr) != (end == nullptr);
        if (behind == nullptr || end == nullptr) continue;
        ++read;
        wrong += behind != text.data() + size || !same_bits(within.value(), reference(alone));
        wrong += within.digits != by_itself.digits || within.decimals != by_itself.decimals || within.minus != by_itself.minus;
    }
    CHECK(wrong == 0);
    CHECK(read > 100'000);
}

TEST_CASE("what is no decimal number is none") {
    for (const std::string text : {"", "-", "+", ".", "1.2.3", "1e", "1e+", "0x10", "nan", "inf", "1,5", "1.234,5",
                                   "--1", "+-1", "1 2", "12a"}) {
        CAPTURE(text);
        CHECK_FALSE(decimal_value(text, '.'));
    }
    CHECK(decimal_value("+1.5", '.') == 1.5);
    CHECK(decimal_value("1e-400", '.') == 0.0);
    CHECK_FALSE(decimal_value("1e400", '.'));
}

TEST_CASE("cells are told apart before the mark is known") {
    CHECK(look_at("") == CellLook::empty);
    CHECK(look_at("12") == CellLook::whole);
    CHECK(look_at("-1.5e3") == CellLook::point);
    CHECK(look_at("-1,5") == CellLook::comma);
    CHECK(look_at("1,234.5") == CellLook::word);
    CHECK(look_at("#N/A") == CellLook::missing);
    CHECK(look_at("-1.#IND") == CellLook::missing);
    CHECK(look_at("07:30:05") == CellLook::stamp);
    CHECK(look_at("2026-03-02T07:30:05Z") == CellLook::stamp);
    CHECK(look_at("2026-02-30T07:30:05") == CellLook::word);
    CHECK(look_at("work") == CellLook::word);
}
