#pragma once
// Which counts of a table may leave the care team.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tracehold {

// yes + no = what the row counts. people*: those behind the counts; the same numbers where people are counted.
struct CountRow {
    std::size_t yes = 0, no = 0;
    std::size_t people_yes = 0, people_no = 0, people = 0;
    bool closed = false;  // the denominator stays hidden for the sake of other tables
    std::size_t total() const { return yes + no; }
};

// numerator: yes (and with it no, where the denominator is shown).
struct RowShown {
    bool numerator = true, denominator = true;
    bool operator==(const RowShown&) const = default;
};

// add_up:   the rows add up to the row of all.
// own_people: nobody is behind two rows.
// hide_people: things of people are counted, and how many people must stay open: there are at least min_cell - 1 more
// things than people behind whatever is shown.
struct TableShape {
    std::size_t min_cell = 5;
    bool add_up = true;
    bool own_people = true;
    bool hide_people = false;
};

// In: all: the row of all, and what of it is already known to stay hidden (all_shown). Out: what of each row may be
// shown; all_shown is narrowed where the rows cannot be kept otherwise.
// Always true of the result, for one who knows everything shown, the equations and that counts are whole and not
// negative: each hidden denominator, and each hidden numerator, may have at least min_cell values; no difference of
// shown counts is a count of 1 to min_cell - 1 people. A numerator that others make plain anyway is shown.
std::vector<RowShown> suppress_rows(const CountRow& all, RowShown& all_shown, std::span<const CountRow> rows,
                                    const TableShape& shape);

// A step of a flow: total = sum of parts. Parts that are 'known hidden' stay hidden. at_least: what a reader knows of a
// hidden one anyway: it is listed, so it is not 0; other tables may say more.
struct FlowPart {
    std::size_t count = 0;
    bool shown = true;
    std::size_t at_least = 1;
};

struct FlowBlock {
    std::vector<FlowPart> parts;
    std::size_t total = 0;
    bool total_shown = true;
};

// In: blocks from the last stage to the first; the total of each is a part of the next one (which does not list it). The
// first part of the first block is what is left at the end: other tables tell it as far as it is shown.
// Out: parts and totals with shown narrowed, same promise as above; what is left at the end stays as it was, unless it is
// small itself.
void suppress_flow(std::vector<FlowBlock>& blocks, std::size_t min_cell);

}  // namespace tracehold
