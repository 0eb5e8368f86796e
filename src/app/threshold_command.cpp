// From a recording of a few contractions as hard as possible to the threshold of a plan. Refuses on a signal in doubt: a wrong threshold
// is trained against for weeks.
#include <fmt/format.h>

#include <algorithm>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/plan/replace_threshold.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kUsualAttempts = 3;       // common practice, no source
constexpr double kWideSpread_pct = 15.0;        // between attempts; our choice: about the published within-session error
constexpr double kUsualPercent = 50.0;          // common practice, no source

struct Attempt {
    int number = 0;
    Estimate best_second_uv;
};

std::vector<Attempt> attempts_in(const SessionScore& score) {
    const std::size_t best_second = *measure_index("best_second_uv");
    std::vector<Attempt> attempts;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status == CycleStatus::done && scored.values[best_second]) attempts.push_back({scored.cycle.index, scored.values[best_second]});
    }
    return attempts;
}

// Any doubt that the amplitude may rest on stops here.
void refuse_doubtful(const SessionScore& score, const std::vector<Attempt>& attempts) {
    for (const Finding& finding : score.quality.findings) {
        if (finding.severity == Severity::note) continue;
        throw Error(ErrorKind::unsupported, score.recording.source, "signal",
                    fmt::format("no threshold is taken from a signal in doubt: {}", finding.text), "mend the cause and record the contractions again");
    }
    if (attempts.empty()) {
        throw Error(ErrorKind::too_short, score.recording.source, "", "no contraction of at least one second: saw none, expected about three",
                    "record three contractions of 3 to 5 seconds, well rested in between");
    }
}

Report threshold_report(const std::vector<Attempt>& attempts, const Summary& spread, const Threshold& threshold) {
    ReportTable table{"Best second of each attempt", {{"Contraction", true, {}}, {"Best second µV", true, {}}}, {}, {}};
    for (const Attempt& attempt : attempts) {
        table.rows.push_back({{fmt::format("{}", attempt.number), 0, {}}, {quantity_text(attempt.best_second_uv, "µV", true), 0, {}}});
    }
    const double line_uv = *threshold.reference_uv * *threshold.percent_of_reference / 100.0;
    Facts facts{{{"Best", fmt::format("{} µV: the reference", fixed_text(*spread.max, 1))}, {"Mean", fmt::format("{} µV", fixed_text(*spread.mean, 1))}}};
    if (spread.cv_pct) facts.items.push_back({"Spread", fmt::format("{} % (SD of {} attempts)", fixed_text(*spread.cv_pct, 0), spread.n)});
    facts.items.push_back({"Threshold", fmt::format("{} µV: {} % of the reference", fixed_text(line_uv, 1), number_text(*threshold.percent_of_reference))});

    Report report;
    report.title = "Threshold from a reference recording";
    report.sections = {{"", {std::move(table), std::move(facts)}}};
    List remarks;
    if (attempts.size() != kUsualAttempts) remarks.items.push_back(fmt::format("{} attempts were found; three are usual.", attempts.size()));
    if (spread.cv_pct && *spread.cv_pct > kWideSpread_pct) {
        remarks.items.push_back("The attempts differ a good deal. Was each as hard as possible, and the electrode still in place?");
    }
    remarks.items.push_back("Half of the best second is common practice without a validating source; the percent is the clinician's to choose.");
    report.sections.push_back({"", {std::move(remarks)}});
    return report;
}

}  // namespace

ExitStatus plan_threshold_command(const Options& options) {
    const std::string& plan_path = options.plan;
    const std::string plan_text = read_bytes(plan_path);
    const Plan plan = read_plan(plan_text, plan_path);

    // The home plan is not what was performed here: attempts come from marks, from the plan of the attempts, or from the trace.
    Options attempts_options = options;
    attempts_options.plan = options.performed_plan;
    if (attempts_options.channel.empty() && attempts_options.plan.empty()) attempts_options.channel = plan.channel;
    const Companions companions = read_companions(attempts_options);
    const Assignment assignment = assign(options.inputs.at(0), attempts_options, companions);
    const Plan* performed = assignment.plan ? &*assignment.plan : nullptr;
    const SessionScore score = score_recording(assignment, score_settings(options, performed ? performed : &plan)).score;

    const std::vector<Attempt> attempts = attempts_in(score);
    refuse_doubtful(score, attempts);
    std::vector<double> values;
    for (const Attempt& attempt : attempts) values.push_back(*attempt.best_second_uv.value);
    const Summary spread = summarise(values);
    const Threshold threshold{.microvolts = {}, .percent_of_reference = options.percent.value_or(kUsualPercent),
                              .reference_uv = *parse_number(fixed_text(*spread.max, 1))};
    if (options.out != "-") write_output(options.out, replace_threshold(plan_text, threshold, plan_path));
    write_output("-", render_text(threshold_report(attempts, spread, threshold)));
    return ExitStatus::done;
}

}  // namespace tracehold
