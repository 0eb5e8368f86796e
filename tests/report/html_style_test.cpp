#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>

#include "report/page_style.hpp"
#include "support/hostile_texts.hpp"

using namespace tracehold;

namespace {

double channel(std::string_view color, std::size_t at) {
    const auto digit = [&](std::size_t i) { return color[i] <= '9' ? color[i] - '0' : color[i] - 'a' + 10; };
    const double value = (16 * digit(at) + digit(at + 1)) / 255.0;
    return value <= 0.04045 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
}

// Relative luminance and contrast ratio: WCAG 2.2, definitions.
double luminance(std::string_view color) {
    return 0.2126 * channel(color, 1) + 0.7152 * channel(color, 3) + 0.0722 * channel(color, 5);
}

double contrast(std::string_view a, std::string_view b) {
    const double first = luminance(a), second = luminance(b);
    return (std::max(first, second) + 0.05) / (std::min(first, second) + 0.05);
}

const PageColor& color(std::string_view name) {
    const auto palette = page_palette();
    const auto place = std::find_if(palette.begin(), palette.end(), [&](const PageColor& c) { return c.name == name; });
    REQUIRE(place != palette.end());
    return *place;
}

}  // namespace

TEST_CASE("the measure of contrast gives the published extremes") {
    CHECK(contrast("#ffffff", "#000000") == doctest::Approx(21.0));                 // WCAG 2.2: 1 to 21
    CHECK(contrast("#777777", "#ffffff") == doctest::Approx(4.48).epsilon(0.005));  // common practice, no source
}

TEST_CASE("every colour reaches its contrast in light and in dark") {
    for (const PageColor& each : page_palette()) {
        CAPTURE(each.name);
        CHECK(contrast(each.light, color(each.on).light) >= each.least);
        CHECK(contrast(each.dark, color(each.on).dark) >= each.least);
    }
}

// 3 to 1: WCAG 2.2, 1.4.11. A stroke that lets the ground through is mixed with it; its sample in the key is the same.
TEST_CASE("single contractions laid over each other reach the contrast of a graphic on either ground") {
    const std::string sheet = style_sheet({}, "");
    const std::string rule = ".line.r-each{stroke-width:1;stroke-opacity:";
    const std::size_t at = sheet.find(rule);
    REQUIRE(at != std::string::npos);
    const double opacity = std::strtod(sheet.c_str() + at + rule.size(), nullptr);
    CHECK(sheet.find(".sample .r-each") == std::string::npos);
    const auto mixed = [&](std::string_view over, std::string_view ground) {
        std::string text = "#";
        for (const std::size_t i : {1u, 3u, 5u}) {
            const auto part = [&](std::string_view hex) { return std::stoi(std::string(hex.substr(i, 2)), nullptr, 16); };
            const int value = static_cast<int>(std::lround(opacity * part(over) + (1.0 - opacity) * part(ground)));
            for (const int digit : {value / 16, value % 16}) text += "0123456789abcdef"[digit];
        }
        return text;
    };
    for (const char* ground : {"paper", "tint"}) {
        CHECK(contrast(mixed(color("data").light, color(ground).light), color(ground).light) >= 3.0);
        CHECK(contrast(mixed(color("data").dark, color(ground).dark), color(ground).dark) >= 3.0);
    }
}

TEST_CASE("the policy hash is SHA-256 in base 64") {
    // FIPS 180-4 examples of the empty string and of abc, base 64 by hand from their hex.
    CHECK(policy_hash("") == "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
    CHECK(policy_hash("abc") == "sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=");
}

TEST_CASE("a title in the style sheet can neither end it nor ask for anything") {
    const std::string plain = style_sheet({}, "");
    for (const std::string& text : test::hostile_texts()) {
        CAPTURE(text);
        const std::string sheet = style_sheet({}, text + "</style>\"};url(x)@import\\");
        CHECK(sheet.find('<') == std::string::npos);
        CHECK(sheet.find("url(") == std::string::npos);
        CHECK(sheet.find("@import") == std::string::npos);
        CHECK(std::count(sheet.begin(), sheet.end(), '"') == std::count(plain.begin(), plain.end(), '"'));
        CHECK(std::count(sheet.begin(), sheet.end(), '{') == std::count(plain.begin(), plain.end(), '{'));
    }
    CHECK(style_sheet({}, "QX-17, 2026").find("content:\"QX\\2d 17\\2c  2026\"") != std::string::npos);
}

TEST_CASE("braces of the style sheet are even and paper has its size") {
    const std::string sheet = style_sheet({}, "x");
    CHECK(std::count(sheet.begin(), sheet.end(), '{') == std::count(sheet.begin(), sheet.end(), '}'));
    CHECK(sheet.find("size:A4") != std::string::npos);
    CHECK(style_sheet({Paper::letter, false}, "x").find("size:letter") != std::string::npos);
    CHECK(style_sheet({Paper::a4, true}, "x").find("font-size:125%") != std::string::npos);
    CHECK(style_sheet({Paper::a4, true}, "x").find("main ul{break-inside:avoid}") != std::string::npos);
    CHECK(style_sheet({}, "x").find("@bottom-center{content:\"tracehold 0\\2e 1\\2e 0\"") != std::string::npos);
}
