#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <set>

#include "report/course_parts.hpp"
#include "report/doubts.hpp"
#include "report/local_text.hpp"
#include "report/patient_sections.hpp"
#include "report/referrer_parts.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// Half a page holds no more; our choice.
constexpr std::size_t kMostQuestions = 3;

struct QuestionText {
    std::string_view code;
    Say text;
};

// The table that comes with the program; a test holds the English texts against it.
constexpr std::array kQuestions = {
    QuestionText{"resting_activity_above_target", Say::q_resting},
    QuestionText{"holds_stay_above_threshold", Say::q_held},
    QuestionText{"fading_within_holds", Say::q_fading},
    QuestionText{"release_slow", Say::q_release},
    QuestionText{"coactivity_high", Say::q_coactivity},
    QuestionText{"posture_mastered", Say::q_lying_held},
    QuestionText{"threshold_never_reached", Say::q_out_of_reach},
    QuestionText{"step_left_out", Say::q_step},
    QuestionText{"course_broken_off", Say::q_broken_off},
    QuestionText{"adherence_low", Say::q_adherence},
    QuestionText{"adherence_high", Say::q_beyond},
};

// Empty for a question of a service's own table, which stays in its own words.
std::string translated(const Question& question, Language language) {
    for (const QuestionText& known : kQuestions) {
        if (question.code == known.code && question.text == sentence(known.text, Language::en))
            return std::string(sentence(known.text, language));
    }
    return {};
}

// The channels and postures of what was compared: ", EMG PFM, lying".
std::string channels_of(const Course& course, Language language) {
    std::string text;
    std::set<std::string> named;
    const auto add = [&](const std::string& name) {
        if (!name.empty() && named.insert(name).second) text += ", " + name;
    };
    for (const Phase& phase : course.phases) add(phase.channel);
    for (const Phase& phase : course.phases) add(phase.posture.empty() ? say<Say::no_posture>(language) : posture_words(phase.posture, language));
    return text;
}

Answer recorded(const Course& course, Language language) {
    Answer answer{.question = say<Say::was_recorded>(language)};
    answer.text = say<Say::recorded_course>(language, course.found, course.used, course.rejected,
                                            course.left_out.size(), channels_of(course, language));
    const bool exported = std::any_of(course.phases.begin(), course.phases.end(),
                                      [](const Phase& phase) { return phase.kind == ChannelKind::envelope; });
    if (exported) answer.details.push_back({say<Say::exported>(language)});
    const bool subtracted = std::any_of(course.phases.begin(), course.phases.end(), [](const Phase& phase) {
        return phase.processing.find("subtracted") != std::string::npos;
    });
    if (subtracted) answer.details.push_back({say<Say::level_subtracted>(language)});
    if (const std::size_t corrected = corrected_sessions(course); corrected > 0)
        answer.details.push_back({say<Say::corrected_sessions>(language, corrected)});
    if (course.used_with_caution > 0)
        answer.details.push_back({say<Say::with_caution>(language, course.used_with_caution, course.used,
                                                         frequent_doubts_of(course, language)),
                                  Tone::caution});
    if (none_could_be_scored(course)) answer.details.push_back({say<Say::none_scored>(language), Tone::caution});
    if (course.rejected + course.used_with_caution > 0) answer.tone = Tone::caution;
    return answer;
}

std::string done_text(const Adherence& seen, const std::string& weeks, Language language) {
    const std::size_t held = seen.of_dose().sessions;
    if (!seen.planned_sessions) return say<Say::not_prescribed>(language, held, weeks);
    if (!held_against_dose(seen)) return say<Say::too_short>(language, held, weeks);
    const std::size_t due = wholly_due(*seen.planned_sessions);
    if (held > due) return say<Say::prescribed_more>(language, held, due, weeks);
    const double share = static_cast<double>(held) / static_cast<double>(due);
    return say<Say::prescribed>(language, held, due, say<Say::share_of>(language, fixed_text(100.0 * share, 0)), weeks);
}

Paragraph covered_text(const PrescribedWeeks& prescribed, Language language) {
    std::string text =
        say<Say::plan_covers>(language, day_words(prescribed.last_recording, language),
                              weeks_words(prescribed.weeks, language), day_words(prescribed.last_day, language));
    if (!prescribed.counted_on) text += " " + say<Say::not_counted_on>(language);
    return {std::move(text)};
}

void add_uncounted(Answer& answer, const Adherence& seen, Language language) {
    if (seen.without_day() > 0)
        answer.details.push_back({say<Say::undatable>(language, seen.without_day()), Tone::caution});
    if (seen.other_plans > 0) answer.details.push_back({say<Say::of_other_plans>(language, seen.other_plans), Tone::caution});
}

Answer performed(const Course& course, Language language) {
    const Adherence& seen = course.adherence;
    Answer answer{.question = say<Say::as_planned>(language), .text = seen.without_day() > 0 ? say<Say::undated>(language) : say<Say::none_trained>(language)};
    add_uncounted(answer, seen, language);
    if (seen.sessions == 0) return answer;
    answer.text = done_text(seen, weeks_words(static_cast<double>(weeks_of_training(seen)), language), language);
    if (fell_silent(seen))
        answer.text += " " + say<Say::then_none>(language, seen.prescribed->silent_days, day_words(seen.prescribed->counted_to, language));
    answer.text += " " + say<Say::counting>(language, seen.of_dose().counting);
    if (seen.after_plan.sessions > 0) answer.details.push_back({say<Say::after_plan>(language, seen.after_plan.sessions)});
    if (plan_goes_on(seen)) answer.details.push_back(covered_text(*seen.prescribed, language));
    if (fell_silent(seen)) answer.tone = Tone::caution;
    return answer;
}

std::string number(double value, std::string_view unit, Language language) {
    return local_number(fixed_text(value, mean_decimals(unit)), language);
}

std::string change_text(const MeasureChange& change, Language language) {
    const bool rose = *change.change >= 0.0;
    const std::string sign = rose ? "+" : "−";
    const bool of_share = change.relative && change.unit == "%";  // else percentage points could be meant
    const std::string unit = of_share ? say<Say::percent_relative>(language) : change.change_unit;
    return say<Say::change_of>(
        language, referrer_name(change.key, language), number(change.baseline->value, change.unit, language),
        number(change.current->value, change.unit, language), change.unit,
        sign + number(std::abs(*change.change), change.change_unit, language), unit,
        number(rose ? *change.needed_rise : *change.needed_fall, change.change_unit, language));
}

std::string lengths_words(const std::vector<Lengths>& lengths, Language language) {
    std::string text;
    for (const Lengths& one : lengths) {
        const auto seconds = [&](double s) { return local_number(number_text(s), language); };
        text += (text.empty() ? "" : "; ") + say<Say::lengths_of>(language, seconds(one.work_s), seconds(one.rest_s));
    }
    return text.empty() ? say<Say::lengths_unknown>(language) : text;
}

bool lengths_differ(const Course& course) {
    return std::any_of(course.phases.begin(), course.phases.end(), [](const Phase& phase) { return phase.lengths_change.has_value(); });
}

// "20 s of rest at the beginning", "holds of 10 s"
std::string step_kind_words(const Phase& phase, Language language) {
    if (phase.lengths.empty()) return kind_words(phase.contraction, language);
    const std::string seconds = local_number(number_text(phase.lengths.front().work_s), language);
    if (phase.contraction != StepKind::rest) return say<Say::kind_of_length>(language, kind_words(phase.contraction, language), seconds);
    switch (phase.place) {
        case RestPlace::opening: return say<Say::rest_at_beginning>(language, seconds);
        case RestPlace::closing: return say<Say::rest_at_end>(language, seconds);
        case RestPlace::between: break;
    }
    return say<Say::rest_of>(language, seconds);
}

// "holds of 5 s (step 4)" where another step is of that kind and length.
std::string step_words(const Phase& phase, Language language) {
    const std::string kind = step_kind_words(phase, language);
    return phase.twin_step && phase.step ? say<Say::step_number>(language, kind, *phase.step + 1) : kind;
}

bool is_assessment(const Phase& phase) { return phase.purpose == PlanPurpose::assessment; }

bool postures_differ(const Course& course) {
    return std::any_of(course.phases.begin(), course.phases.end(), [&](const Phase& phase) { return phase.posture != course.phases.front().posture; });
}

std::string posture_of(const Phase& phase, Language language) {
    return phase.posture.empty() ? say<Say::no_posture>(language) : posture_words(phase.posture, language);
}

// "lying, holds: " where there are several phases, so that no two lines seem to contradict each other. Steps of assessments have names.
std::string where(const Course& course, const Phase& phase, Language language) {
    if (is_assessment(phase)) return say<Say::in_phase>(language, say<Say::assessment>(language), "");
    if (course.phases.size() < 2) return {};
    std::string text = posture_of(phase, language) + ", " + kind_words(phase.contraction, language);
    if (lengths_differ(course)) text += ", " + lengths_words(phase.lengths, language);
    return say<Say::in_phase>(language, text, "");
}

bool went_one_way(const MeasureChange& change) {
    return (*change.statement == Statement::more || *change.statement == Statement::less) && change.baseline &&
           change.current && change.change && change.needed_rise && change.needed_fall;
}

void add_name(std::string& names, const std::string& name) { names += (names.empty() ? "" : ", ") + name; }

// Measures that did not move: those of one phase of training, or of all steps of assessments together.
struct Still {
    std::string same, no_direction, unsure, lacking;

    void take(const MeasureChange& change, const std::string& name) {
        const Astray how = astray(change);
        add_name(how == Astray::no_direction ? no_direction : how == Astray::unsure ? unsure : change.statement == Statement::no_change_shown ? same : lacking,
                 name);
    }
    void tell(Answer& answer, const std::string& place, std::size_t tested, Language language) const {
        if (!no_direction.empty()) answer.details.push_back({place + say<Say::beyond_astray>(language, no_direction)});
        if (!unsure.empty()) answer.details.push_back({place + say<Say::beyond_unsure>(language, tested, unsure)});
        if (!same.empty()) answer.details.push_back({place + say<Say::no_change_shown>(language, same)});
        if (!lacking.empty()) answer.details.push_back({place + say<Say::not_enough>(language, lacking)});
    }
};

// Two or a few visits, beside the published error.
struct FewVisits {
    std::string beyond, within, unknown, error;

    void take(const MeasureChange& change, const std::string& name, Language language) {
        const bool rose = *change.change >= 0.0;
        const std::string unit = change.relative && change.unit == "%" ? say<Say::percent_relative>(language) : change.change_unit;
        const std::string text = fmt::format("{} {}{} {}", name, rose ? "+" : "−", number(std::abs(*change.change), change.change_unit, language), unit);
        add_name(!change.beyond_published ? unknown : *change.beyond_published ? beyond : within, text);
        if (change.beyond_published)
            error = say<Say::error_sides>(language, number(*change.needed_rise, "%", language), number(*change.needed_fall, "%", language));
    }
    void tell(Answer& answer, Language language) const {
        if (!beyond.empty()) answer.details.push_back({say<Say::published_beyond>(language, error, beyond)});
        if (!within.empty()) answer.details.push_back({say<Say::published_within>(language, error, within)});
        if (!unknown.empty()) answer.details.push_back({say<Say::published_none>(language, unknown)});
    }
};

void add_plan_changes(Answer& answer, const Course& course, const Phase& phase, Language language) {
    const std::string place = where(course, phase, language);
    for (const PlanChange& plan : phase.plan_changes) {
        Paragraph line{say<Say::plan_changed>(language, place, day_words(plan.day, language)), Tone::caution};
        const auto said = [&](const Paragraph& other) { return other.text == line.text; };  // in the phase of another step
        if (std::none_of(answer.details.begin(), answer.details.end(), said)) answer.details.push_back(std::move(line));
    }
}

// Training phase by phase, all steps of assessments together: each measure that moved, then those that did not.
std::size_t add_phases(Answer& answer, const Course& course, Language language) {
    std::size_t moved = 0;
    std::string moved_steps;
    bool set_up_asked = false;  // once, whatever moved
    Still steps;
    FewVisits visits;
    for (const Phase& phase : course.phases) {
        Still still;
        if (course.tested_measures > 0) add_plan_changes(answer, course, phase, language);
        for (const MeasureChange* change : tested_changes(phase)) {
            const std::string name = referrer_name(change->key, language);
            const std::string step = (postures_differ(course) ? posture_of(phase, language) + ", " : "") + step_words(phase, language);
            const std::string of_step = fmt::format("{} ({})", name, step);
            if (went_one_way(*change) && is_assessment(phase)) {
                ++moved;
                moved_steps += (moved_steps.empty() ? "" : "; ") + say<Say::in_phase>(language, step, change_text(*change, language));
            } else if (went_one_way(*change)) {
                ++moved;
                answer.details.push_back({where(course, phase, language) + change_text(*change, language)});
            } else if (!is_assessment(phase)) {
                if (course.tested_measures > 0) still.take(*change, name);
            } else if (only_side_by_side(*change)) {
                visits.take(*change, of_step, language);
            } else if (course.tested_measures > 0) {
                steps.take(*change, of_step);
            }
        }
        set_up_asked = set_up_asked || !set_up_question(phase).empty();
        still.tell(answer, where(course, phase, language), course.tested_measures, language);
    }
    const std::string of_visits = say<Say::in_phase>(language, say<Say::assessment>(language), "");
    if (!moved_steps.empty()) answer.details.push_back({of_visits + moved_steps});
    if (set_up_asked) answer.details.push_back({say<Say::set_up_same>(language), Tone::caution});
    steps.tell(answer, of_visits, course.tested_measures, language);
    visits.tell(answer, language);
    if (!visits.error.empty()) answer.details.push_back({say<Say::few_visits>(language)});
    return moved;
}

void add_lengths(Answer& answer, const Phase& phase, Language language) {
    if (!phase.lengths_change) return;
    const LengthsChange& change = *phase.lengths_change;
    answer.details.push_back({say<Say::lengths_apart>(language, kind_words(phase.contraction, language), lengths_words(phase.lengths, language),
                                                      day_words(change.day, language), lengths_words(change.before, language)),
                              Tone::caution});
}

Answer changed(const Course& course, Language language) {
    Answer answer{.question = say<Say::changed>(language)};
    for (const Phase& phase : course.phases) add_lengths(answer, phase, language);
    const std::size_t moved = add_phases(answer, course, language);
    answer.text = none_has_a_day(course)        ? say<Say::nothing_dated>(language)
                  : none_could_be_scored(course) ? say<Say::nothing_read>(language)
                  : course.tested_measures == 0  ? say<Say::nothing_tested>(language)
                                                 : say<Say::moved>(language, moved, course.tested_measures);
    return answer;
}

Answer asked(const Course& course, Language language) {
    Answer answer{.question = say<Say::asked>(language), .text = say<Say::asked_nothing>(language)};
    if (course.questions.empty() && !none_could_be_scored(course) && !none_has_a_day(course)) return answer;
    answer.text = say<Say::questions>(language);
    if (none_could_be_scored(course)) answer.details.push_back({say<Say::q_electrode>(language)});
    if (none_has_a_day(course)) answer.details.push_back({say<Say::q_clock>(language)});
    bool own_words = false;
    for (std::size_t i = 0; i < std::min(course.questions.size(), kMostQuestions); ++i) {
        const Question& question = course.questions[i];
        const std::string known = translated(question, language);
        own_words = own_words || known.empty();
        const Phase* of = question.phase && *question.phase < course.phases.size() ? &course.phases[*question.phase] : nullptr;
        const std::string step = of != nullptr && is_assessment(*of) ? say<Say::in_phase>(language, step_words(*of, language), "") : "";
        answer.details.push_back({step + (known.empty() ? question.text : known)});
    }
    if (own_words && language != Language::en) answer.details.push_back({say<Say::asked_language>(language)});
    return answer;
}

std::string when(const Course& course, Language language) {
    if (!course.first || !course.last) return {};
    const auto day = [](const CivilTime& time) { return std::chrono::floor<std::chrono::days>(time.local); };
    return period_words(day(*course.first), day(*course.last), language);
}

}  // namespace

Report compose_referrer_report(const Course& course, Language language) {
    Report report;
    report.language = to_string(language);
    report.title = referrer_title(course.person, when(course, language), language);
    report.sections = {review_section(language),
                       {"",
                        {Answers{{recorded(course, language), performed(course, language), changed(course, language),
                                  asked(course, language)}}}},
                       referrer_limits(language)};
    return report;
}

}  // namespace tracehold
