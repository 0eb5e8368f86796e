#include "app/threshold_attempts.hpp"

#include <fmt/format.h>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/cued_windows.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/plan/follows_plan.hpp"

namespace tracehold {
namespace {

// Three attempts are common practice, no source; twice as many leave room for repeated ones. With more, and no plan
// that says what they were, the recording reads like a training session. Our choice.
constexpr std::size_t kMostAttempts = 6;

constexpr const char* kNameThePlan =
    "a visit with contractions as hard as possible names its plan with --performed FILE";

[[noreturn]] void refuse(const SessionScore& score, const std::string& place, const std::string& what,
                         const std::string& hint) {
    throw Error(ErrorKind::unsupported, score.recording.source, place, what, hint);
}

std::string name_of(const Plan& plan) { return shown(plan.name.empty() ? plan.source : plan.name, 200); }

// Effort is held back where there is a line to stay above, or a dose of sessions to repeat.
void refuse_training_plan(const SessionScore& score) {
    const Plan& performed = *score.plan;
    const bool asks_for_training =
        performed.purpose == PlanPurpose::training || performed.threshold.has_value() || !(performed.dose == Dose{});
    if (asks_for_training) {
        refuse(score, "",
               fmt::format("no threshold is taken from training: saw the plan '{}' with a purpose, threshold or dose "
                           "of training, expected "
                           "contractions as hard as possible",
                           name_of(performed)),
               "record three holds as hard as possible by a plan with \"purpose\": \"assessment\" and name it with "
               "--performed FILE");
    }
}

// Of the plan's place in the trace: refuse_other_cues names the plan.
bool is_about_cues(const Finding& finding) {
    return finding.code == "alignment_uncertain" || finding.code == "plan_not_found" || finding.code == "cues_off_plan";
}

void refuse_other_cues(const SessionScore& score) {
    if (!follows_plan(cued_windows(score), *score.plan)) {
        refuse(
            score, "",
            fmt::format(
                "its cues do not follow the plan that is said to have been performed, '{}': saw {} contractions, expected {} of its lengths and rests",
                name_of(*score.plan), score.cycles.size(), timeline(*score.plan).size()),
            "give the recording of that visit, or the plan that was performed");
    }
    for (const Finding& finding : score.quality.findings) {
        if (!is_about_cues(finding)) continue;
        refuse(score, "",
               fmt::format("the plan that is said to have been performed, '{}', has no sure place in the trace: {}",
                           name_of(*score.plan), finding.text),
               "give the recording of that visit, with its cue marks");
    }
}

// No plan says what was performed: cues or number tell training.
void refuse_what_reads_like_training(const SessionScore& score, const Plan& prescribed) {
    const auto cued = cued_windows(score);
    if (!cued.empty() && purpose_of(prescribed) == PlanPurpose::training && follows_plan(cued, prescribed)) {
        refuse(score, "",
               fmt::format("no threshold is taken from training: saw the cues of the plan '{}' itself, expected "
                           "contractions as hard as possible",
                           name_of(prescribed)),
               kNameThePlan);
    }
    if (score.cycles.size() > kMostAttempts) {
        refuse(score, "",
               fmt::format("reads like a training session: saw {} contractions and no plan for them, expected about "
                           "three as hard as possible",
                           score.cycles.size()),
               kNameThePlan);
    }
}

// Estimated or late cues change nothing of how hard the attempts were.
bool bears_on_effort(const Finding& finding) {
    return !is_about_cues(finding) && finding.code != "cues_estimated" && finding.code != "starts_before_cues";
}

void refuse_doubtful_signal(const SessionScore& score) {
    for (const Finding& finding : score.quality.findings) {
        if (finding.severity == Severity::note || !bears_on_effort(finding)) continue;
        refuse(score, "signal", fmt::format("no threshold is taken from a signal in doubt: {}", finding.text),
               "mend the cause and record the contractions again");
    }
}

}  // namespace

Attempts attempts_in(const SessionScore& score, const Plan& prescribed) {
    refuse_doubtful_signal(score);
    if (score.plan) {
        refuse_training_plan(score);
        refuse_other_cues(score);
    } else {
        refuse_what_reads_like_training(score, prescribed);
    }
    const std::size_t best_second = *measure_index("best_second_uv");
    Attempts attempts;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        if (cycle.status != CycleStatus::done) continue;
        if (cycle.kind != StepKind::hold) {
            ++attempts.passed_over;
        } else if (scored.values[best_second]) {
            attempts.holds.push_back({cycle.index, scored.values[best_second]});
        }
    }
    if (attempts.holds.empty()) {
        throw Error(ErrorKind::too_short, score.recording.source, "",
                    "no hold of at least one second: saw none, expected about three",
                    "record three contractions of 3 to 5 seconds, well rested in between");
    }
    return attempts;
}

}  // namespace tracehold
