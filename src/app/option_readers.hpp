#pragma once
// Options of each kind, read by own strict converters. `target` is where the word goes: a member of Options, or a
// function from Options& to a reference.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <limits>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "app/command.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

template <class Value>
using Choices = std::vector<std::pair<std::string, Value>>;

struct Range {
    double low, high;
};

inline constexpr long long kNoEnd = std::numeric_limits<long long>::max();

// names: "-f,--format". Without a way to read it.
Option option_named(const std::string& names, std::string argument, std::string text);

// Letters of either case. Out: the place among the names, or what is wrong.
std::pair<std::size_t, std::string> find_choice(const std::vector<std::string>& names, const std::string& word);

// What is wrong with an empty word, "" for nothing: it is an unset variable of a script more often than a wish.
std::string refused_if_empty(const std::string& word);

template <class Target>
Option flag(const std::string& names, Target target, std::string text) {
    Option option = option_named(names, "", std::move(text));
    option.read = [target](Options& options, const std::string&) {
        std::invoke(target, options) = true;
        return std::string();
    };
    return option;
}

// A file, label or code.
template <class Target>
Option word(const std::string& names, std::string argument, Target target, std::string text) {
    Option option = option_named(names, std::move(argument), std::move(text));
    option.read = [target](Options& options, const std::string& word) {
        std::invoke(target, options) = word;
        return refused_if_empty(word);
    };
    return option;
}

// A file that is read.
template <class Target>
Option file(const std::string& names, Target target, std::string text) {
    Option option = word(names, "<FILE>", target, std::move(text));
    option.is_read = true;
    return option;
}

// Any number of words.
template <class Target>
Option words(const std::string& names, std::string argument, Target target, std::string text) {
    Option option = option_named(names, std::move(argument), std::move(text));
    option.repeatable = true;
    option.read = [target](Options& options, const std::string& word) {
        std::invoke(target, options).push_back(word);
        return refused_if_empty(word);
    };
    return option;
}

// Refuses whatever is no decimal number inside the range.
template <class Target>
Option number(const std::string& names, const std::string& unit, Range range, Target target, std::string text) {
    Option option = option_named(names, fmt::format("<{}>", unit), std::move(text));
    option.read = [target, range, unit](Options& options, const std::string& word) {
        const auto value = parse_number(word);
        if (!value || *value < range.low || *value > range.high) {
            return fmt::format("saw '{}', expected a number from {} to {} ({})", shown(word), range.low, range.high,
                               unit);
        }
        std::invoke(target, options) = *value;
        return std::string();
    };
    return option;
}

// Refuses whatever is no whole decimal number from low to high; without high there is no end.
template <class Target>
Option whole(const std::string& names, long long low, long long high, Target target, std::string text) {
    Option option = option_named(names, "<N>", std::move(text));
    option.read = [target, low, high](Options& options, const std::string& word) {
        const auto value = parse_whole(word);
        if (!value || *value < low || *value > high) {
            const std::string end = high == kNoEnd ? "" : fmt::format(" to {}", high);
            return fmt::format("saw '{}', expected a whole number from {}{}", shown(word), low, end);
        }
        auto& place = std::invoke(target, options);
        place = static_cast<std::decay_t<decltype(place)>>(*value);
        return std::string();
    };
    return option;
}

template <class Target>
Option day(const std::string& names, Target target, std::string text) {
    Option option = option_named(names, "<DATE>", std::move(text));
    option.read = [target](Options& options, const std::string& word) {
        const auto time = parse_civil_time(word);
        if (!time) return fmt::format("saw '{}', expected a date like 2026-03-02", shown(word));
        std::invoke(target, options) = std::chrono::floor<std::chrono::days>(time->local);
        return std::string();
    };
    return option;
}

// One of some words; take(place, value) puts it there.
template <class Value, class Target, class Take>
Option chosen(const std::string& names, Choices<Value> choices, Target target, std::string text, Take take) {
    std::vector<std::string> known;
    for (const auto& [name, value] : choices) known.push_back(name);
    Option option = option_named(names, fmt::format("{}", fmt::join(known, "|")), std::move(text));
    option.read = [target, choices, known, take](Options& options, const std::string& word) {
        const auto [place, wrong] = find_choice(known, word);
        if (wrong.empty()) take(std::invoke(target, options), choices[place].second);
        return wrong;
    };
    return option;
}

template <class Value, class Target>
Option choice(const std::string& names, Choices<Value> choices, Target target, std::string text) {
    return chosen(names, std::move(choices), target, std::move(text),
                  [](auto& place, const Value& value) { place = value; });
}

template <class Value, class Target>
Option any_choices(const std::string& names, Choices<Value> choices, Target target, std::string text) {
    Option option = chosen(names, std::move(choices), target, std::move(text),
                           [](auto& all, const Value& value) { all.push_back(value); });
    option.repeatable = true;
    option.read = [one = std::move(option.read), target](Options& options, const std::string& word) {
        const std::string wrong = one(options, word);
        if (!wrong.empty()) return wrong;
        const auto& all = std::invoke(target, options);
        return std::count(all.begin(), all.end(), all.back()) > 1 ? fmt::format("saw '{}' again, expected each once", word) : "";
    };
    return option;
}

}  // namespace tracehold
