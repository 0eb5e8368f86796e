// As much of JSON Schema (draft 2020-12) as the schemas here use to say what a number, a word or an object may be. Texts
// are not looked at: their patterns are a matter of those who write.
#include "exchange/possible_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <string_view>
#include <utility>

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

// One bit for each kind of value.
enum Kind : unsigned { kNull = 1, kBoolean = 2, kText = 4, kFraction = 8, kWhole = 16, kObject = 32, kList = 64, kAny = 127 };

unsigned kind_of(const Json& value) {
    switch (value.type()) {
        case Json::value_t::null: return kNull;
        case Json::value_t::boolean: return kBoolean;
        case Json::value_t::string: return kText;
        case Json::value_t::object: return kObject;
        case Json::value_t::array: return kList;
        default: break;  // a number
    }
    const double number = value.get<double>();
    return number == std::floor(number) ? kWhole : kFraction;
}

unsigned kinds_named(const Json& types) {
    if (types.is_array()) {
        return std::accumulate(types.begin(), types.end(), 0u, [](unsigned all, const Json& type) { return all | kinds_named(type); });
    }
    static const std::map<std::string_view, unsigned> kinds{{"null", kNull},     {"boolean", kBoolean},         {"string", kText},
                                                            {"integer", kWhole}, {"number", kWhole | kFraction}, {"object", kObject},
                                                            {"array", kList}};
    return kinds.at(types.get_ref<const std::string&>());
}

double limit(const Json& schema, const char* key, double none) {
    const Json* found = member(schema, key);
    return found ? found->get<double>() : none;
}

Found wrong(const Json& value, const Place& place, std::string_view expected) {
    const std::string pointer = place.pointer(), key = pointer.substr(pointer.rfind('/') + 1);
    return Problem{pointer, fmt::format("'{}' is not possible: saw {}, expected {}", shown(key), shown_json(value), expected)};
}

}  // namespace

// One schema, taken apart once.
class PossibleValues::Rule {
public:
    Rule(const Json& schema, PossibleValues& all) : schema_(schema) {
        if (const Json* name = member(schema, "$ref")) {
            forms_.push_back(&all.definition(name->get_ref<const std::string&>()));
            return;
        }
        for (const char* key : {"anyOf", "oneOf"}) {
            const Json* list = member(schema, key);
            if (!list || list->front().contains("required")) continue;
            for (const Json& form : *list) forms_.push_back(&all.rule(form));
            return;
        }
        only_ = member(schema, "const");
        words_ = member(schema, "enum");
        if (const Json* types = member(schema, "type")) kinds_ = kinds_named(*types);
        may_be_null_ = kinds_ != kAny && (kinds_ & kNull) != 0;
        range_ = {limit(schema, "minimum", NumberRange{}.low), limit(schema, "maximum", NumberRange{}.high)};
        above_ = limit(schema, "exclusiveMinimum", above_);
        if (const Json* required = member(schema, "required")) {
            for (const Json& name : *required) {
                if (!may_lack(name.get_ref<const std::string&>())) required_.push_back(name.get<std::string>());
            }
        }
        if (const Json* properties = member(schema, "properties")) {
            for (const auto& [key, each] : properties->items()) properties_.emplace_back(key, &all.rule(each));
        }
        if (const Json* first = member(schema, "prefixItems")) {
            for (const Json& each : *first) first_.push_back(&all.rule(each));
        }
        const Json* each = member(schema, "items");
        if (each && each->is_object()) each_ = &all.rule(*each);
    }

    Found broken_by(const Json& value, const Place& place) const {
        if (!forms_.empty()) return in_no_form(value, place);
        if (Found found = of_another_kind(value, place)) return found;
        if (value.is_number()) return out_of_range(value, place);
        if (value.is_object()) return in_object(value, place);
        if (value.is_array()) return in_list(value, place);
        return {};
    }

private:
    // Of several forms the one that comes furthest tells best what is wrong.
    Found in_no_form(const Json& value, const Place& place) const {
        Found best;
        for (const Rule* form : forms_) {
            Found found = form->broken_by(value, place);
            if (!found) return {};
            if (!best || found->pointer.size() >= best->pointer.size()) best = std::move(found);
        }
        return best;
    }

    Found of_another_kind(const Json& value, const Place& place) const {
        if (only_ && value != *only_) return wrong(value, place, shown_json(*only_));
        if (words_ && std::find(words_->begin(), words_->end(), value) == words_->end() && !(value.is_null() && may_be_null_))
            return wrong(value, place, fmt::format("one of {}", words_->dump()));
        if ((kind_of(value) & kinds_) == 0) return wrong(value, place, fmt::format("the type {}", schema_.at("type").dump()));
        return {};
    }

    Found out_of_range(const Json& value, const Place& place) const {
        const double number = value.get<double>();
        if (number > above_ && number >= range_.low && number <= range_.high) return {};
        const std::string more = number > above_ ? "" : fmt::format(", above {}", above_);
        return wrong(value, place, range_text(range_) + more);
    }

    Found in_object(const Json& value, const Place& place) const {
        const auto& members = value.get_ref<const Json::object_t&>();
        // Programs write the members in the order of the schema: the next one is most often the one that is asked for.
        auto next = members.begin();
        const auto find = [&](const std::string& key) {
            if (next == members.end() || next->first != key) next = std::find_if(members.begin(), members.end(), [&](const auto& m) { return m.first == key; });
            return next == members.end() ? nullptr : &(next++)->second;
        };
        for (const std::string& key : required_) {
            if (!find(key)) return Problem{fmt::format("{}/{}", place.pointer(), key), fmt::format("'{}' is missing", key)};
        }
        next = members.begin();
        for (const auto& [key, rule] : properties_) {
            const Json* found = find(key);
            if (!found) continue;
            if (Found problem = rule->broken_by(*found, {&place, key})) return problem;
        }
        return {};
    }

    Found in_list(const Json& value, const Place& place) const {
        for (std::size_t i = 0; i < value.size(); ++i) {
            const Rule* rule = i < first_.size() ? first_[i] : each_;
            if (!rule) continue;
            if (Found problem = rule->broken_by(value[i], {&place, {}, i})) return problem;
        }
        return {};
    }

    const Json& schema_;
    std::vector<const Rule*> forms_;
    const Json *only_ = nullptr, *words_ = nullptr;
    unsigned kinds_ = kAny;
    bool may_be_null_ = false;
    NumberRange range_;
    double above_ = -std::numeric_limits<double>::infinity();
    std::vector<std::string> required_;
    std::vector<std::pair<std::string, const Rule*>> properties_;
    std::vector<const Rule*> first_;
    const Rule* each_ = nullptr;
};

PossibleValues::PossibleValues(Json schema) : schema_(std::move(schema)), whole_(&rule(schema_)) {}
PossibleValues::~PossibleValues() = default;

const PossibleValues::Rule& PossibleValues::rule(const Json& schema) {
    return *rules_.emplace_back(std::make_unique<Rule>(schema, *this));
}

const PossibleValues::Rule& PossibleValues::definition(const std::string& name) {
    constexpr std::string_view kBegin = "#/$defs/";
    const Rule*& known = definitions_[name];
    if (known == nullptr) known = &rule(schema_.at("$defs").at(name.substr(kBegin.size())));
    return *known;
}

void PossibleValues::require(const Json& value, const std::string& source) const {
    if (const Found found = whole_->broken_by(value, {})) throw Error(ErrorKind::malformed, source, found->pointer, found->text);
}

std::string hash_or_nothing(Fields& fields, std::string_view key) {
    constexpr std::size_t kDigits = 64;
    const std::string hash = fields.nullable_text(key).value_or("");
    const bool digits = hash.find_first_not_of("0123456789abcdef") == std::string::npos;
    if (hash.empty() || (digits && hash.size() == kDigits)) return hash;
    fields.refuse(key, fmt::format("is no SHA-256: saw '{}', expected {} hexadecimal digits", shown(hash, 80), kDigits));
}

}  // namespace tracehold
