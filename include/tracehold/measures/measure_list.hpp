#pragma once
// Every number of a cycle, one line each. Text, JSON, CSV, the schema, the manual and 'explain' all come from this
// list.
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "tracehold/core/estimate.hpp"

namespace tracehold {

struct CycleView;  // what a measure may look at: measures/cycle_view.hpp

enum class MeasureForm {
    amount,  // a number with a unit
    yes_no,  // 1 or 0; true or false in JSON
};

// One measure. All texts are fixed English sentences without a final line break.
struct Measure {
    std::string_view key;    // "work_mean_uv": the name in every file; carries the unit
    std::string_view title;  // "Work mean"
    std::string_view unit;   // "µV", "µV·s", "s", "%", "Hz", "%/s", "" for yes_no and for pure numbers
    std::string_view ucum;   // "uV", "uV.s", "s", "%", "Hz", "%/s", "1"
    std::string_view
        family;  // "amplitude", "timing", "threshold", "steadiness", "spectrum", "endurance", "rest", "accessory"
    std::string_view definition;  // one or two sentences, complete enough to compute it again
    std::string_view edges;       // when it is null, what its standard error covers, what to beware of
    std::string_view source;      // author, year; or 'common practice, no source'; or 'our choice, because ...'
    MeasureForm form = MeasureForm::amount;
    bool needs_cues = false;         // null where cue times were estimated or there are none
    bool needs_contraction = false;  // null where the contraction was missed
    bool of_rest_alone = false;      // does not ask whether the work window can be read
    Estimate (*compute)(const CycleView&) = nullptr;
};

// In the order in which tables show them. Keys are unique.
std::span<const Measure> measure_list();

// Position in measure_list(), empty if there is none of that key.
std::optional<std::size_t> measure_index(std::string_view key);

}  // namespace tracehold
