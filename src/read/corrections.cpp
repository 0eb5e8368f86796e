#include "tracehold/read/corrections.hpp"

#include <algorithm>
#include <array>

#include "read/named_cells.hpp"
#include "read/text_cell.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::array<std::string_view, 7> kActions = {
    "move_contract_cue", "move_relax_cue", "move_onset", "move_offset", "drop_cycle", "add_cycle", "mask"};
constexpr std::array<std::string_view, 8> kCorrectionColumns = {"file", "action", "cycle", "from_s",
                                                      "to_s", "who",    "when",  "why"};

bool has_cycle(CorrectionAction action) {
    return action != CorrectionAction::add_cycle && action != CorrectionAction::mask;
}

struct Row {
    const NamedCells& cells;
    const TableRow& row;

    std::string text(std::string_view name) const { return std::string(trimmed(cells.text(row, name))); }

    [[noreturn]] void refuse(std::string_view name, std::string message) const {
        cells.refuse(row, name, ErrorKind::bad_setting, std::move(message));
    }
    std::string required(std::string_view name, std::string_view what) const {
        const std::string value = text(name);
        if (value.empty()) refuse(name, "'" + std::string(name) + "' is empty, expected " + std::string(what));
        return value;
    }
    void expect_empty(std::string_view name, CorrectionAction action) const {
        if (text(name).empty()) return;
        refuse(name, "'" + std::string(name) + "' has no meaning for " + std::string(to_string(action)) + ": saw '" +
                         shown(text(name)) + "', expected an empty cell");
    }
    double seconds(std::string_view name) const {
        std::string value = required(name, "seconds from the start of the recording");
        const std::string written = value;
        if (value.find('.') == std::string::npos) std::replace(value.begin(), value.end(), ',', '.');
        const auto number = parse_number(value);
        if (!number || *number < 0.0) {
            refuse(name, "not a time in the recording: saw '" + shown(written) + "', expected seconds from its start");
        }
        return *number;
    }
};

CorrectionAction action_of(const Row& row) {
    const std::string word = row.required(
        "action", "one of move_contract_cue, move_relax_cue, move_onset, move_offset, drop_cycle, add_cycle, mask");
    const auto found = std::find(kActions.begin(), kActions.end(), lower_case(word));
    if (found == kActions.end())
        row.refuse("action", "unknown action: saw '" + shown(word) +
                                 "', expected move_contract_cue, move_relax_cue, move_onset, move_offset, drop_cycle, "
                                 "add_cycle or mask" +
                                 did_you_mean(word, kActions));
    return static_cast<CorrectionAction>(found - kActions.begin());
}

int cycle_of(const Row& row) {
    const std::string word = row.required("cycle", "the number that the result printed");
    const auto number = parse_whole(word);
    if (!number || *number < 1 || *number > 1'000'000) {
        row.refuse("cycle", "not the number of a cycle: saw '" + shown(word) + "', expected 1, 2, 3 ...");
    }
    return static_cast<int>(*number);
}

Correction correction_of(const Row& row) {
    Correction correction;
    correction.file = row.text("file");
    correction.action = action_of(row);
    const CorrectionAction action = correction.action;
    if (has_cycle(action)) correction.cycle = cycle_of(row);
    if (!has_cycle(action)) row.expect_empty("cycle", action);
    if (has_from(action)) correction.from_s = row.seconds("from_s");
    if (!has_from(action)) row.expect_empty("from_s", action);
    if (has_to(action)) correction.to_s = row.seconds("to_s");
    if (!has_to(action)) row.expect_empty("to_s", action);
    if (has_to(action) && correction.to_s <= correction.from_s) {
        row.refuse("to_s", "the end is not behind the beginning: saw " + number_text(correction.to_s) +
                               ", expected more than " + number_text(correction.from_s));
    }
    correction.who = row.required("who", "who made the correction");
    correction.when = row.required("when", "the date of the correction");
    if (!parse_civil_time(correction.when)) {
        row.refuse("when", "not a date: saw '" + shown(correction.when) + "', expected one like 2026-03-02");
    }
    correction.why = row.text("why");
    correction.list = row.cells.source;
    correction.line = row.row.line;
    return correction;
}

void check_columns(const NamedCells& cells) {
    for (const std::string_view name : {"action", "who", "when"}) cells.needed(name);
    for (const std::string& name : cells.table.header) {
        if (name.empty() || std::find(kCorrectionColumns.begin(), kCorrectionColumns.end(), name) != kCorrectionColumns.end()) continue;
        throw Error(ErrorKind::bad_setting, cells.source, "",
                    "unknown column: saw '" + shown(name) + "'" + did_you_mean(name, kCorrectionColumns));
    }
}

}  // namespace

bool has_from(CorrectionAction action) { return action != CorrectionAction::drop_cycle; }

bool has_to(CorrectionAction action) { return !has_cycle(action); }

std::string_view to_string(CorrectionAction action) { return kActions[static_cast<std::size_t>(action)]; }

std::vector<Correction> read_corrections(std::string_view text, const std::string& source) {
    const Table table = read_table(text, source);
    const NamedCells cells{table, source};
    check_columns(cells);
    std::vector<Correction> corrections;
    for (const TableRow& row : table.rows) corrections.push_back(correction_of({cells, row}));
    return corrections;
}

}  // namespace tracehold
