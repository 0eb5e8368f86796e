#include "audit/pool_groups.hpp"

#include <algorithm>
#include <set>

namespace tracehold {
namespace {

// A shorter code is found inside too many words. Our choice.
constexpr std::size_t kShortestFoundInside = 4;

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return out;
}

bool names_someone(const std::string& group, const std::set<std::string>& codes) {
    const std::string text = lower(group);
    return std::any_of(codes.begin(), codes.end(), [&](const std::string& code) {
        return text == code || (code.size() >= kShortestFoundInside && text.find(code) != std::string::npos);
    });
}

}  // namespace

std::size_t pool_groups(std::vector<PersonFigures>& people, const std::vector<std::string>& codes,
                        const AuditSettings& settings) {
    if (settings.by != Grouping::site && settings.by != Grouping::column) return 0;
    std::set<std::string> lowered;
    for (const std::string& code : codes) {
        if (!code.empty()) lowered.insert(lower(code));
    }
    std::map<std::string, std::size_t> sizes;
    for (const PersonFigures& person : people) ++sizes[person.group];
    std::set<std::string> pooled;
    for (const auto& [group, size] : sizes) {
        const bool small = settings.by == Grouping::column && size < settings.min_cell;
        if (!group.empty() && (small || names_someone(group, lowered))) pooled.insert(group);
    }
    std::size_t moved = 0;
    for (PersonFigures& person : people) {
        if (pooled.count(person.group) == 0) continue;
        person.group = kOtherGroups;
        ++moved;
    }
    return moved;
}

}  // namespace tracehold
