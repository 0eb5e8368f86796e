#include "report/patient_goals.hpp"

#include <optional>

#include "report/local_text.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

enum class Reach { met, close, beyond };

// As the clinician's table says it; one contraction has no interval and is never clear.
std::optional<Reach> reach_of(const SessionScore& score, const TargetOutcome& outcome) {
    const auto place = measure_index(outcome.target.measure);
    if (!outcome.value || !outcome.met || !place || *place >= score.measures.size()) return {};
    const Summary& summary = score.measures[*place];
    const double limit = *outcome.target.below;
    const bool clear =
        summary.ci95_low && summary.ci95_high && (*summary.ci95_low > limit || *summary.ci95_high < limit);
    return !clear ? Reach::close : *outcome.met ? Reach::met : Reach::beyond;
}

// One decimal; two where one would read like the goal itself.
std::string seconds_text(double value, double goal, Language language) {
    const std::string short_text = fixed_text(value, 1);
    return local_number(short_text == fixed_text(goal, 1) ? fixed_text(value, 2) : short_text, language);
}

struct GoalSentences {
    std::string_view measure;
    Say met, close, beyond;
};

constexpr GoalSentences kLetGo = {"release_s", Say::let_go_met, Say::let_go_close, Say::let_go_beyond};
constexpr GoalSentences kHoldSoon = {"time_to_hold_s", Say::hold_soon_met, Say::hold_soon_close, Say::hold_soon_beyond};
constexpr GoalSentences kQuiet = {"rest_mean_uv", Say::quiet_met, Say::quiet_close, Say::quiet_beyond};

Say chosen(const GoalSentences& sentences, Reach reach) {
    return reach == Reach::met ? sentences.met : reach == Reach::close ? sentences.close : sentences.beyond;
}

// The sentences of one goal all have the same places, those of rest none: what is handed in too much is not used.
std::string said(const GoalSentences& sentences, Reach reach, const TargetOutcome& outcome, Language language) {
    const double goal = *outcome.target.below;
    return fmt::format(fmt::runtime(sentence(chosen(sentences, reach), language)),
                       seconds_text(*outcome.value.value, goal, language), local_number(number_text(goal), language));
}

const GoalSentences* sentences_for(const TargetOutcome& outcome) {
    if (!outcome.target.below) return nullptr;
    for (const GoalSentences* each : {&kLetGo, &kHoldSoon, &kQuiet}) {
        if (outcome.target.measure == each->measure) return each;
    }
    return nullptr;
}

}  // namespace

GoalWords goal_words(const SessionScore& score, const PatientTally& found, Language language) {
    GoalWords words;
    for (const TargetOutcome& outcome : score.targets) {
        const GoalSentences* sentences = sentences_for(outcome);
        const auto reach = sentences != nullptr ? reach_of(score, outcome) : std::nullopt;
        const bool left_to_ask =
            !reach || (sentences == &kQuiet && in_doubt(score)) || (sentences == &kLetGo && !found.rested.all());
        if (left_to_ask) {
            ++words.unspoken;
            continue;
        }
        (*reach == Reach::met ? words.met : words.to_practise).push_back(said(*sentences, *reach, outcome, language));
    }
    return words;
}

}  // namespace tracehold
