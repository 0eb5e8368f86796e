#include "course/questions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <set>

#include "course/adherence_key.hpp"
#include "course/figure_text.hpp"
#include "course/phases.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/plan/postures.hpp"

namespace tracehold {
namespace {

// Two part weeks around a whole one: fewer say little of a habit. Our choice.
constexpr std::size_t kLeastWeeks = 3;

// Sessions of a step from which on leaving it out is more than an odd day. Our choice.
constexpr std::size_t kLeastSessions = 6;

// What a condition saw, where it holds.
struct Evidence {
    std::string text;
    std::vector<std::string> sessions;
};

struct Scene {
    const Course& course;
    std::span<const SessionScore> scores;
    const Phase* phase = nullptr;  // null: the whole course
};

bool same_word(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](unsigned char x, unsigned char y) { return std::tolower(x) == std::tolower(y); });
}

// Share of the done contractions that have no value for this reason.
std::optional<double> none_pct(const SessionScore& score, const Phase& phase, std::size_t measure,
                               const std::string& reason) {
    std::size_t done = 0, none = 0;
    for (const ScoredCycle& scored : score.cycles) {
        const bool counts = scored.cycle.status == CycleStatus::done && scored.cycle.kind == phase.contraction &&
                            (!phase.step || scored.cycle.step == phase.step) && measure < scored.values.size();
        if (!counts) continue;
        ++done;
        none += scored.values[measure].reason == reason;
    }
    if (done == 0) return std::nullopt;
    return 100.0 * static_cast<double>(none) / static_cast<double>(done);
}

std::optional<double> value_for(const RuleCondition& condition, const Phase& phase, const SessionScore& score) {
    if (!muscle_seen(score)) return std::nullopt;
    if (condition.statistic == RuleStatistic::mean) return value_in(phase, score, condition.measure);
    const auto index = measure_index(condition.measure);
    if (!index || phase.contraction == StepKind::rest) return std::nullopt;
    if (condition.statistic == RuleStatistic::none_pct) return none_pct(score, phase, *index, condition.none_reason);
    const StepScore* step = step_of(phase, score);
    const auto& summaries = step != nullptr ? step->measures : score.measures;
    if (*index >= summaries.size()) return std::nullopt;
    return condition.statistic == RuleStatistic::min ? summaries[*index].min : summaries[*index].max;
}

const Target* target_of(const SessionScore& score, const std::string& measure) {
    if (!score.plan) return nullptr;
    const auto& targets = score.plan->targets;
    const auto found =
        std::find_if(targets.begin(), targets.end(), [&](const Target& target) { return target.measure == measure; });
    return found == targets.end() ? nullptr : &*found;
}

// Empty: there is no target to compare with, or the value is held against none.
std::optional<bool> compares(const RuleCondition& condition, double value, const SessionScore& score) {
    if (condition.comparison == RuleComparison::above) return value > condition.limit;
    if (condition.comparison == RuleComparison::below) return value < condition.limit;
    const Target* target = target_of(score, condition.measure);
    if (target == nullptr || !is_held_against_target(score, condition.measure)) return std::nullopt;
    const bool met = target->below ? value < *target->below : value > target->above.value_or(value);
    return met == (condition.comparison == RuleComparison::meets_target);
}

const CourseMeasure& measure_of(const std::string& key) {
    const auto list = course_measures();
    return *std::find_if(list.begin(), list.end(), [&](const CourseMeasure& measure) { return measure.key == key; });
}

std::string what(const RuleCondition& condition) {
    const CourseMeasure& measure = measure_of(condition.measure);
    switch (condition.statistic) {
        case RuleStatistic::mean: return std::string(measure.title);
        case RuleStatistic::min: return fmt::format("smallest {} of a session", measure.title);
        case RuleStatistic::max: return fmt::format("largest {} of a session", measure.title);
        case RuleStatistic::none_pct: break;
    }
    return fmt::format("share of contractions without {} ({})", measure.title, condition.none_reason);
}

std::string against(const RuleCondition& condition, const SessionScore& latest, std::string_view unit) {
    if (condition.comparison == RuleComparison::above) return "above " + with_unit(condition.limit, unit);
    if (condition.comparison == RuleComparison::below) return "below " + with_unit(condition.limit, unit);
    const Target& target = *target_of(latest, condition.measure);
    return fmt::format("{} its target ({} {})",
                       condition.comparison == RuleComparison::meets_target ? "within" : "not within",
                       target.below ? "below" : "above", with_unit(target.below ? *target.below : *target.above, unit));
}

struct Seen {
    const SessionScore* score;
    double value;
    bool compares;
};

// The last sessions that the condition can look at, latest first.
std::vector<Seen> last_sessions(const RuleCondition& condition, const Scene& scene) {
    std::vector<Seen> seen;
    const auto& sessions = scene.phase->sessions;
    for (auto session = sessions.rbegin(); session != sessions.rend() && seen.size() < condition.of_last; ++session) {
        const SessionScore& score = scene.scores[session->score];
        const auto value = value_for(condition, *scene.phase, score);
        if (!value || !is_comparable(*scene.phase, score, condition.measure)) continue;
        if (const auto fits = compares(condition, *value, score)) seen.push_back({&score, *value, *fits});
    }
    return seen;
}

// Asks: of a change what the course states of the measure, and nothing sooner: a rule never tells of one that the page does not.
// Holds back: of a change the difference of the ends alone, beyond the error; caution needs less.
enum class Purpose { asks, holds_back };

// What had a value weeks ago is not said of the last sessions, unless most of these have one.
bool mostly_valued(const RuleCondition& condition, const Scene& scene) {
    const auto& sessions = scene.phase->sessions;
    const std::size_t last = std::min(condition.of_last, sessions.size());
    const auto valued = std::count_if(sessions.end() - static_cast<std::ptrdiff_t>(last), sessions.end(), [&](const CourseSession& session) {
        return value_for(condition, *scene.phase, scene.scores[session.score]).has_value();
    });
    return 2 * static_cast<std::size_t>(valued) > last;
}

std::optional<Evidence> in_sessions(const RuleCondition& condition, const Scene& scene, Purpose purpose) {
    if (purpose == Purpose::asks && !mostly_valued(condition, scene)) return std::nullopt;
    const auto seen = last_sessions(condition, scene);
    std::vector<double> values;
    Evidence evidence;
    for (auto one = seen.rbegin(); one != seen.rend(); ++one) {
        if (!one->compares) continue;
        values.push_back(one->value);
        evidence.sessions.push_back(one->score->recording.source);
    }
    if (values.size() < condition.in_at_least) return std::nullopt;
    const bool share = condition.statistic == RuleStatistic::none_pct;
    const std::string_view unit = share ? std::string_view("%") : measure_of(condition.measure).unit;
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    const bool few = scene.phase->threshold_change && is_by_threshold(condition.measure);
    const std::string since = few ? fmt::format(", under the threshold of {} on", date_text({scene.phase->threshold_change->day, std::nullopt})) : "";
    evidence.text = fmt::format("{} {} in {} of the last {} sessions that have it{}: {} to {}", what(condition),
                                against(condition, *seen.front().score, unit), values.size(), seen.size(), since,
                                figure(*low, unit), with_unit(*high, unit));
    return evidence;
}

bool has_changed(const MeasureChange& change, bool rose, Purpose purpose) {
    if (purpose == Purpose::asks) return change.statement == (rose ? Statement::more : Statement::less);
    if (!change.change || !change.needed_rise || !change.needed_fall) return false;
    return rose ? *change.change > *change.needed_rise : -*change.change > *change.needed_fall;
}

std::optional<Evidence> in_change(const RuleCondition& condition, const Phase& phase, Purpose purpose) {
    const auto change = std::find_if(phase.measures.begin(), phase.measures.end(),
                                     [&](const MeasureChange& one) { return one.key == condition.measure; });
    const bool rose = condition.comparison == RuleComparison::rose;
    if (change == phase.measures.end() || !has_changed(*change, rose, purpose)) return std::nullopt;
    const auto block = [&](const CourseBlock& days) {
        return fmt::format("{} ({} to {})", with_unit(days.value, change->unit), date_text({days.from, std::nullopt}), date_text({days.to, std::nullopt}));
    };
    Evidence evidence{fmt::format("{} of the last days {} that of the first by more than the measurement error: {}, then {}", change->title,
                                  rose ? "above" : "below", block(*change->baseline), block(*change->current)),
                      {}};
    for (const CoursePoint& point : change->points) {
        const CourseSession& session = phase.sessions[point.session];
        if (point.compared && session.day >= change->current->from) evidence.sessions.push_back(session.source);
    }
    return evidence;
}

std::vector<std::string> training(const Course& course, bool usable_only) {
    std::vector<std::string> names;
    for (const Phase& phase : course.phases) {
        if (phase.purpose != PlanPurpose::training) continue;
        for (const CourseSession& session : phase.sessions) {
            if (session.usable || !usable_only) names.push_back(session.source);
        }
    }
    return names;
}

std::string days_text(double days) {
    const std::string text = fixed_text(days, 0);
    return text + (text == "1" ? " day" : " days");
}

// From one session to the next of those on prescribed days: nobody missed what lies between two plans or after them.
double longest_gap_prescribed(const Adherence& seen) {
    if (seen.counted.size() <= 1 && seen.after_plan.sessions == 0) return seen.longest_gap_days;
    long longest = 0;
    for (const CountedDays& days : seen.counted) {
        std::optional<std::chrono::sys_days> last;
        for (const CourseWeek& week : seen.weeks) {
            for (std::size_t i = 0; i < week.days.size(); ++i) {
                const std::chrono::sys_days day = week.monday + std::chrono::days{static_cast<int>(i)};
                if (week.days[i] == 0 || day < days.from || day > days.to) continue;
                if (last) longest = std::max<long>(longest, (day - *last).count());
                last = day;
            }
        }
    }
    return static_cast<double>(longest);
}

std::optional<Evidence> in_adherence(const RuleCondition& condition, const Scene& scene) {
    const Adherence& adherence = scene.course.adherence;
    const auto planned = static_cast<double>(wholly_due(adherence.planned_sessions.value_or(0.0)));
    if (planned <= 0.0 || adherence.weeks.size() < kLeastWeeks || scene.course.used == 0) return std::nullopt;
    const std::size_t held = adherence.of_dose().sessions;
    const double share_pct = 100.0 * static_cast<double>(held) / planned;
    const bool above = condition.comparison == RuleComparison::above;
    const double most_pct = 100.0 * static_cast<double>(adherence.within_dose + adherence.uncounted()) / planned;
    if (above ? share_pct <= condition.limit : most_pct >= condition.limit) return std::nullopt;
    const std::size_t counted = above ? held : adherence.within_dose;
    const std::string crowded = counted < held ? fmt::format(" in the weeks they were due, and {} more", held - counted) : "";
    return Evidence{
        fmt::format("{} sessions recorded of {} prescribed{} ({} %), {} {}; longest time from one to the next {}", counted,
                    figure(planned, "%"), crowded, fixed_text(100.0 * static_cast<double>(counted) / planned, 0), above ? "above" : "below",
                    with_unit(condition.limit, "%"), days_text(longest_gap_prescribed(adherence))),
        training(scene.course, false)};
}

// What was not seen there may have been done.
std::size_t with_late_release(const Course& course) {
    const auto found = std::find_if(course.cautions.begin(), course.cautions.end(),
                                    [](const CourseCaution& caution) { return caution.code == "late_release"; });
    return found == course.cautions.end() ? 0 : found->sessions.size();
}

// Each step by itself: 'below' holds where it does for one of them, 'above' where it does for all.
std::optional<Evidence> in_steps(const RuleCondition& condition, const Scene& scene) {
    const bool above = condition.comparison == RuleComparison::above;
    Evidence evidence;
    bool all = true;
    for (const StepDone& step : scene.course.adherence.steps) {
        const std::size_t seen = step.planned - std::min(step.planned, step.unusable);
        if (step.sessions < kLeastSessions || seen == 0) continue;
        const double share_pct = 100.0 * static_cast<double>(step.done) / static_cast<double>(seen);
        const bool holds = above ? share_pct > condition.limit : share_pct < condition.limit;
        all = all && holds;
        if (!holds) continue;
        evidence.text +=
            fmt::format("{}{}: {} of {} contractions seen in {} sessions ({} %)", evidence.text.empty() ? "" : "; ",
                        step.name, step.done, seen, step.sessions, fixed_text(share_pct, 0));
    }
    if (evidence.text.empty() || (above && !all)) return std::nullopt;
    if (const std::size_t late = with_late_release(scene.course); late > 0)
        evidence.text += fmt::format("; the muscle was still active before a cue in {} of the sessions", late);
    evidence.sessions = training(scene.course, true);
    return evidence;
}

std::optional<Evidence> in_silence(const RuleCondition& condition, const Scene& scene) {
    const auto& prescribed = scene.course.adherence.prescribed;
    if (!prescribed) return std::nullopt;
    const auto silent = static_cast<double>(prescribed->silent_days);
    const bool above = condition.comparison == RuleComparison::above;
    if (above ? silent <= condition.limit : silent >= condition.limit) return std::nullopt;
    return Evidence{fmt::format("no session in the {} days after the last one, within the {} weeks of the plan; {} {} days",
                                prescribed->silent_days, number_text(prescribed->weeks), above ? "above" : "below",
                                number_text(condition.limit)),
                    training(scene.course, false)};
}

std::optional<Evidence> holds(const RuleCondition& condition, const Scene& scene, Purpose purpose) {
    if (condition.measure == kAdherence) return in_adherence(condition, scene);
    if (condition.measure == kSilentDays) return in_silence(condition, scene);
    if (condition.measure == kStepDone) return in_steps(condition, scene);
    if (scene.phase == nullptr) return std::nullopt;
    return is_change(condition.comparison) ? in_change(condition, *scene.phase, purpose) : in_sessions(condition, scene, purpose);
}

bool phase_fits(const Rule& rule, const Scene& scene) {
    const bool here = rule.posture.empty() || (scene.phase != nullptr && same_word(scene.phase->posture, rule.posture));
    const bool there = !rule.not_yet_posture.empty() &&
                       std::any_of(scene.course.phases.begin(), scene.course.phases.end(),
                                   [&](const Phase& phase) { return same_word(phase.posture, rule.not_yet_posture); });
    const bool kind = !rule.contraction || (scene.phase != nullptr && scene.phase->contraction == *rule.contraction);
    return here && !there && kind;
}

void join(Evidence& all, const Evidence& one) {
    all.text += (all.text.empty() ? "" : "; ") + one.text;
    for (const std::string& session : one.sessions) {
        if (std::find(all.sessions.begin(), all.sessions.end(), session) == all.sessions.end()) {
            all.sessions.push_back(session);
        }
    }
}

// The same figures of another number of sessions.
bool alike(const RuleCondition& a, const RuleCondition& b) {
    return a.measure == b.measure && a.statistic == b.statistic && a.none_reason == b.none_reason && a.comparison == b.comparison &&
           a.limit == b.limit;
}

// How many of the conditions hold, and their figures; of two that are alike the first tells enough.
struct Held {
    std::size_t count = 0;
    Evidence evidence;
};

Held held_of(const std::vector<RuleCondition>& conditions, const Scene& scene, Purpose purpose) {
    Held held;
    std::vector<const RuleCondition*> told;
    for (const RuleCondition& condition : conditions) {
        const auto evidence = holds(condition, scene, purpose);
        if (!evidence) continue;
        ++held.count;
        if (std::any_of(told.begin(), told.end(), [&](const RuleCondition* one) { return alike(*one, condition); })) continue;
        told.push_back(&condition);
        join(held.evidence, *evidence);
    }
    if (held.count > 0 && scene.phase != nullptr && (scene.course.phases.size() > 1 || scene.phase->step))
        held.evidence.text += fmt::format(" ({})", conditions_text(*scene.phase));
    return held;
}

// A question, and what its rule names to hold it back.
struct Fired {
    Question question;
    Held back;
};

std::optional<Fired> ask(const Rule& rule, const Scene& scene) {
    if (!phase_fits(rule, scene)) return std::nullopt;
    const auto [count, all] = held_of(rule.when, scene, Purpose::asks);
    if (count < (rule.any_of ? 1 : rule.when.size())) return std::nullopt;
    std::optional<std::size_t> phase;
    if (scene.phase != nullptr) phase = static_cast<std::size_t>(scene.phase - scene.course.phases.data());
    return Fired{{rule.code, rule.text, all.text, rule.reason, rule.source, all.sessions, {}, phase}, held_of(rule.unless, scene, Purpose::holds_back)};
}

std::vector<Fired> fired(const Rule& rule, const Course& course, std::span<const SessionScore> scores) {
    std::vector<Fired> all;
    const auto add = [&](std::optional<Fired> one) {
        if (one) all.push_back(std::move(*one));
    };
    if (is_of_course(rule)) {
        add(ask(rule, {course, scores}));
    } else {
        for (const Phase& phase : course.phases) {
            if (!phase.lengths_given_up) add(ask(rule, {course, scores, &phase}));
        }
    }
    return all;
}

// The first of the questions asked already for which this rule is left for later; null if there is none.
Question* waited_for(const Rule& rule, std::vector<Question>& questions) {
    const auto found = std::find_if(questions.begin(), questions.end(), [&](const Question& question) {
        return std::find(rule.waits_for.begin(), rule.waits_for.end(), question.code) != rule.waits_for.end();
    });
    return found == questions.end() ? nullptr : &*found;
}

bool is_posture(const std::string& posture, const Course& course) {
    return posture.empty() || is_known_posture(posture) ||
           std::any_of(course.phases.begin(), course.phases.end(), [&](const Phase& phase) { return same_word(phase.posture, posture); });
}

// For which the contractions of these sessions have no value of the measure; the first is one that it can always have.
std::set<std::string> reasons_seen(std::span<const SessionScore> scores, std::size_t measure) {
    std::set<std::string> reasons{kNotReleased};
    for (const SessionScore& score : scores) {
        for (const ScoredCycle& scored : score.cycles) {
            if (measure < scored.values.size() && !scored.values[measure].value) reasons.insert(scored.values[measure].reason);
        }
    }
    return reasons;
}

}  // namespace

std::vector<Note> notes_on_rules(const Course& course, std::span<const SessionScore> scores, std::span<const Rule> rules) {
    std::vector<Note> notes;
    for (std::size_t i = 0; i < rules.size(); ++i) {
        const auto note_posture = [&](const std::string& posture, std::string_view key) {
            if (is_posture(posture, course)) return;
            notes.push_back({"rule_posture", fmt::format("/rules/{}/{}", i, key),
                             fmt::format("rule '{}': '{}' is no known posture and no session's: saw '{}', known are {}{}", shown(rules[i].code), key,
                                         shown(posture), fmt::join(kKnownPostures, ", "), did_you_mean(posture, kKnownPostures))});
        };
        note_posture(rules[i].posture, "posture");
        note_posture(rules[i].not_yet_posture, "not_yet_posture");
        const auto note_reasons = [&](const std::vector<RuleCondition>& conditions, std::string_view list) {
            for (std::size_t k = 0; k < conditions.size(); ++k) {
                const auto measure = measure_index(conditions[k].measure);
                if (conditions[k].statistic != RuleStatistic::none_pct || !measure) continue;
                const std::set<std::string> seen = reasons_seen(scores, *measure);
                if (seen.count(conditions[k].none_reason) > 0) continue;
                notes.push_back({"rule_none_reason", fmt::format("/rules/{}/{}/{}/none_reason", i, list, k),
                                 fmt::format("rule '{}': no contraction is without '{}' for the 'none_reason' it names: saw '{}', known here are '{}'",
                                             shown(rules[i].code), conditions[k].measure, shown(conditions[k].none_reason), fmt::join(seen, "', '"))});
            }
        };
        note_reasons(rules[i].when, "when");
        note_reasons(rules[i].unless, "unless");
    }
    return notes;
}

AskedQuestions ask_questions(const Course& course, std::span<const SessionScore> scores, std::span<const Rule> rules) {
    AskedQuestions out;
    for (const Rule& rule : rules) {
        std::vector<Fired> all = fired(rule, course, scores);
        if (all.empty()) continue;
        if (Question* earlier = waited_for(rule, out.asked)) {
            earlier->later.push_back(rule.text);
            continue;
        }
        for (Fired& one : all) {
            if (one.back.count == 0)
                out.asked.push_back(std::move(one.question));
            else
                out.waiting.push_back({rule.code, rule.text, one.back.evidence.text, one.back.evidence.sessions});
        }
    }
    return out;
}

}  // namespace tracehold
