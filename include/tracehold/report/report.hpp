#pragma once
// The noun of this room: what a reader is told, free of any format. Texts are plain and unescaped; each renderer
// escapes. Figures are data, definitions have anchors, so that text, Markdown and pages all come from one Report and
// cannot disagree.
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// How serious a statement is. Renderers may colour it; the words carry it already.
enum class Tone { plain, caution, reject };

struct Paragraph {
    std::string text;
    Tone tone = Tone::plain;
};

struct List {
    std::vector<std::string> items;
};

// A name and what stands beside it: file, person, plan, settings.
struct Fact {
    std::string label;
    std::string text;
};
struct Facts {
    std::vector<Fact> items;
};

// What the reader came to ask, answered in a sentence or two, then what the answer rests on.
struct Answer {
    std::string question;
    std::string text;
    Tone tone = Tone::plain;
    std::vector<Paragraph> details;
};
struct Answers {
    std::vector<Answer> items;
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
};

// A line over time with its spans and lines of reference, as data. y: NaN where nothing is known.
struct TraceFigure {
    std::string title;
    std::string description;  // what it shows, in words, for those who cannot see it
    double step_s = 0.0;      // y[i] stands for [i * step_s, (i + 1) * step_s)
    std::vector<float> y;     // peak-keeping, at most a few thousand values
    std::string y_unit;
    std::vector<TimeSpan> work;
    std::vector<TimeSpan> masked;
    std::vector<double> onsets_s;
    std::vector<double> offsets_s;
    std::optional<double> threshold;
    std::vector<Fact> key_values;  // what one would read off the figure
};

// How one number is made. anchor: the key of the measure.
struct Definition {
    std::string anchor;
    std::string term;
    std::string unit;
    std::string text;
    std::string edges;  // when it is not given, what its error covers
    std::string source;
};
struct Definitions {
    std::vector<Definition> items;
};

using Block = std::variant<Paragraph, List, Facts, Answers, ReportTable, TraceFigure, Definitions>;

// heading empty: the blocks stand right under the title.
struct Section {
    std::string heading;
    std::vector<Block> blocks;
};

struct Report {
    std::string title;
    std::vector<Section> sections;
    std::string language = "en";  // of all fixed sentences in it
};

}  // namespace tracehold
