// Tidy CSV: one row a contraction and measure, so that any table program can group, filter and join.
#include <fmt/format.h>

#include <algorithm>

#include "exchange/csv_cell.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kCyclesSchema = "tracehold.cycles/1";

// The cells that all rows of a session share, with the comma after them.
std::string session_cells(const RecordingFacts& recording) {
    return fmt::format("{},{},{},{},{},{},", kCyclesSchema, csv_text_cell(recording.source),
                       csv_text_cell(recording.person), recording.start ? to_text(*recording.start) : "",
                       csv_text_cell(recording.posture), csv_text_cell(recording.channel));
}

std::string cycle_cells(const Cycle& cycle) {
    const std::string step = cycle.step ? std::to_string(*cycle.step + 1) : "";
    return fmt::format("{},{},{},{},", cycle.index, step, to_string(cycle.kind), to_string(cycle.status));
}

std::string value_cells(const Measure& measure, const Estimate& value) {
    return fmt::format("{},{},{},{},{}\n", measure.key, number_cell(value.value), number_cell(value.error),
                       measure.ucum, csv_text_cell(value.reason));
}

}  // namespace

std::string session_csv_header() {
    return "schema,file,person,start,posture,channel,cycle,step,kind,status,measure,value,standard_error,unit,reason\n";
}

std::string session_csv_rows(const SessionScore& score) {
    std::string rows;
    const std::string session = session_cells(score.recording);
    for (const ScoredCycle& scored : score.cycles) {
        const std::string cycle = session + cycle_cells(scored.cycle);
        for (std::size_t i = 0; i < scored.values.size(); ++i)
            rows += cycle + value_cells(measure_list()[i], scored.values[i]);
    }
    return rows;
}

}  // namespace tracehold
