#pragma once
// Facts and tables: what stands in a report as figures with names.
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace tracehold {

// A name and what stands beside it: file, person, plan, settings. anchor: of the Definition that explains the name.
struct Fact {
    std::string label;
    std::string text;
    std::string anchor = {};
};

// anchor: of the Definition that explains the column or the cell; empty if there is none.
// note: number of a line in ReportTable::notes, from 1; 0 = none.
struct Cell {
    std::string text;
    std::size_t note;
    std::string anchor;

    Cell(std::string words, std::size_t note_number = 0, std::string explained_at = {})
        : text(std::move(words)), note(note_number), anchor(std::move(explained_at)) {}
};
struct Column {
    std::string title = {};  // with the unit
    bool numeric = false;    // set flush right
    std::string anchor = {};
};
// Always true: every row has one cell per column.
struct ReportTable {
    std::string caption = {};
    std::vector<Column> columns = {};
    std::vector<std::vector<Cell>> rows = {};
    std::vector<std::string> notes = {};
    bool to_fill_in = false;  // by hand, on paper: cells get room to write in
};

}  // namespace tracehold
