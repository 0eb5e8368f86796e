// Two trees walked side by side, the first in its order.
#include "tracehold/exchange/compare_results.hpp"

#include <algorithm>
#include <cmath>

#include "exchange/possible_values.hpp"

namespace tracehold {
namespace {

std::string pointer_word(const std::string& key) {
    std::string word = "/";
    for (const char c : key) word += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    return word;
}

std::string value_text(const Json* value) {
    if (value == nullptr) return "nothing";
    if (value->is_structured()) return value->is_object() ? "an object" : "a list";
    return value->dump(-1, ' ', true, Json::error_handler_t::replace);
}

class Walk {
public:
    explicit Walk(double tolerance) : tolerance_(tolerance) {}

    void compare(const Json* first, const Json* second, const std::string& place) {
        if (first && second && first->is_object() && second->is_object()) return objects(*first, *second, place);
        if (first && second && first->is_array() && second->is_array()) return lists(*first, *second, place);
        ++found.fields;
        if (!first || !second || !same(*first, *second)) found.differences.push_back({place, value_text(first), value_text(second)});
    }

    Comparison found;

private:
    void objects(const Json& first, const Json& second, const std::string& place) {
        for (const auto& [key, value] : first.items()) {
            const auto other = second.find(key);
            compare(&value, other == second.end() ? nullptr : &*other, place + pointer_word(key));
        }
        for (const auto& [key, value] : second.items()) {
            if (!first.contains(key)) compare(nullptr, &value, place + pointer_word(key));
        }
    }

    void lists(const Json& first, const Json& second, const std::string& place) {
        for (std::size_t i = 0; i < std::max(first.size(), second.size()); ++i) {
            compare(i < first.size() ? &first[i] : nullptr, i < second.size() ? &second[i] : nullptr, place + "/" + std::to_string(i));
        }
    }

    bool same(const Json& first, const Json& second) const {
        if (first == second) return true;
        if (!first.is_number() || !second.is_number() || (first.is_number_integer() && second.is_number_integer())) return false;
        const double a = first.get<double>(), b = second.get<double>();
        return std::abs(a - b) <= tolerance_ * std::max(std::abs(a), std::abs(b));
    }

    double tolerance_;
};

}  // namespace

Comparison compare_results(std::string_view first, std::string_view second, double tolerance) {
    const Json one = parse_json(first, "the result", kResultLimits), other = parse_json(second, "scoring again", kResultLimits);
    Walk walk(tolerance);
    walk.compare(&one, &other, "");
    return walk.found;
}

}  // namespace tracehold
