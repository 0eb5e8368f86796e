#include "report/patient_goals.hpp"

#include "report/doubts.hpp"
#include "report/local_text.hpp"
#include "report/session_sections.hpp"
#include "report/verdict.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

// "0.7 seconds": one decimal; two where one would read like the goal itself.
std::string seconds_text(double value, double goal, Language language) {
    const std::string short_text = fixed_text(value, 1);
    const std::string text = short_text == fixed_text(goal, 1) ? fixed_text(value, 2) : short_text;
    return seconds_words(value, local_number(text, language), language);
}

struct GoalSentences {
    std::string_view measure;
    Say met, unclear, missed;
};

constexpr GoalSentences kLetGo = {"release_s", Say::let_go_met, Say::let_go_unsure, Say::let_go_beyond};
constexpr GoalSentences kHoldSoon = {"time_to_hold_s", Say::hold_soon_met, Say::hold_soon_unsure,
                                     Say::hold_soon_beyond};
constexpr GoalSentences kQuiet = {"rest_mean_uv", Say::quiet_met, Say::quiet_unsure, Say::quiet_beyond};

Say chosen(const GoalSentences& sentences, Verdict verdict) {
    return verdict == Verdict::met ? sentences.met : verdict == Verdict::missed ? sentences.missed : sentences.unclear;
}

bool is_told(Verdict verdict) {
    return verdict == Verdict::met || verdict == Verdict::unclear || verdict == Verdict::doubtful || verdict == Verdict::missed;
}

// The sentences of one goal all have the same places, those of rest none: what is handed in too much is not used.
std::string said(const GoalSentences& sentences, Verdict verdict, const TargetOutcome& outcome, Language language) {
    const double goal = *outcome.target.below;
    return fmt::format(fmt::runtime(sentence(chosen(sentences, verdict), language)),
                       seconds_text(*outcome.value.value, goal, language), local_number(number_text(goal), language));
}

const GoalSentences* sentences_for(const TargetOutcome& outcome) {
    if (!outcome.target.below) return nullptr;
    for (const GoalSentences* each : {&kLetGo, &kHoldSoon, &kQuiet}) {
        if (outcome.target.measure == each->measure) return each;
    }
    return nullptr;
}

// Those that were never let go have no time to count: how many were timed stands beside their mean. The mean is over one kind,
// so it is told only where those that were never let go are of that kind too.
std::string not_let_go(const SessionScore& score, const Share& released, const TargetOutcome& outcome, Language language) {
    const std::string goal = seconds_words(*outcome.target.below, language);
    const std::size_t release = *measure_index("release_s");
    const std::size_t timed = score.measures[release].n, late = released.of - released.count;
    std::size_t late_of_kind = 0;
    for (const ReasonCount& count : reasons_of(score, score.summary_kind, release)) late_of_kind += count.reason == kNotReleased ? count.times : 0;
    if (!outcome.value || timed < 2 || late_of_kind < late) return say<Say::let_go_late>(language, late, released.of, goal);
    const std::string mean = seconds_text(*outcome.value.value, *outcome.target.below, language);
    return say<Say::let_go_late_timed>(language, late, timed + late, timed, mean, goal);
}

bool let_go_before(const SessionScore& score, const TargetOutcome& outcome) {
    if (outcome.value || outcome.target.measure != "release_s") return false;
    const auto reasons = reasons_of(score, score.summary_kind, *measure_index("release_s"));
    return !reasons.empty() && reasons.front().reason == kLetGoBefore;
}

// What is told of a goal only by number.
void count_unspoken(GoalWords& words, Verdict verdict, bool in_doubt) {
    if (!is_told(verdict))
        ++words.unmeasured;
    else
        ++(verdict == Verdict::met && !in_doubt ? words.met_unspoken : words.unspoken);
}

std::vector<std::string>& place_for(GoalWords& words, Verdict verdict) {
    return verdict == Verdict::met ? words.met : verdict == Verdict::missed ? words.to_practise : words.unsure;
}

}  // namespace

GoalWords goal_words(const SessionScore& score, const PatientTally& found, Language language) {
    GoalWords words;
    for (const TargetOutcome& outcome : score.targets) {
        const GoalSentences* sentences = sentences_for(outcome);
        const Verdict verdict = verdict_on(score, outcome);
        if (sentences == &kLetGo && found.released.count < found.released.of)
            words.to_practise.push_back(not_let_go(score, found.released, outcome, language));
        else if (let_go_before(score, outcome))
            continue;
        else if (sentences == nullptr || !is_told(verdict))
            count_unspoken(words, verdict, amplitudes_in_doubt(score));
        else
            place_for(words, verdict).push_back(said(*sentences, verdict, outcome, language));
    }
    return words;
}

}  // namespace tracehold
