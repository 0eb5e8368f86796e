#include "tracehold/read/sessions_list.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "read/named_cells.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/read/listed_file.hpp"

namespace tracehold {
namespace {

constexpr std::array<std::string_view, 7> kSessionColumns = {"file", "person", "start", "posture", "plan", "channel", "site"};

// Who is listed and has no recording; what else the row says of a recording is of one whose name was forgotten.
bool is_of_person_alone(const SessionEntry& entry) {
    const bool of_recording = entry.start || !entry.posture.empty() || !entry.plan.empty() || !entry.channel.empty();
    return entry.file.empty() && !entry.person.empty() && !of_recording;
}

SessionEntry entry_of(const NamedCells& cells, const TableRow& row) {
    SessionEntry entry;
    entry.file = cells.text(row, "file");
    entry.person = cells.text(row, "person");
    entry.posture = cells.text(row, "posture");
    entry.plan = cells.text(row, "plan");
    entry.channel = cells.text(row, "channel");
    entry.site = cells.text(row, "site");
    const std::string start = cells.text(row, "start");
    entry.start = parse_civil_time(start);
    entry.day_alone = entry.start && start == date_text(*entry.start);
    if (!start.empty() && !entry.start) {
        cells.refuse(row, "start", ErrorKind::bad_setting,
                     "not a date and time: saw '" + shown(start) + "', expected one like 2026-03-02T07:30");
    }
    const bool names_none = without_dot(entry.file).empty() || entry.file.ends_with('/');
    if (names_none && !is_of_person_alone(entry)) cells.refuse(row, "file", ErrorKind::malformed, "no file name in this row");
    for (std::size_t c = 0; c < cells.table.header.size(); ++c) {
        const std::string& name = cells.table.header[c];
        const bool known = std::find(kSessionColumns.begin(), kSessionColumns.end(), name) != kSessionColumns.end();
        if (!known && !name.empty()) entry.others.emplace_back(name, row.cells[c]);
    }
    return entry;
}

// Further columns are the service's own; one that is nearly called as a known one is more likely a slip of the pen.
void note_misspelt_columns(const std::vector<std::string>& header, std::vector<Note>& notes) {
    std::vector<std::string_view> absent(kSessionColumns.begin(), kSessionColumns.end());
    absent.push_back("reviewed");  // of an audit
    std::erase_if(absent, [&](std::string_view name) { return std::find(header.begin(), header.end(), name) != header.end(); });
    for (const std::string& name : header) {
        const std::string guess = did_you_mean(name, absent);
        if (!guess.empty()) notes.push_back({"column_not_known", "", "the column '" + shown(name) + "' is none that is read" + guess});
    }
}

}  // namespace

std::optional<CivilTime> start_of(const SessionEntry& entry, const std::optional<CivilTime>& of_recording) {
    const bool same_day = entry.day_alone && of_recording && date_text(*entry.start) == date_text(*of_recording);
    return entry.start && !same_day ? entry.start : of_recording;
}

SessionsList read_sessions_list(std::string_view text, const std::string& source) {
    const Table table = read_table(text, source);
    const NamedCells cells{table, source};
    cells.needed("file");
    SessionsList list{{}, table.notes};
    note_misspelt_columns(table.header, list.notes);
    std::vector<SessionEntry>& entries = list.entries;
    std::map<std::string, std::size_t> line_of_file;
    for (const TableRow& row : table.rows) {
        entries.push_back(entry_of(cells, row));
        if (entries.back().file.empty()) continue;
        const auto [earlier, is_new] = line_of_file.emplace(without_dot(entries.back().file), row.line);
        if (!is_new) {
            cells.refuse(row, "file", ErrorKind::bad_setting,
                         "the same file twice: saw '" + shown(entries.back().file) + "' in line " +
                             std::to_string(earlier->second) + " too");
        }
    }
    return list;
}

const SessionEntry* find_entry(std::span<const SessionEntry> entries, std::string_view path) {
    const SessionEntry* nearest = nullptr;
    ListedAs least = ListedAs::another;
    for (const SessionEntry& entry : entries) {
        const ListedAs close = listed_as(entry.file, path);
        const bool longer = nearest != nullptr && close == least && entry.file.size() > nearest->file.size();
        if (close > least || longer) {
            nearest = &entry;
            least = close;
        }
    }
    return nearest;
}

}  // namespace tracehold
