#include "app/sessions_index.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <set>

#include "tracehold/core/error.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

std::string last_name_of(const std::string& path) { return path.substr(path.find_last_of('/') + 1); }

std::vector<std::string> shown_all(const std::set<std::string>& names) {
    std::vector<std::string> texts;
    for (const std::string& name : names) texts.push_back(shown(name));
    return texts;
}

}  // namespace

SessionsIndex::SessionsIndex(const std::vector<SessionEntry>& entries) {
    for (const SessionEntry& entry : entries) {
        if (entry.file.empty()) continue;
        by_base_name_[last_name_of(entry.file)].push_back(entry);
        files_.push_back(entry.file);
    }
}

const SessionEntry* SessionsIndex::find(const std::string& path) {
    ++look_ups_;
    const auto found = by_base_name_.find(last_name_of(path));
    const SessionEntry* entry = found == by_base_name_.end() ? nullptr : find_entry(found->second, path);
    if (entry != nullptr) used_.insert(entry->file);
    return entry;
}

std::vector<std::string> SessionsIndex::unused() const {
    if (look_ups_ == 1 && used_.size() == 1) return {};
    std::vector<std::string> unused;
    std::copy_if(files_.begin(), files_.end(), std::back_inserter(unused), [&](const std::string& file) { return used_.count(file) == 0; });
    return unused;
}

const std::string* other_value(const SessionEntry& entry, std::string_view column) {
    for (const auto& [name, value] : entry.others) {
        if (name == column) return &value;
    }
    return nullptr;
}

std::string column_value(const SessionEntry& entry, const std::string& column) {
    if (column == "posture") return entry.posture;
    if (column == "plan") return entry.plan;
    if (column == "channel") return entry.channel;
    const std::string* value = other_value(entry, column);
    return value != nullptr ? *value : "";
}

std::optional<Error> wrong_column(const std::vector<SessionEntry>& entries, const std::string& column, const std::string& list) {
    const auto wrong = [&](const std::string& message, const std::string& hint) { return Error(ErrorKind::wrong_use, list, "", message, hint); };
    if (column == "file" || column == "person" || column == "start") {
        return wrong("groups by '" + column + "' would list people",
                     "an audit speaks of groups: a site, a clinic, an arm of a trial");
    }
    if (list.empty()) {
        return wrong("nothing says the '" + shown(column) + "' of a recording: expected month, site, or a column of a sessions list",
                     "name the list with --sessions FILE");
    }
    std::set<std::string> names = {"posture", "plan", "channel", "site", "month"};
    for (const SessionEntry& entry : entries) {
        for (const auto& [name, value] : entry.others) names.insert(name);
    }
    if (names.contains(column)) return std::nullopt;
    const std::vector<std::string_view> known(names.begin(), names.end());
    return wrong(fmt::format("no column '{}' in the sessions list: expected one of '{}'{}", shown(column), fmt::join(shown_all(names), "', '"),
                             did_you_mean(column, known)),
                 "");
}

SessionContext context_of(const SessionEntry& entry, const std::string& column, const std::string& list) {
    SessionContext context;
    if (!column.empty()) context.group = column_value(entry, column);
    const std::string* reviewed = other_value(entry, kReviewed);
    if (reviewed == nullptr || reviewed->empty()) return context;
    const auto day = parse_civil_time(*reviewed);
    if (!day) {
        throw Error(ErrorKind::bad_setting, list, "column 'reviewed', " + shown(entry.file),
                    "not a date: saw '" + shown(*reviewed) + "', expected one like 2026-03-02");
    }
    context.reviewed = std::chrono::floor<std::chrono::days>(day->local);
    return context;
}

}  // namespace tracehold
