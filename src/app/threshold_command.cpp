// From a recording of a few contractions as hard as possible to the threshold of a plan.
#include <fmt/format.h>

#include <algorithm>

#include "app/commands.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
#include "app/threshold_attempts.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/plan/replace_threshold.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kUsualAttempts = 3;       // common practice, no source
constexpr double kWideSpread_pct = 15.0;        // between attempts; our choice: about the published within-session error
constexpr double kUsualPercent = 50.0;          // common practice, no source

std::string where_from(const SessionScore& score) {
    const RecordingFacts& facts = score.recording;
    return fmt::format("{}{}{}", shown(facts.person.empty() ? "person not named" : facts.person),
                       facts.start ? ", " + to_text(*facts.start) : "",
                       facts.posture.empty() ? "" : ", " + shown(facts.posture));
}

double line_of(const Threshold& threshold) { return *threshold.reference_uv * *threshold.percent_of_reference / 100.0; }

Section attempts_section(const SessionScore& score, const Attempts& attempts, const Summary& spread,
                         const Threshold& threshold) {
    ReportTable table{"Best second of each attempt", {{"Contraction", true, {}}, {"Best second µV", true, {}}}, {}, {}};
    for (const Attempt& attempt : attempts.holds) {
        table.rows.push_back({{fmt::format("{}", attempt.number), 0, {}}, {quantity_text(attempt.best_second_uv, "µV", true), 0, {}}});
    }
    const double line_uv = line_of(threshold);
    Facts facts{{{"Recording", fmt::format("{} ({})", shown(score.recording.source, 200), where_from(score))},
                 {"Best", fmt::format("{} µV: the reference", fixed_text(*spread.max, 1))},
                 {"Mean", fmt::format("{} µV", fixed_text(*spread.mean, 1))}}};
    if (spread.cv_pct) facts.items.push_back({"Spread", fmt::format("{} % (SD of {} attempts)", fixed_text(*spread.cv_pct, 0), spread.n)});
    facts.items.push_back({"Threshold", fmt::format("{} µV: {} % of the reference", fixed_text(line_uv, 1), number_text(*threshold.percent_of_reference))});
    return {"", {std::move(table), std::move(facts)}};
}

// A line that her own attempts did not reach is one that she may not reach at home.
std::string below_line(const Attempts& attempts, double line_uv) {
    const auto below = std::count_if(attempts.holds.begin(), attempts.holds.end(), [&](const Attempt& attempt) { return *attempt.best_second_uv.value < line_uv; });
    if (below == 0) return "";
    return fmt::format("{} of the {} attempts {} below the threshold that is written ({} µV): is it one to train with?", below, attempts.holds.size(),
                       below == 1 ? "lies" : "lie", fixed_text(line_uv, 1));
}

List remarks_on(const SessionScore& score, const Attempts& attempts, const Summary& spread, const Plan& prescribed, double line_uv) {
    List remarks;
    if (std::string below = below_line(attempts, line_uv); !below.empty()) remarks.items.push_back(std::move(below));
    if (!score.plan) {
        remarks.items.push_back(
            "No plan says what was performed here: the contractions were taken as meant to be as hard as possible. "
            "'--performed FILE' names the plan of the visit.");
    }
    const std::size_t found = attempts.holds.size();
    if (found != kUsualAttempts)
        remarks.items.push_back(
            fmt::format("{} {} found; three are usual.", found, found == 1 ? "attempt was" : "attempts were"));
    if (attempts.passed_over > 0) {
        remarks.items.push_back(fmt::format("Only holds are attempts: {} quick or long {} passed over.",
                                            attempts.passed_over,
                                            attempts.passed_over == 1 ? "contraction was" : "contractions were"));
    }
    if (spread.cv_pct && *spread.cv_pct > kWideSpread_pct) {
        remarks.items.push_back("The attempts differ a good deal. Was each as hard as possible, and the electrode still in place?");
    }
    const std::string& posture = score.recording.posture;
    if (!posture.empty() && posture != prescribed.posture) {
        remarks.items.push_back(
            fmt::format("Recorded '{}', but the plan is for '{}': amplitudes differ between postures.", shown(posture),
                        shown(prescribed.posture)));
    }
    remarks.items.push_back("Half of the best second is common practice without a validating source; the percent is the clinician's to choose.");
    return remarks;
}

// Attempts of two visits, or of two people, are no attempts at one reference.
const std::string& one_recording(const std::vector<std::string>& inputs) {
    if (inputs.size() == 1) return inputs[0];
    throw Error(ErrorKind::wrong_use, "", "",
                fmt::format("a threshold comes from one recording: saw {}, '{}' and '{}' among them, expected one",
                            inputs.size(), shown(inputs[0], 200), shown(inputs[1], 200)),
                "give the recording of one visit of one person; for another, call it again");
}

}  // namespace

ExitStatus plan_threshold_command(const Options& options) {
    const std::string recording = one_recording(find_inputs(options));
    const std::string& plan_path = options.plan;
    const std::string plan_text = read_companion(plan_path, "--plan names the plan that gets the threshold");
    const Plan plan = read_plan(plan_text, plan_path);

    // The home plan is not what was performed here: attempts come from marks, from the plan of the attempts, or from the trace.
    Options attempts_options = options;
    attempts_options.plan = options.performed_plan;
    if (attempts_options.channel.empty() && attempts_options.plan.empty()) attempts_options.channel = plan.channel;
    const Companions companions = read_companions(attempts_options);
    Assignment assignment = assign(recording, attempts_options, companions);
    const ScoreSettings settings = score_settings(options, assignment.plan ? &*assignment.plan : &plan);
    const SessionScore score = score_recording(std::move(assignment), settings).score;

    const Attempts attempts = attempts_in(score, plan);
    std::vector<double> values;
    for (const Attempt& attempt : attempts.holds) values.push_back(*attempt.best_second_uv.value);
    const Summary spread = summarise(values);
    const Threshold threshold{.microvolts = {}, .percent_of_reference = options.percent.value_or(kUsualPercent),
                              .reference_uv = *parse_number(fixed_text(*spread.max, 1))};
    const Report report{.title = "Threshold from a reference recording",
                        .sections = {attempts_section(score, attempts, spread, threshold),
                                     {"", {remarks_on(score, attempts, spread, plan, line_of(threshold))}}}};
    if (options.out != "-") write_output(options.out, replace_threshold(plan_text, threshold, plan_path));
    write_output("-", render_text(report));
    return ExitStatus::done;
}

}  // namespace tracehold
