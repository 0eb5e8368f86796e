#include "app/option_readers.hpp"

#include <algorithm>

#include "tracehold/core/nearest_name.hpp"

namespace tracehold {
namespace {

std::vector<std::string> split(const std::string& text, char at) {
    std::vector<std::string> parts(1);
    for (const char c : text) {
        if (c == at) {
            parts.emplace_back();
        } else {
            parts.back() += c;
        }
    }
    return parts;
}

// Stands for a word that is the user's own.
constexpr const char* kOfTheUser = "COLUMN";

std::string lower(std::string text) {
    for (char& c : text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c;
    return text;
}

}  // namespace

bool Option::takes_files() const {
    const auto names_one = [](const std::string& of, const char* word) { return of.find(word) != std::string::npos; };
    const std::string& what = is_positional() ? names[0] : argument;
    return names_one(what, "FILE") || names_one(what, "FOLDER") || names_one(what, "PATH") ||
           (is_positional() && what == "INPUT");
}

std::vector<std::string> Option::choices() const {
    if (argument.find('|') == std::string::npos || argument.starts_with('<')) return {};
    std::vector<std::string> words = split(argument, '|');
    std::erase(words, kOfTheUser);
    return words;
}

Option option_named(const std::string& names, std::string argument, std::string text) {
    return {.names = split(names, ','), .argument = std::move(argument), .text = std::move(text), .read = {}};
}

std::pair<std::size_t, std::string> find_choice(const std::vector<std::string>& names, const std::string& word) {
    const auto same = [&](const std::string& name) { return lower(name) == lower(word); };
    const auto found = std::find_if(names.begin(), names.end(), same);
    if (found != names.end()) return {static_cast<std::size_t>(found - names.begin()), ""};
    const std::vector<std::string_view> known(names.begin(), names.end());
    return {0, fmt::format("saw '{}', expected one of {}{}", shown(word), fmt::join(names, ", "),
                           did_you_mean(word, known))};
}

std::string refused_if_empty(const std::string& word) { return word.empty() ? "saw '', expected a name" : ""; }

}  // namespace tracehold
