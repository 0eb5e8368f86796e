// Numbers and times as texts, and what becomes of a foreign text in each kind of output.
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "exchange/csv_cell.hpp"
#include "exchange/json_text.hpp"
#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "read/decimal.hpp"
#include "report/html_text.hpp"
#include "report/markdown_text.hpp"
#include "support/plain_readers.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold::fuzz {
namespace {

// The C library reads more (hex, inf, blanks of its own); where the strict reader reads, both must agree.
void check_number(std::string_view bytes) {
    const std::string text(bytes);
    const auto value = parse_number(text);
    if (value) {
        char* end = nullptr;
        const double expected = std::strtod(text.c_str(), &end);
        require(expected == *value, "a number reads as strtod reads it");
        require(parse_number(number_text(*value)) == value, "a number is written and read as the same");
        if (std::abs(*value) < 1e12) require(parse_number(fixed_text(*value, 3)).has_value(), "a fixed text is a number");
    }
    if (const auto decimal = decimal_value(text, '.')) {
        require(std::strtod(text.c_str(), nullptr) == *decimal || (*decimal == 0.0 && std::abs(std::strtod(text.c_str(), nullptr)) < 1e-300),
                "a decimal reads as strtod reads it");
    }
    if (const auto whole = parse_whole(text)) require(std::strtoll(text.c_str(), nullptr, 10) == *whole, "a whole number reads as strtoll reads it");
}

void check_time(std::string_view text) {
    const auto time = parse_civil_time(text);
    if (!time) return;
    require(parse_civil_time(to_text(*time)) == time, "a time is written and read as the same");
    require(seconds_between(*time, *time) == 0.0, "no time passes between a time and itself");
    require(date_text(*time).size() == 10, "a date has ten characters");
}

void check_shown(std::string_view bytes) {
    const std::string text = shown(bytes, bytes.size() + 1);
    require(!test::has_control(text), "what is shown is harmless");
    require(shown(text, text.size() + 1) == text, "what is shown is shown as itself");
}

void check_html(std::string_view bytes) {
    const auto text = test::html_as_text(html_text(bytes).markup());
    require(text.has_value(), "escaped text is no markup");
    require(!test::has_control(*text), "a page holds no controls");
    require(*text == shown(bytes, kLongestHtmlText), "a reader of a page sees the text as shown");
    require(html_id(bytes).find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.") == std::string::npos,
            "an id is made of plain characters");
}

void check_markdown(std::string_view bytes) {
    const std::string line = markdown_text(bytes);
    const auto text = test::markdown_as_text(line);
    require(text.has_value() && !test::has_control(line), "escaped text is no Markdown");
    std::string expected = shown(bytes, 10000);
    expected.erase(0, std::min(expected.find_first_not_of(' '), expected.size()));
    require(*text == expected, "a reader of Markdown sees the text as shown");
}

void check_csv(std::string_view bytes) {
    const std::string cell = csv_text_cell(bytes);
    const auto cells = test::csv_as_cells("a," + cell + ",b");
    require(cells && cells->size() == 3, "a text is one cell");
    require(!test::is_formula((*cells)[1]) && !test::has_control(cell), "a cell runs nothing");
}

void check_json(std::string_view bytes) {
    const std::string text = written(Json{{"text", bytes}}, 0);
    require(text.ends_with("\n") && !test::has_control(text.substr(0, text.size() - 1)), "JSON holds no controls");
    const auto read = nlohmann::json::parse(text, nullptr, false);
    require(!read.is_discarded() && is_utf8(read["text"].get<std::string>()), "JSON reads back");
    if (is_utf8(bytes)) require(read["text"].get<std::string>() == bytes, "JSON keeps a text");
}

}  // namespace

void run_text(std::string_view bytes) {
    if (bytes.size() > 4096) bytes = bytes.substr(0, 4096);
    if (bytes.find('\0') == std::string_view::npos) check_number(bytes);
    check_time(bytes);
    check_shown(bytes);
    check_html(bytes);
    check_markdown(bytes);
    check_csv(bytes);
    check_json(bytes);
}

}  // namespace tracehold::fuzz
