#include "core/json_fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

// RFC 6901: '~' and '/' are escaped; the rest is made safe to show.
std::string pointer_part(std::string_view key) {
    std::string out = "/";
    for (const char c : key) {
        if (c == '~' || c == '/') {
            out += c == '~' ? "~0" : "~1";
        } else {
            out += c;
        }
    }
    return shown(out);
}

// A place that a person can read at a glance: a long one keeps its beginning and its end.
std::string shortened(const std::string& pointer) {
    constexpr std::size_t kLongest = 80, kEnd = 24;
    if (utf8_count(pointer) <= kLongest) return pointer;
    return shown(pointer, kEnd) + pointer.substr(pointer.rfind('/', pointer.size() - kEnd));
}

// Puts the value together as the parser goes, and refuses what the library would let pass: depth, size of objects, keys that
// come twice.
class Builder final : public nlohmann::json_sax<Json> {
public:
    Builder(const std::string& source, const JsonLimits& limits) : source_(source), limits_(limits) {}

    bool null() override { return put(nullptr); }
    bool boolean(bool value) override { return put(value); }
    bool number_integer(Json::number_integer_t value) override { return put(value); }
    bool number_unsigned(Json::number_unsigned_t value) override { return put(value); }
    bool number_float(Json::number_float_t value, const std::string&) override { return put(value); }
    bool string(std::string& value) override { return put(std::move(value)); }
    bool binary(Json::binary_t&) override { return false; }  // not in texts
    bool start_object(std::size_t) override { return open(Json::object()); }
    bool start_array(std::size_t) override { return open(Json::array()); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }

    bool key(std::string& key) override {
        std::vector<Json::object_t::value_type>& object = open_.back()->get_ref<Json::object_t&>();
        if (object.size() == object.capacity()) object.reserve(4 * object.size() + 1);  // to grow copies all keys
        object.emplace_back(std::move(key), nullptr);
        const std::string& added = object.back().first;
        if (std::any_of(object.begin(), object.end() - 1, [&](const auto& member) { return member.first == added; })) {
            refuse(fmt::format("the same key twice: saw '{}' again, expected each key once", shown(added)));
        }
        if (object.size() > limits_.keys) {
            refuse(fmt::format("too many keys in one object: saw more than {0}, expected at most {0}", limits_.keys));
        }
        return true;
    }

    bool parse_error(std::size_t, const std::string&, const Json::exception& error) override {
        if (const auto* syntax = dynamic_cast<const Json::parse_error*>(&error)) throw *syntax;
        refuse("a number that does not fit: saw one beyond 1.8e308, expected a finite number");
    }

    Json value() { return std::move(value_); }

private:
    Json& add(Json value) {
        if (open_.empty()) return value_ = std::move(value);
        Json& around = *open_.back();
        if (around.is_array()) return around.get_ref<Json::array_t&>().emplace_back(std::move(value));
        return around.get_ref<Json::object_t&>().back().second = std::move(value);
    }

    bool put(Json value) {
        add(std::move(value));
        return true;
    }

    bool open(Json empty) {
        if (open_.size() == limits_.depth) {
            refuse(fmt::format("nested too deeply: saw more than {0} levels, expected at most {0}", limits_.depth));
        }
        open_.push_back(&add(std::move(empty)));
        return true;
    }

    bool close() {
        open_.pop_back();
        return true;
    }

    // Of what the parser is at: in the innermost list the item that comes next.
    std::string pointer() const {
        std::string out;
        for (const Json* value : open_) {
            if (value->is_array()) {
                out += fmt::format("/{}", value == open_.back() ? value->size() : value->size() - 1);
            } else if (!value->empty() && !value->get_ref<const Json::object_t&>().back().first.empty()) {
                out += pointer_part(value->get_ref<const Json::object_t&>().back().first);
            }
        }
        return out;
    }

    [[noreturn]] void refuse(const std::string& message) const {
        throw Error(ErrorKind::malformed, source_, shortened(pointer()), message);
    }

    std::string source_;
    JsonLimits limits_;
    Json value_;
    std::vector<Json*> open_;  // from the outermost; only the innermost grows, so that none moves
};

// Line and column (in characters) of a byte, both from 1.
std::string line_and_column(std::string_view text, std::size_t offset) {
    const std::string_view before = text.substr(0, offset);
    const auto lines = std::count(before.begin(), before.end(), '\n');
    const std::size_t line_begin = before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
    const std::string_view line = before.substr(line_begin);
    const auto is_start = [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; };
    return fmt::format("{}:{}", lines + 1, std::count_if(line.begin(), line.end(), is_start) + 1);
}

// The words at a byte, up to the end of their line.
std::string words_at(std::string_view text, std::size_t offset) {
    if (offset >= text.size()) return "the end of the text";
    const std::string_view rest = text.substr(offset);
    const std::string_view line =
        rest.substr(0, std::max<std::size_t>(1, std::min(rest.find_first_of("\r\n"), rest.size())));
    return fmt::format("'{}'", shown(line, 20));
}

// The parser's own words for what it wanted, without its prefix and its echo of the input.
std::string wanted(std::string_view detail) {
    const std::size_t expected = detail.rfind("; expected ");
    if (expected != std::string_view::npos) return shown(detail.substr(expected + 11), 120);
    const bool in_text = detail.find("invalid string") != std::string_view::npos;
    return in_text ? "a text in double quotes, in UTF-8, without raw control characters" : "JSON";
}

Error not_json(std::string_view text, const std::string& source, const Json::parse_error& error) {
    const std::size_t offset = error.byte == 0 ? 0 : std::min(error.byte - 1, text.size());
    return Error(ErrorKind::malformed, source, line_and_column(text, offset),
                 fmt::format("not JSON: saw {}, expected {}", words_at(text, offset), wanted(error.what())));
}

const Json* member_of(const Json& value, std::string_view key) {
    const auto& object = value.get_ref<const Json::object_t&>();
    const auto found = std::find_if(object.begin(), object.end(), [&](const auto& member) { return member.first == key; });
    return found == object.end() ? nullptr : &found->second;
}

std::optional<double> as_number(const Json& value, NumberRange range) {
    if (!value.is_number()) return std::nullopt;
    const double number = value.get<double>();
    return std::isfinite(number) && number >= range.low && number <= range.high ? std::optional(number) : std::nullopt;
}

// 3 and 3.0 are both three.
std::optional<long long> as_whole(const Json& value, long long low, long long high) {
    const auto number = as_number(value, {static_cast<double>(low), static_cast<double>(high)});
    if (!number || *number != std::floor(*number)) return std::nullopt;
    if (value.is_number_integer()) return value.get<long long>();
    return static_cast<long long>(*number);
}

std::string saw_expected(const Json& value, const std::string& expected) {
    return fmt::format("is not usable: saw {}, expected {}", shown_json(value), expected);
}

}  // namespace

std::string range_text(NumberRange range) {
    const auto [low, high] = range;
    const bool has_low = low > std::numeric_limits<double>::lowest();
    const bool has_high = high < std::numeric_limits<double>::max();
    if (has_low && has_high) return fmt::format("a number from {} to {}", number_text(low), number_text(high));
    if (has_low) return fmt::format("a number of at least {}", number_text(low));
    if (has_high) return fmt::format("a number of at most {}", number_text(high));
    return "a number";
}

Json parse_json(std::string_view text, const std::string& source, const JsonLimits& limits) {
    if (text.size() > limits.bytes) {
        throw Error(ErrorKind::unsupported, source, "",
                    fmt::format("too large: saw {} bytes, expected at most {}", text.size(), limits.bytes));
    }
    Builder builder(source, limits);
    try {
        Json::sax_parse(text, &builder, Json::input_format_t::json, true, true);
    } catch (const Json::parse_error& error) {
        throw not_json(text, source, error);
    }
    return builder.value();
}

std::string shown_json(const Json& value) {
    if (value.is_string()) return fmt::format("'{}'", shown(value.get_ref<const std::string&>()));
    if (value.is_object()) return "an object";
    if (value.is_array()) return "a list";
    if (value.is_number_float()) return number_text(value.get<double>());
    return value.dump();
}

Fields::Fields(const Json& value, std::string source, std::string pointer)
    : value_(&value), source_(std::move(source)), pointer_(std::move(pointer)) {
    if (value.is_object()) return;
    throw Error(ErrorKind::bad_setting, source_, pointer_,
                fmt::format("not an object: saw {}, expected {{...}}", shown_json(value)));
}

std::string Fields::place(std::string_view key) const { return pointer_ + pointer_part(key); }

void Fields::refuse(std::string_view key, const std::string& what, const std::string& hint) const {
    throw Error(ErrorKind::bad_setting, source_, place(key), fmt::format("'{}' {}", shown(key), what), hint);
}

const Json* Fields::find(std::string_view key) {
    asked_.emplace_back(key);
    return member_of(*value_, key);
}

bool Fields::has(std::string_view key) const {
    const Json* found = member_of(*value_, key);
    return found != nullptr && !found->is_null();
}

std::vector<std::string> Fields::keys() const {
    std::vector<std::string> out;
    for (const auto& [key, value] : value_->items()) out.push_back(key);
    return out;
}

const Json& Fields::required(std::string_view key) {
    if (const Json* value = find(key)) return *value;
    const std::vector<std::string> present = keys();
    const std::vector<std::string_view> candidates(present.begin(), present.end());
    const auto near = nearest_name(key, candidates);
    refuse(key, near ? fmt::format("is missing: saw '{}', expected '{}'", shown(*near), key) : "is missing");
}

double Fields::number(std::string_view key, NumberRange range) {
    const Json& value = required(key);
    if (const auto number = as_number(value, range)) return *number;
    refuse(key, saw_expected(value, range_text(range)));
}

std::optional<double> Fields::optional_number(std::string_view key, NumberRange range) {
    return find(key) ? std::optional(number(key, range)) : std::nullopt;
}

std::optional<double> Fields::nullable_number(std::string_view key) {
    return required(key).is_null() ? std::nullopt : std::optional(number(key));
}

long long Fields::whole(std::string_view key, long long low, long long high) {
    const Json& value = required(key);
    if (const auto number = as_whole(value, low, high)) return *number;
    refuse(key, saw_expected(value, fmt::format("a whole number from {} to {}", low, high)));
}

std::optional<long long> Fields::optional_whole(std::string_view key, long long low, long long high) {
    return find(key) ? std::optional(whole(key, low, high)) : std::nullopt;
}

bool Fields::flag(std::string_view key) {
    const Json& value = required(key);
    if (value.is_boolean()) return value.get<bool>();
    refuse(key, saw_expected(value, "true or false"));
}

std::optional<bool> Fields::optional_flag(std::string_view key) {
    return find(key) ? std::optional(flag(key)) : std::nullopt;
}

std::string Fields::text(std::string_view key) {
    const Json& value = required(key);
    if (value.is_string()) return value.get<std::string>();
    refuse(key, saw_expected(value, "a text in double quotes"));
}

std::optional<std::string> Fields::optional_text(std::string_view key) {
    return find(key) ? std::optional(text(key)) : std::nullopt;
}

std::optional<std::string> Fields::nullable_text(std::string_view key) {
    return required(key).is_null() ? std::nullopt : std::optional(text(key));
}

std::size_t Fields::choice(std::string_view key, std::span<const std::string_view> words) {
    const std::string word = text(key);
    const auto found = std::find(words.begin(), words.end(), word);
    if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
    refuse(key, fmt::format("is not known: saw '{}', expected one of {}{}", shown(word), fmt::join(words, ", "),
                            did_you_mean(word, words)));
}

Fields Fields::object(std::string_view key) { return Fields(required(key), source_, place(key)); }

std::optional<Fields> Fields::optional_object(std::string_view key) {
    const Json* value = find(key);
    return value && !value->is_null() ? std::optional(object(key)) : std::nullopt;
}

std::vector<Fields> Fields::objects(std::string_view key) {
    const Json& list = required(key);
    if (!list.is_array()) refuse(key, saw_expected(list, "a list of objects"));
    std::vector<Fields> out;
    for (const Json& item : list) out.emplace_back(item, source_, fmt::format("{}/{}", place(key), out.size()));
    return out;
}

std::vector<std::string> Fields::texts(std::string_view key) {
    const Json* list = find(key);
    if (!list) return {};
    const auto is_text = [](const Json& item) { return item.is_string(); };
    if (!list->is_array() || !std::all_of(list->begin(), list->end(), is_text)) {
        refuse(key, saw_expected(*list, "a list of texts, [\"...\"]"));
    }
    return list->get<std::vector<std::string>>();
}

std::vector<double> Fields::numbers(std::string_view key) {
    const Json* list = find(key);
    if (!list) return {};
    const auto is_number = [](const Json& item) { return as_number(item, {}).has_value(); };
    if (!list->is_array() || !std::all_of(list->begin(), list->end(), is_number)) {
        refuse(key, saw_expected(*list, "a list of numbers, [...]"));
    }
    return list->get<std::vector<double>>();
}

void Fields::done() const {
    const std::vector<std::string_view> known(asked_.begin(), asked_.end());
    for (const std::string& key : keys()) {
        if (std::find(known.begin(), known.end(), key) != known.end()) continue;
        std::vector<std::string_view> names;
        for (const std::string_view name : known) {
            if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
        }
        throw Error(ErrorKind::bad_setting, source_, place(key),
                    fmt::format("a key that is not known: saw '{}', expected one of {}{}", shown(key),
                                fmt::join(names, ", "), did_you_mean(key, names)));
    }
}

}  // namespace tracehold
