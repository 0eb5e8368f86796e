#include "app/message_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "app/console.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/identity/hide.hpp"

namespace tracehold {
namespace {

// What this program calls things; nothing in it comes from a path.
bool is_neutral(std::string_view name) {
    constexpr auto kWhole = std::to_array<std::string_view>(
        {"", "-", "standard input", "standard output", "a file", "the plan", "the sessions list", "the corrections",
         "the folder of recordings", "the rules", "the key file", "the list of files", "the output"});
    if (std::find(kWhole.begin(), kWhole.end(), name) != kWhole.end()) return true;
    const bool numbered = name.starts_with("input ") || name.starts_with("argument ");
    if (numbered) return name.find_first_not_of("0123456789", name.find(' ') + 1) == std::string_view::npos;
    if (name.starts_with("person-")) name.remove_prefix(std::min(name.find("-recording-") + 1, name.size()));
    if (!name.starts_with("recording-")) return false;
    name.remove_prefix(std::string_view("recording-").size());
    return name == "other" || name.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

template <class Names>
std::string numbered(const char* what, const Names& names, std::string_view path) {
    const auto found = std::find(names.begin(), names.end(), path);
    return found == names.end() ? "" : fmt::format("{} {}", what, found - names.begin() + 1);
}

}  // namespace

MessageNames::MessageNames(const Options& options, const std::vector<std::string>& inputs)
    : options_(options), inputs_(&inputs) {}
MessageNames::MessageNames(const Options& options) : options_(options) {}

std::string MessageNames::hidden_name(std::string_view path) const {
    if (path == "-") return "standard input";
    const std::array<std::pair<const std::string*, const char*>, 8> files = {
        {{&options_.plan, "the plan"},
         {&options_.performed_plan, "the plan"},
         {&options_.sessions, "the sessions list"},
         {&options_.corrections, "the corrections"},
         {&options_.recordings, "the folder of recordings"},
         {&options_.rules, "the rules"},
         {&options_.key_file, "the key file"},
         {&options_.files_from, "the list of files"}}};
    if (inputs_ != nullptr) {
        if (std::string found = numbered("input", *inputs_, path); !found.empty()) return found;
    }
    for (const auto& [file, name] : files) {
        if (!path.empty() && path == *file) return name;
    }
    if (options_.out != "-" && !path.empty() && path.starts_with(options_.out)) return "the output";
    if (std::string found = numbered("argument", options_.inputs, path); !found.empty()) return found;
    return is_neutral(path) ? std::string(path) : "a file";
}

Error MessageNames::shown(const Error& error) const {
    return options_.identity == IdentityLevel::keep ? error : hide(error, hidden_name(error.source), options_.identity);
}

std::string MessageNames::name(const std::string& path) const {
    return options_.identity == IdentityLevel::keep ? tracehold::shown(path, 400) : hidden_name(path);
}

void MessageNames::say(const std::string& path, const Note& note) const {
    if (options_.quiet) return;
    const Error told = shown(Error(ErrorKind::bad_setting, path, note.place, note.text));
    say_note(told.source, {note.code, told.place, told.message});
}

}  // namespace tracehold
