// The table of contractions and the table of steps.
#include <fmt/format.h>

#include <algorithm>

#include "report/en/session.hpp"
#include "report/patient_tally.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

bool is_corrected(const ScoredCycle& scored) { return !scored.cycle.corrected.empty(); }

bool is_off_time(const ScoredCycle& scored) { return scored.cycle.begins && *scored.cycle.begins != Begins::as_usual; }

// "done later": of what is done also whether it began off its time.
std::string status_text(const ScoredCycle& scored) {
    const Cycle& cycle = scored.cycle;
    if (!is_off_time(scored)) return std::string(to_string(cycle.status));
    return fmt::format("{} {}", to_string(cycle.status), *cycle.begins == Begins::early ? words::kEarlier : words::kLater);
}

// The first measure shown carries its error; with all of them the table would no longer be read.
std::vector<Cell> cycle_row(const ScoredCycle& scored, const std::vector<std::size_t>& measures, ReasonNotes& reasons) {
    std::vector<Cell> row = {{fmt::format("{}{}", scored.cycle.index, is_corrected(scored) ? "*" : "")},
                             {std::string(to_string(scored.cycle.kind))},
                             {status_text(scored)}};
    for (std::size_t i = 0; i < measures.size(); ++i) {
        const Estimate& value = scored.values[measures[i]];
        const std::string_view unit = measure_list()[measures[i]].unit;
        row.push_back(value ? Cell{quantity_text(value, unit, i == 0)} : reasons.dash(value.reason));
    }
    return row;
}

// Nothing is counted of a signal that cannot be scored.
Cell done_cell(const SessionScore& score, const StepScore& step, ReasonNotes& reasons) {
    if (!score.quality.usable) return reasons.dash(words::kRejected);
    return {score.cues == CueSource::trace ? fmt::format("{}", step.done) : fmt::format("{} of {}", step.done, step.planned)};
}

std::vector<Cell> step_row(const SessionScore& score, const StepScore& step, ReasonNotes& reasons) {
    const bool in_plan = step.step && score.plan && static_cast<std::size_t>(*step.step) < score.plan->steps.size();
    std::vector<Cell> row = {{step.step ? std::to_string(*step.step + 1) : std::string("–")},
                             {in_plan ? step_text(score.plan->steps[static_cast<std::size_t>(*step.step)])
                                      : std::string(to_string(step.kind))},
                             done_cell(score, step, reasons)};
    for (const std::size_t measure : step_measures()) {
        const Summary& summary = step.measures[measure];
        row.push_back(summary.mean ? mean_cell(summary, measure)
                                   : reasons.dash(score.quality.usable ? reasons_text(score, step.kind, measure)
                                                                       : words::kRejected));
    }
    return row;
}

Column measure_column(std::size_t measure) {
    return {column_title(measure), true, std::string(measure_list()[measure].key)};
}

ReportTable rests_table(const SessionScore& score) {
    ReportTable table;
    table.caption = words::kRestsCaption;
    table.columns = {{words::kStepColumn, true}, {words::kRest}, measure_column(*measure_index("rest_mean_uv")), {words::kVariationPct, true, "rest_cv_pct"}};
    ReasonNotes reasons(table.notes);
    const auto cell = [&](const Estimate& value, std::string_view unit) {
        return value ? Cell{quantity_text(value, unit, true)} : reasons.dash(value.reason);
    };
    for (const RestScore& rest : score.rests) {
        const bool in_plan = score.plan && static_cast<std::size_t>(rest.step) < score.plan->steps.size();
        table.rows.push_back({{std::to_string(rest.step + 1)},
                              {in_plan ? step_text(score.plan->steps[static_cast<std::size_t>(rest.step)]) : std::string("rest")},
                              cell(rest.mean_uv, "µV"), cell(rest.cv_pct, "%")});
    }
    return table;
}

// How long each endurance contraction lasted: too few to deserve a column.
List endurance_list(const SessionScore& score) {
    List list;
    const auto seconds = measure_index("endurance_s"), censored = measure_index("endurance_censored");
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.kind != StepKind::endurance || !seconds || !scored.values[*seconds]) continue;
        const std::string text = fixed_text(*scored.values[*seconds].value, 1);  // a sudden end is placed within 0.1 s
        const bool lasted = censored && scored.values[*censored].value.value_or(0.0) != 0.0;
        list.items.push_back(lasted ? fmt::format(words::kEnduranceCensored, scored.cycle.index, text)
                                    : fmt::format(words::kEndurance, scored.cycle.index, text));
    }
    return list;
}

// Where the cues tell a reaction time. The table has no room for another column.
void add_fifth(const SessionScore& score, List& list) {
    const std::size_t reaction = *measure_index("reaction_s");
    std::vector<double> times_s;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        if (cycle.status != CycleStatus::done || !scored.values[reaction] || !cycle.rise_20_s) continue;
        times_s.push_back(*cycle.rise_20_s - cycle.work.begin_s);
    }
    if (times_s.size() < 2) return;
    const auto [least, most] = std::minmax_element(times_s.begin(), times_s.end());
    const auto text = [](double time_s) { return with_minus(fixed_text(time_s, 2)); };
    list.items.push_back(fmt::format(words::kFifth, text(median(times_s)), counted(times_s.size(), "contraction"), text(*least), text(*most)));
}

}  // namespace

Section cycles_section(const SessionScore& score) {
    ReportTable table;
    table.caption = words::kCyclesCaption;
    table.columns = {{"No", true}, {words::kKindColumn}, {words::kStatus}};
    const auto measures = cycle_measures();
    for (const std::size_t measure : measures) table.columns.push_back(measure_column(measure));
    ReasonNotes reasons(table.notes);
    for (const ScoredCycle& scored : score.cycles) table.rows.push_back(cycle_row(scored, measures, reasons));
    if (std::any_of(score.cycles.begin(), score.cycles.end(), is_off_time)) table.caption += fmt::format(" {}", words::kOffTime);
    if (score.extra > 0) table.caption += fmt::format(" {}", words::kExtraCounted);
    if (std::any_of(score.cycles.begin(), score.cycles.end(), is_corrected)) {
        table.caption += std::string(" ") + words::kCorrectedMark;
    }
    Section section{words::kCycles, {table}};
    List more = endurance_list(score);
    if (const Share reached = tally(score).reached; reached.of > 0)
        more.items.push_back(fmt::format(words::kReached, reached.count, reached.of));
    add_fifth(score, more);
    if (!more.items.empty()) section.blocks.push_back(more);
    return section;
}

Section steps_section(const SessionScore& score) {
    ReportTable table;
    table.caption = words::kStepsCaption;
    table.columns = {{words::kStepColumn, true}, {words::kContractions}, {words::kDoneColumn, true}};
    for (const std::size_t measure : step_measures()) table.columns.push_back(measure_column(measure));
    ReasonNotes reasons(table.notes);
    for (const StepScore& step : score.steps) table.rows.push_back(step_row(score, step, reasons));
    Section section{words::kSteps, {table}};
    if (!score.rests.empty()) section.blocks.push_back(rests_table(score));
    return section;
}

}  // namespace tracehold
