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
#include "tracehold/report/chart.hpp"
#include "tracehold/report/report_table.hpp"

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

struct Facts {
    std::vector<Fact> items;
};

// What the reader came to ask, answered in a sentence or two, then what the answer rests on.
struct Answer {
    std::string question;
    std::string text;
    Tone tone = Tone::plain;
    std::vector<Paragraph> details;
    std::vector<Cell> terms = {};  // words of the answer that have a Definition
};
struct Answers {
    std::vector<Answer> items;
};

// A line over time with its spans and lines of reference, as data. y: NaN where nothing is known.
struct TraceFigure {
    std::string title;
    std::string description;  // what it shows, in words, for those who cannot see it
    double step_s = 0.0;      // y[i] stands for [i * step_s, (i + 1) * step_s)
    std::vector<float> y;     // peak-keeping, at most a few thousand values
    std::string y_unit;
    std::vector<TimeSpan> work;
    bool cued = true;  // work is from cue to cue; else the contractions themselves
    std::vector<double> unseen_s;  // the middle of work windows in which no contraction was seen
    std::vector<TimeSpan> masked;
    std::vector<double> onsets_s;
    std::vector<double> offsets_s;
    std::optional<double> threshold;
    std::vector<Fact> key_values;  // what one would read off the figure
    std::vector<float> y_low;      // the lowest of each stretch where y is the highest; empty: not known
    std::vector<ChartLevel> targets;
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

using Block = std::variant<Paragraph, List, Facts, Answers, ReportTable, TraceFigure, Definitions, Figure, Calendar>;

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
