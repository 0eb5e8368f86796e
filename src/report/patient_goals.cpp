#include "report/patient_goals.hpp"

#include "report/local_text.hpp"
#include "report/verdict.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// One decimal; two where one would read like the goal itself.
std::string seconds_text(double value, double goal, Language language) {
    const std::string short_text = fixed_text(value, 1);
    return local_number(short_text == fixed_text(goal, 1) ? fixed_text(value, 2) : short_text, language);
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
    return verdict == Verdict::met       ? sentences.met
           : verdict == Verdict::unclear ? sentences.unclear
                                         : sentences.missed;
}

bool is_told(Verdict verdict) {
    return verdict == Verdict::met || verdict == Verdict::unclear || verdict == Verdict::missed;
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

// Those that were never let go have no time to count.
std::string not_let_go(const Share& released, double goal_s, Language language) {
    return say<Say::let_go_late>(language, released.of - released.count, released.of, seconds_words(goal_s, language));
}

std::vector<std::string>& place_for(GoalWords& words, Verdict verdict) {
    return verdict == Verdict::met ? words.met : verdict == Verdict::unclear ? words.unsure : words.to_practise;
}

}  // namespace

GoalWords goal_words(const SessionScore& score, const PatientTally& found, Language language) {
    GoalWords words;
    for (const TargetOutcome& outcome : score.targets) {
        const GoalSentences* sentences = sentences_for(outcome);
        const Verdict verdict = verdict_on(score, outcome);
        if (sentences == &kLetGo && found.released.count < found.released.of)
            words.to_practise.push_back(not_let_go(found.released, *outcome.target.below, language));
        else if (sentences == nullptr || !is_told(verdict) || (sentences == &kQuiet && in_doubt(score)))
            ++words.unspoken;
        else
            place_for(words, verdict).push_back(said(*sentences, verdict, outcome, language));
    }
    return words;
}

}  // namespace tracehold
