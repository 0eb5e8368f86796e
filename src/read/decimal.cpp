#include "read/decimal.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>

#include "read/text_cell.hpp"
#include "read/time_stamp.hpp"

namespace tracehold {
namespace {

// Length of what from_chars would read of a finite number, either mark allowed; 0 if the text is none.
// marks: how many marks it has, and which.
bool has_number_shape(std::string_view text, char& mark) {
    std::size_t at = 0, digits = 0;
    const auto digits_here = [&] {
        const std::size_t from = at;
        while (at < text.size() && text[at] >= '0' && text[at] <= '9') ++at;
        return at - from;
    };
    if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
    digits += digits_here();
    mark = '\0';
    if (at < text.size() && (text[at] == '.' || text[at] == ',')) {
        mark = text[at++];
        digits += digits_here();
    }
    if (digits == 0) return false;
    if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
        ++at;
        if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
        if (digits_here() == 0) return false;
    }
    return at == text.size();
}

bool is_missing_word(std::string_view text) {
    constexpr std::string_view kWords[] = {"nan",  "inf",  "infinity", "na", "n/a", "#n/a",
                                           "null", "none", "-",        "--", "?"};
    if (text.size() > 16) return false;
    std::string word = lower_case(text);
    if (word.starts_with("1.#") || word.starts_with("-1.#")) return true;  // how older C libraries print NaN
    if (word.size() > 2 && (word[0] == '-' || word[0] == '+')) word.erase(0, 1);
    return std::find(std::begin(kWords), std::end(kWords), word) != std::end(kWords);
}

}  // namespace

const char* read_long_decimal(const char* p, const char* end, char mark, PlainDecimal& number) {
    const auto digit = [&](const char* at) { return static_cast<unsigned>(static_cast<unsigned char>(*at) - '0'); };
    number = {};
    const char* const whole = p;
    for (; p != end && digit(p) < 10; ++p) number.digits = 10 * number.digits + digit(p);
    std::ptrdiff_t count = p - whole;
    if (p != end && *p == mark) {
        const char* const fraction = ++p;
        for (; p != end && digit(p) < 10; ++p) number.digits = 10 * number.digits + digit(p);
        number.decimals = static_cast<unsigned>(p - fraction);
        count += p - fraction;
    }
    // 18 digits cannot overflow the 64 bits.
    if (count == 0 || count > 18 || number.digits > (std::uint64_t{1} << 53)) return nullptr;
    return p;
}

std::optional<double> decimal_value(std::string_view text, char mark) {
    char found = '\0';
    if (!has_number_shape(text, found) || (found != '\0' && found != mark)) return std::nullopt;
    std::string pointed(text);
    std::replace(pointed.begin(), pointed.end(), mark, '.');
    if (pointed[0] == '+') pointed.erase(0, 1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(pointed.data(), pointed.data() + pointed.size(), value);
    if (error == std::errc::result_out_of_range) {
        const std::size_t exponent = pointed.find_first_of("eE");
        const bool tiny = exponent != std::string::npos ? pointed[exponent + 1] == '-' : pointed.find('.') < 2;
        return tiny ? std::optional(0.0) : std::nullopt;
    }
    if (error != std::errc() || end != pointed.data() + pointed.size()) return std::nullopt;
    return value;
}

CellLook look_at(std::string_view text) {
    if (text.empty()) return CellLook::empty;
    char mark = '\0';
    if (has_number_shape(text, mark)) {
        return mark == '.' ? CellLook::point : mark == ',' ? CellLook::comma : CellLook::whole;
    }
    if (is_missing_word(text)) return CellLook::missing;
    if (parse_stamp(text) || parse_day(text)) return CellLook::stamp;
    return CellLook::word;
}

int decimals_of(std::string_view text) {
    const std::size_t mark = text.find_last_of(".,");
    if (mark == std::string_view::npos || text.find_first_of("eE") != std::string_view::npos) return 0;
    const std::size_t digits = std::min(text.find_first_not_of("0123456789", mark + 1), text.size()) - mark - 1;
    return static_cast<int>(std::min<std::size_t>(digits, 18));
}

}  // namespace tracehold
