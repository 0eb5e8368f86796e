// What a plan may say but hardly means. Every rule is common practice without a validating source; none of them stops a
// plan.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/plan/postures.hpp"
#include "tracehold/plan/read_plan.hpp"

namespace tracehold {
namespace {

constexpr double kLongSession_s = 3600.0;  // our choice: an hour of cues in one go is more likely a slip of a digit
constexpr double kMuchWork_s = 3600.0;     // of contraction a day, likewise
constexpr double kLongRapid_s = 2.5;       // above it a quick contraction is a hold
constexpr double kShortEndurance_s = 10.0;
constexpr double kShortRest_s = 2.0;  // the rest is measured after its first second and release needs half of one
constexpr double kLongDose_weeks = 52.0;
constexpr double kManySessions_a_day = 6.0;  // our choice: more are likelier a slip of a digit
constexpr double kLeastSurfaceEmg_uv = 1.0;  // our choice: a recorder's own noise is about as large
constexpr double kMostSurfaceEmg_uv = 1000.0;  // our choice: above it a reference in other units, or a slip of a digit, is likelier

std::string place_of(std::size_t step, std::string_view key) { return fmt::format("/steps/{}/{}", step, key); }

std::string seconds(double value) { return number_text(value) + " s"; }

void check_step(const Step& step, std::size_t i, bool rest_follows, std::vector<Note>& notes) {
    if (step.rest_seconds < step.seconds && step.kind != StepKind::rapid && !(step.times == 1 && rest_follows)) {
        notes.push_back(
            {"rest_shorter_than_hold", place_of(i, "rest_seconds"),
             fmt::format(
                 "the rest is shorter than the contraction: saw {} after {}, a muscle mostly needs at least as much",
                 seconds(step.rest_seconds), seconds(step.seconds))});
    }
    if (step.kind == StepKind::rapid && step.rest_seconds < step.seconds) {
        notes.push_back({"rest_shorter_than_contraction", place_of(i, "rest_seconds"),
                         fmt::format("the rest is shorter than the quick contraction: saw {} after {}, the muscle has no time to let go",
                                     seconds(step.rest_seconds), seconds(step.seconds))});
    }
    if (step.rest_seconds < kShortRest_s) {
        notes.push_back(
            {"rest_too_short_to_measure", place_of(i, "rest_seconds"),
             fmt::format("resting activity and release can hardly be measured in {} of rest, expected at least {}",
                         seconds(step.rest_seconds), seconds(kShortRest_s))});
    }
    if (step.kind == StepKind::rapid && step.seconds > kLongRapid_s) {
        notes.push_back({"rapid_is_long", place_of(i, "seconds"),
                         fmt::format("a quick contraction of {} is as long as a hold, expected at most {}",
                                     seconds(step.seconds), seconds(kLongRapid_s))});
    }
    if (step.kind == StepKind::endurance && step.seconds < kShortEndurance_s) {
        notes.push_back(
            {"endurance_is_short", place_of(i, "seconds"),
             fmt::format("an endurance contraction of {} will end before the muscle tires, expected at least {}",
                         seconds(step.seconds), seconds(kShortEndurance_s))});
    }
}

void check_steps(const Plan& plan, std::vector<Note>& notes) {
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        if (plan.steps[i].kind == StepKind::rest) continue;
        const bool rest_follows = i + 1 < plan.steps.size() && plan.steps[i + 1].kind == StepKind::rest;
        check_step(plan.steps[i], i, rest_follows, notes);
    }
    if (plan.steps.front().kind != StepKind::rest) {
        notes.push_back(
            {"no_rest_at_start", "/steps/0",
             "the plan starts with a contraction; the first one then has no rest before it to be compared with"});
    }
}

void check_amounts(const Plan& plan, std::vector<Note>& notes) {
    const double length = plan_length(plan).value;
    if (length > kLongSession_s) {
        notes.push_back(
            {"session_is_long", "/steps", fmt::format("one session takes {} minutes", fixed_text(length / 60.0, 0))});
    }
    double work = 0.0;
    for (const Step& step : plan.steps) work += step.kind == StepKind::rest ? 0.0 : step.times * step.seconds;
    work *= plan.dose.sessions_per_day.value_or(1.0);
    if (work > kMuchWork_s) {
        notes.push_back({"much_work_a_day", "/dose/sessions_per_day",
                         fmt::format("the plan asks for {} minutes of contraction a day", fixed_text(work / 60.0, 0))});
    }
}

// A dose that a home sheet can hardly say and a week can hardly be held against.
void check_how_often(const Dose& dose, std::vector<Note>& notes) {
    const double a_day = dose.sessions_per_day.value_or(1.0), days = dose.days_per_week.value_or(7.0), weeks = dose.weeks.value_or(1.0);
    if (a_day > kManySessions_a_day) {
        notes.push_back({"many_sessions_a_day", "/dose/sessions_per_day",
                         fmt::format("the plan asks for {} sessions a day, expected at most {}", number_text(a_day), number_text(kManySessions_a_day))});
    }
    if ((a_day > 0.0 && a_day < 1.0) || days != std::round(days)) {
        notes.push_back({"dose_in_parts", "/dose",
                         fmt::format("the plan asks for {} sessions a day on {} days a week: a home sheet can hardly say parts of a session or of a day, "
                                     "expected whole numbers",
                                     number_text(a_day), number_text(days))});
    }
    if (weeks > 0.0 && weeks < 1.0)
        notes.push_back({"dose_is_short", "/dose/weeks", fmt::format("the plan runs for {} weeks, less than one", number_text(weeks))});
}

void check_dose(const Dose& dose, std::vector<Note>& notes) {
    const auto zero = [&](const std::optional<double>& amount, std::string_view key) {
        if (!amount || *amount > 0.0) return;
        notes.push_back(
            {"zero_dose", fmt::format("/dose/{}", key), fmt::format("'{}' is 0: nothing is prescribed", key)});
    };
    zero(dose.sessions_per_day, "sessions_per_day");
    zero(dose.days_per_week, "days_per_week");
    zero(dose.weeks, "weeks");
    if (dose.weeks && !(dose.sessions_per_day && dose.days_per_week)) {
        notes.push_back(
            {"dose_incomplete", "/dose",
             fmt::format("the plan runs for {} weeks but does not say how often, so adherence cannot be told",
                         number_text(*dose.weeks))});
    }
    if (dose.weeks && *dose.weeks > kLongDose_weeks) {
        notes.push_back(
            {"dose_is_long", "/dose/weeks", fmt::format("the plan runs for {} weeks", number_text(*dose.weeks))});
    }
}

constexpr std::array<std::string_view, 3> kTimesOfWork = {"reaction_s", "time_to_hold_s", "endurance_s"};
constexpr double kLeastTime_s = 0.1;  // the window of the envelope: shorter times are its own

// An amplitude of the muscle that is more than surface EMG shows.
void check_amplitude(const std::optional<double>& value_uv, std::string_view key, std::vector<Note>& notes) {
    if (value_uv && *value_uv < kLeastSurfaceEmg_uv) {
        notes.push_back({"amplitude_is_small", fmt::format("/threshold/{}", key),
                         fmt::format("{} µV is about the noise of a recorder, expected at least {} µV: are the units right?", number_text(*value_uv),
                                     number_text(kLeastSurfaceEmg_uv))});
    }
    if (!value_uv || *value_uv <= kMostSurfaceEmg_uv) return;
    notes.push_back({"amplitude_is_large", fmt::format("/threshold/{}", key),
                     fmt::format("surface EMG of these muscles hardly shows {} µV, expected at most {} µV: are the units right?",
                                 number_text(*value_uv), number_text(kMostSurfaceEmg_uv))});
}

void check_threshold(const Plan& plan, std::vector<Note>& notes) {
    const auto& threshold = plan.threshold;
    if (!threshold) return;
    check_amplitude(threshold->microvolts, "microvolts", notes);
    check_amplitude(threshold->reference_uv, "reference_uv", notes);
    if (threshold->percent_of_reference.value_or(0.0) > 100.0) {
        notes.push_back({"threshold_above_reference", "/threshold/percent_of_reference",
                         fmt::format("the threshold is {} % of the reference: above the person's own best second, so that no "
                                     "contraction can be expected to reach it, expected at most 100 %",
                                     number_text(*threshold->percent_of_reference))});
    }
    if (threshold->microvolts || threshold->reference_uv) return;
    notes.push_back(
        {"threshold_without_reference", "/threshold",
         "the threshold is a percentage without a reference in microvolts: each session is held against its own "
         "best second, so it moves with the person's effort"});
}

// Times from a cue on cannot be longer than what the cue asks for: such a target is met, or missed, by every contraction.
void check_time_targets(const Plan& plan, std::vector<Note>& notes) {
    for (const Target& target : plan.targets) {
        const bool of_rest = target.measure == "release_s";
        if (!of_rest && std::find(kTimesOfWork.begin(), kTimesOfWork.end(), target.measure) == kTimesOfWork.end()) continue;
        double longest = 0.0;
        for (const Step& step : plan.steps) {
            if (step.kind != StepKind::rest) longest = std::max(longest, of_rest ? step.rest_seconds : step.seconds);
        }
        const double limit = target.below ? *target.below : *target.above;
        if (limit < longest) continue;
        notes.push_back({"target_outside_step", "/targets/" + target.measure,
                         fmt::format("the target for '{}' is {}, and the longest {} of the plan is {}: it can tell nothing", shown(target.measure), seconds(limit),
                                     of_rest ? "rest" : "contraction", seconds(longest))});
    }
}

void check_targets(const Plan& plan, std::vector<Note>& notes) {
    for (const Target& target : plan.targets) {
        const double limit = target.below ? *target.below : *target.above;
        if (target.above && target.measure.starts_with("rest_")) {
            notes.push_back({"rest_target_above", "/targets/" + target.measure,
                             fmt::format("the target for '{}' is met by more activity at rest (above {}); mostly less is wanted: below?",
                                         shown(target.measure), number_text(limit))});
        }
        if (target.measure.ends_with("_s") && limit > 0.0 && limit < kLeastTime_s) {
            notes.push_back({"target_too_fine", "/targets/" + target.measure,
                             fmt::format("the target for '{}' is {}: times are read off an envelope over {}, and shorter ones cannot be told",
                                         shown(target.measure), seconds(limit), seconds(kLeastTime_s))});
        }
        if (limit > 0.0) continue;
        notes.push_back({"target_without_meaning", "/targets/" + target.measure,
                         fmt::format("the target for '{}' is {}; hardly any measure can go below zero",
                                     shown(target.measure), number_text(limit))});
    }
    const auto& names = plan.accessory_channels;
    if (!plan.channel.empty() && std::find(names.begin(), names.end(), plan.channel) != names.end()) {
        notes.push_back(
            {"channel_twice", "/accessory_channels", "the channel of the muscle itself is also named as accessory"});
    }
}

void check_whole(const Plan& plan, std::vector<Note>& notes) {
    const Dose& dose = plan.dose;
    if (plan.purpose == PlanPurpose::assessment && (dose.sessions_per_day || dose.days_per_week || dose.weeks)) {
        notes.push_back({"dose_of_assessment", "/dose", "the plan is for assessments and prescribes a dose: sessions of assessment are not held against one"});
    }
    if (is_known_posture(plan.posture)) return;
    notes.push_back({"posture_unknown", "/posture",
                     fmt::format("'{}' is no known posture: known are {}; it is told as it stands, and compared with sessions of the same word only{}",
                                 shown(plan.posture), fmt::join(kKnownPostures, ", "), did_you_mean(plan.posture, kKnownPostures))});
}

}  // namespace

std::vector<Note> check_plan(const Plan& plan) {
    std::vector<Note> notes;
    check_steps(plan, notes);
    check_amounts(plan, notes);
    check_dose(plan.dose, notes);
    check_how_often(plan.dose, notes);
    check_whole(plan, notes);
    check_threshold(plan, notes);
    check_targets(plan, notes);
    check_time_targets(plan, notes);
    return notes;
}

}  // namespace tracehold
