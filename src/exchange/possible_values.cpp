// As much of JSON Schema (draft 2020-12) as the schemas here use to say what a number, a word or an object may be. Texts
// are not looked at: their patterns are a matter of those who write.
#include "exchange/possible_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <string_view>

#include "core/json_fields.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

constexpr std::array<std::string_view, 6> kAddedSince = {"site", "given", "identity", "purpose", "share_of_power", "muscle_seen"};

bool may_lack(const std::string& key) {
    return measure_index(key) || std::find(kAddedSince.begin(), kAddedSince.end(), key) != kAddedSince.end();
}

struct Problem {
    std::string pointer, text;
};
using Found = std::optional<Problem>;

// Where a value stands, as a JSON pointer only where there is something to tell of it. key: "" in a list.
struct Place {
    const Place* around = nullptr;
    std::string_view key = {};
    std::size_t index = 0;

    std::string pointer() const {
        if (around == nullptr) return "";
        return key.empty() ? fmt::format("{}/{}", around->pointer(), index) : fmt::format("{}/{}", around->pointer(), key);
    }
};

const Json* member(const Json& object, const char* key) {
    const auto found = object.find(key);
    return found == object.end() ? nullptr : &*found;
}

bool is_of(const Json& value, const std::string& type) {
    if (type == "null") return value.is_null();
    if (type == "object") return value.is_object();
    if (type == "array") return value.is_array();
    if (type == "string") return value.is_string();
    if (type == "boolean") return value.is_boolean();
    const bool whole = value.is_number() && value.get<double>() == std::floor(value.get<double>());
    return type == "integer" ? whole : value.is_number();
}

bool is_of_any(const Json& value, const Json& types) {
    if (types.is_string()) return is_of(value, types.get_ref<const std::string&>());
    return std::any_of(types.begin(), types.end(), [&](const Json& type) { return is_of(value, type.get_ref<const std::string&>()); });
}

double limit(const Json& schema, const char* key, double none) {
    const Json* found = member(schema, key);
    return found ? found->get<double>() : none;
}

class Search {
public:
    explicit Search(const Json& schema) : whole_(schema) {}

    Found in(const Json& schema, const Json& value, const Place& place) const {
        if (const Json* name = member(schema, "$ref")) return in(definition(*name), value, place);
        for (const char* key : {"anyOf", "oneOf"}) {
            const Json* list = member(schema, key);
            if (list && !list->front().contains("required")) return in_any(*list, value, place);
        }
        if (Found found = of_the_kind(schema, value, place)) return found;
        if (value.is_number()) return in_range(schema, value, place);
        if (value.is_object()) return in_object(schema, value, place);
        if (value.is_array()) return in_list(schema, value, place);
        return {};
    }

private:
    const Json& definition(const Json& name) const {
        constexpr std::string_view kBegin = "#/$defs/";
        return whole_.at("$defs").at(name.get_ref<const std::string&>().substr(kBegin.size()));
    }

    // Of several forms the one that comes furthest tells best what is wrong.
    Found in_any(const Json& forms, const Json& value, const Place& place) const {
        Found best;
        for (const Json& form : forms) {
            Found found = in(form, value, place);
            if (!found) return {};
            if (!best || found->pointer.size() >= best->pointer.size()) best = std::move(found);
        }
        return best;
    }

    static Found wrong(const Json& value, const Place& place, std::string_view expected) {
        const std::string pointer = place.pointer(), key = pointer.substr(pointer.rfind('/') + 1);
        return Problem{pointer, fmt::format("'{}' is not possible: saw {}, expected {}", shown(key), shown_json(value), expected)};
    }

    static Found of_the_kind(const Json& schema, const Json& value, const Place& place) {
        if (const Json* only = member(schema, "const"); only && value != *only) return wrong(value, place, shown_json(*only));
        const Json* words = member(schema, "enum");
        if (words && std::find(words->begin(), words->end(), value) == words->end() && !(value.is_null() && is_nullable(schema)))
            return wrong(value, place, fmt::format("one of {}", words->dump()));
        const Json* types = member(schema, "type");
        if (types && !is_of_any(value, *types)) return wrong(value, place, fmt::format("the type {}", types->dump()));
        return {};
    }

    static bool is_nullable(const Json& schema) {
        const Json* types = member(schema, "type");
        return types && is_of_any(nullptr, *types);
    }

    static Found in_range(const Json& schema, const Json& value, const Place& place) {
        const NumberRange range{limit(schema, "minimum", NumberRange{}.low), limit(schema, "maximum", NumberRange{}.high)};
        const double above = limit(schema, "exclusiveMinimum", -std::numeric_limits<double>::infinity());
        const double number = value.get<double>();
        if (number > above && number >= range.low && number <= range.high) return {};
        const std::string more = number > above ? "" : fmt::format(", above {}", above);
        return wrong(value, place, range_text(range) + more);
    }

    Found in_object(const Json& schema, const Json& value, const Place& place) const {
        if (const Json* required = member(schema, "required")) {
            for (const Json& name : *required) {
                const auto& key = name.get_ref<const std::string&>();
                if (!value.contains(key) && !may_lack(key))
                    return Problem{fmt::format("{}/{}", place.pointer(), key), fmt::format("'{}' is missing", key)};
            }
        }
        const Json* properties = member(schema, "properties");
        if (!properties) return {};
        for (const auto& [key, rule] : properties->items()) {
            const auto found = value.find(key);
            if (found == value.end()) continue;
            if (Found problem = in(rule, *found, {&place, key})) return problem;
        }
        return {};
    }

    Found in_list(const Json& schema, const Json& value, const Place& place) const {
        const Json* each = member(schema, "items");
        const Json* first = member(schema, "prefixItems");
        for (std::size_t i = 0; i < value.size(); ++i) {
            const Json* rule = first && i < first->size() ? &(*first)[i] : each;
            if (!rule || !rule->is_object()) continue;
            if (Found problem = in(*rule, value[i], {&place, {}, i})) return problem;
        }
        return {};
    }

    const Json& whole_;
};

}  // namespace

void refuse_impossible(const Json& schema, const Json& value, const std::string& source) {
    if (const Found found = Search(schema).in(schema, value, {})) throw Error(ErrorKind::malformed, source, found->pointer, found->text);
}

std::string hash_or_nothing(Fields& fields, std::string_view key) {
    constexpr std::size_t kDigits = 64;
    const std::string hash = fields.nullable_text(key).value_or("");
    const bool digits = hash.find_first_not_of("0123456789abcdef") == std::string::npos;
    if (hash.empty() || (digits && hash.size() == kDigits)) return hash;
    fields.refuse(key, fmt::format("is no SHA-256: saw '{}', expected {} hexadecimal digits", shown(hash, 80), kDigits));
}

}  // namespace tracehold
