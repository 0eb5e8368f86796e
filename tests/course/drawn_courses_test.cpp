// What courses drawn by lot come to: of days to months, training and visits, with changed plans, doses and thresholds,
// gaps, double and impossible recordings, rejected signals, invented figures throughout. None of it is a truth, that is
// what the other tests are for: it tells that a figure, a statement or a question has changed. Read the difference,
// then accept it.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <string>

#include "course/made_course.hpp"
#include "support/golden.hpp"
#include "support/lot.hpp"
#include "tracehold/plan/read_plan.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr double kTolerance = 2e-5;  // compilers and processors differ in the last digits of logarithms
constexpr std::uint64_t kCourses = 80;

Plan drawn_training(Lot& lot, const char* name) {
    Plan plan;
    plan.name = plan.sha256 = name;
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 10.0, 0.0, 1},
                  {StepKind::hold, std::round(lot.between(4.0, 10.0)), 8.0, lot.whole(3, 8)}};
    if (lot.chance(0.5)) plan.steps.push_back({StepKind::rapid, 1.0, 3.0, lot.whole(3, 10)});
    plan.purpose = PlanPurpose::training;
    if (lot.chance(0.8)) {
        plan.dose.sessions_per_day = lot.one_of(std::array{1.0, 1.0, 2.0, 3.0});
        plan.dose.days_per_week = lot.one_of(std::array{2.0, 3.0, 3.5, 5.0, 6.0, 7.0});
        if (lot.chance(0.6)) plan.dose.weeks = lot.one_of(std::array{2.0, 4.0, 6.0, 12.0});
        plan.dose.count_all_weeks = lot.chance(0.5);
    }
    if (lot.chance(0.7)) {
        plan.threshold.emplace();
        (lot.chance(0.5) ? plan.threshold->microvolts : plan.threshold->percent_of_reference) =
            std::round(lot.between(6.0, 70.0));
        if (plan.threshold->percent_of_reference && lot.chance(0.5)) plan.threshold->reference_uv = 20.0;
    }
    if (lot.chance(0.6)) plan.targets.push_back({"rest_mean_uv", lot.between(2.0, 4.5), {}});
    if (lot.chance(0.6)) plan.targets.push_back({"release_s", lot.between(0.7, 1.8), {}});
    return plan;
}

// How a measure runs over the days: its level, what becomes of it (and by when: the later part may be level), how much
// it scatters.
struct Way {
    std::string_view key;
    double level = 1.0, to_factor = 1.0, until = 1.0, scatter = 0.1, wave = 0.0;
    double at(double share, Lot& lot) const {
        const double noise =
            lot.share() + lot.share() + lot.share() + lot.share() - 2.0;  // nearly normal, SD 1 / sqrt 3
        return level * std::exp(std::log(to_factor) * std::min(1.0, share / until) +
                                scatter * noise * std::numbers::sqrt3 + wave * std::sin(40.0 * share));
    }
};

std::vector<Way> drawn_ways(Lot& lot) {
    std::vector<Way> ways;
    constexpr std::array<std::pair<std::string_view, double>, 7> kLevels{{{"hold_mean_uv", 15.0},
                                                                          {"rest_mean_uv", 3.0},
                                                                          {"release_s", 1.2},
                                                                          {"above_threshold_pct", 70.0},
                                                                          {"fade_pct", -18.0},
                                                                          {"coactivity_pct", 45.0},
                                                                          {"endurance_s", 22.0}}};
    for (const auto& [key, level] : kLevels) {
        Way way{.key = key, .level = level, .scatter = lot.by_factors(0.01, 0.3)};
        if (lot.chance(0.6))
            way.to_factor = lot.by_factors(0.5, 2.2), way.until = lot.chance(0.4) ? lot.between(0.2, 0.6) : 1.0;
        if (lot.chance(0.3)) way.wave = lot.by_factors(0.01, 0.2);
        if (key == "hold_mean_uv" || lot.chance(0.7)) ways.push_back(way);
    }
    return ways;
}

void set_scattered(SessionScore& score, std::vector<Summary>& measures, std::string_view key, double mean, Lot& lot) {
    Summary& summary = measures[*measure_index(key)];
    summary = {.n = score.done, .mean = mean, .min = mean * lot.between(0.4, 1.0), .max = mean * lot.between(1.0, 1.6)};
}

// What happens to a recording on its way into a course.
void disturb(SessionScore& score, Lot& lot) {
    RecordingFacts& facts = score.recording;
    if (lot.chance(0.04)) add_doubts(std::array{Note{"muscle_not_seen", "", "no muscle", true}}, score.quality);
    if (lot.chance(0.04))
        score.quality.usable = false,
        score.quality.findings.push_back({"masked_much", Severity::reject, "hardly anything is left", {}});
    if (lot.chance(0.10))
        score.quality.findings.push_back({"mains", lot.chance(0.5) ? Severity::caution : Severity::note, "hum", {}});
    if (lot.chance(0.10)) score.quality.findings.push_back({"late_release", Severity::caution, "late", {}});
    if (lot.chance(0.03)) facts.person.clear();
    if (lot.chance(0.03)) facts.start.reset();
    if (facts.start && lot.chance(0.03)) facts.start->local += std::chrono::days{lot.chance(0.5) ? -15000 : 2500};
    if (lot.chance(0.03)) facts.posture.clear();
    if (lot.chance(0.03)) score.tool_version = "0.1.0";
    if (lot.chance(0.03)) facts.rate_hz = 990.0, score.high_hz = 445.5;
    if (lot.chance(0.02)) score.high_hz = 400.0;
    if (lot.chance(0.02)) score.settings.envelope.subtract_noise_floor = true;
    if (lot.chance(0.02)) score.plan.reset();
    if (lot.chance(0.03)) score.corrections.push_back({.file = {}, .action = CorrectionAction::drop_cycle, .cycle = 2});
}

// Its cycles, as the plan asks for them, each with release times or none.
void add_cycles(SessionScore& score, Lot& lot) {
    score.cues = CueSource::marks;
    score.done = score.missed = score.unusable = 0;
    const double not_released = lot.chance(0.3) ? lot.between(0.0, 0.8) : 0.0,
                 missed = lot.chance(0.3) ? lot.between(0.0, 0.9) : 0.02;
    score.planned = timeline(*score.plan).size();
    for (const PlannedCycle& planned : timeline(*score.plan)) {
        ScoredCycle scored{
            .cycle = {.step = planned.step, .kind = planned.kind, .work = {planned.contract_s, planned.relax_s}},
            .values = std::vector<Estimate>(measure_list().size(), Estimate::none("contraction missed"))};
        scored.cycle.status = lot.chance(missed) ? CycleStatus::missed
                              : lot.chance(0.03) ? CycleStatus::unusable
                                                 : CycleStatus::done;
        ++(scored.cycle.status == CycleStatus::done     ? score.done
           : scored.cycle.status == CycleStatus::missed ? score.missed
                                                        : score.unusable);
        if (scored.cycle.status == CycleStatus::done)
            scored.values[*measure_index("release_s")] = lot.chance(not_released)
                                                             ? Estimate::none("not released in the rest")
                                                             : Estimate::of(lot.between(0.3, 2.0));
        if (lot.chance(0.1)) scored.values[*measure_index("hold_mean_uv")] = Estimate::of(lot.between(5.0, 20.0));
        score.cycles.push_back(std::move(scored));
    }
    for (std::size_t i = 0; i < score.plan->steps.size(); ++i) {
        if (score.plan->steps[i].kind == StepKind::rest) continue;
        StepScore step{.step = static_cast<int>(i),
                       .kind = score.plan->steps[i].kind,
                       .planned = static_cast<std::size_t>(score.plan->steps[i].times)};
        for (const ScoredCycle& scored : score.cycles) {
            if (scored.cycle.step != step.step) continue;
            ++(scored.cycle.status == CycleStatus::done     ? step.done
               : scored.cycle.status == CycleStatus::missed ? step.missed
                                                            : step.unusable);
        }
        score.steps.push_back(step);
    }
}

std::vector<SessionScore> drawn_training_course(Lot& lot) {
    std::vector<SessionScore> scores;
    const int days = static_cast<int>(lot.by_factors(3.0, 110.0)), a_week = lot.whole(1, 7),
              a_day = lot.chance(0.3) ? 2 : 1, new_plan = lot.whole(2, 2 * days);
    Plan plan = drawn_training(lot, "A");
    const Plan changed = [&] {
        Plan other = plan;
        other.name = other.sha256 = "B";
        if (lot.chance(0.4)) other.threshold = drawn_training(lot, "B").threshold;
        if (lot.chance(0.4)) other.dose = drawn_training(lot, "B").dose;
        if (lot.chance(0.3)) other.steps = drawn_training(lot, "B").steps;
        if (lot.chance(0.3)) other.targets.clear();
        return other;
    }();
    const std::vector<Way> ways = drawn_ways(lot);
    const double held = lot.between(0.5, 1.0), other_posture = lot.chance(0.3) ? lot.between(0.0, 0.4) : 0.0;
    for (int day = 0; day < days; ++day) {
        if (!is_session_day(day, a_week)) continue;
        if (day == new_plan) plan = changed;
        for (int i = 0; i < a_day; ++i) {
            if (!lot.chance(held)) continue;
            SessionScore score = made_session(day, std::round(lot.between(6.0, 11.0)) + 8.0 * i);
            score.plan = plan;
            add_cycles(score, lot);
            if (lot.chance(other_posture)) score.recording.posture = "sitting";
            for (const Way& way : ways)
                set_scattered(score, score.measures, way.key, way.at(day / std::max(1.0, days - 1.0), lot), lot);
            if (lot.chance(0.9)) score.reference_uv = Estimate::of(24.0 * lot.between(0.9, 1.1));
            disturb(score, lot);
            scores.push_back(score);
            if (lot.chance(0.03)) scores.push_back(score);
            if (!lot.chance(0.03) || !score.recording.start) continue;
            score.recording.start->local += std::chrono::seconds{lot.whole(0, 400)};
            score.recording.source += "2", score.recording.sha256 += "2",
                score.recording.duration_s = lot.between(20.0, 500.0);
            scores.push_back(score);
        }
    }
    return scores;
}

std::vector<SessionScore> drawn_visits(Lot& lot) {
    std::vector<SessionScore> scores = make_visits({.visits = lot.whole(2, 12),
                                                    .every_days = lot.whole(1, 21),
                                                    .changed_pct = lot.between(-40.0, 90.0),
                                                    .at_once = lot.chance(0.3),
                                                    .spread = lot.by_factors(0.02, 0.3),
                                                    .seed = static_cast<std::uint64_t>(lot.whole(1, 99999))});
    for (SessionScore& score : scores) {
        set_value(score, "endurance_s", 20.0);
        if (lot.chance(0.3))
            score.steps[2].measures[*measure_index("endurance_censored")] = {.n = 1,
                                                                             .mean = lot.chance(0.5) ? 1.0 : 0.0};
        if (lot.chance(0.1)) score.plan->steps.push_back({StepKind::hold, 10.0, 10.0, 3});
        disturb(score, lot);
    }
    return scores;
}

CourseSettings drawn_course_settings(Lot& lot) {
    CourseSettings settings;
    if (lot.chance(0.5)) settings.today = first_day() + std::chrono::days{lot.whole(20, 150)};
    if (lot.chance(0.2)) settings.count_until = first_day() + std::chrono::days{lot.whole(10, 120)};
    if (lot.chance(0.2)) settings.before = {made_session(-lot.whole(-3, 20))};
    if (lot.chance(0.2)) settings.min_days = static_cast<std::size_t>(lot.whole(3, 12));
    return settings;
}

std::string told(std::chrono::sys_days day) { return fmt::format(" {}", (day - first_day()).count()); }
std::string told(const std::optional<double>& value) { return value ? fmt::format(" {:.6g}", *value) : " -"; }
std::string told(const std::optional<CourseBlock>& block) {
    return block ? fmt::format(" {:.6g}", block->value) + told(block->from) + told(block->to) +
                       fmt::format(" {} {}", block->days, block->sessions)
                 : " -";
}

std::string told(const MeasureChange& change) {
    std::string text =
        fmt::format("  {} {} points {} compared {} at least {} first{} now{}", change.key,
                    change.primary ? "primary" : "described", change.points.size(), compared_points(change),
                    lower_limits(change), told(change.baseline), told(change.current));
    for (const auto& value :
         {change.change, change.change_low, change.change_high, change.sem, change.mdc95, change.needed_rise,
          change.needed_fall, change.slope_per_week, change.slope_low, change.slope_high, change.p, change.p_adjusted})
        text += told(value);
    text +=
        fmt::format(" {} {}{}", to_string(change.error_source), change.statement ? to_string(*change.statement) : "-",
                    change.beyond_published ? (*change.beyond_published ? " beyond" : " within") : "");
    if (change.primary)
        text += fmt::format(" | {}{}", change.text,
                            change.statement == Statement::not_enough || change.reason.empty() ? "" : " | reason");
    if (const auto& level = change.plateau)
        text += fmt::format("\n    level{}{} {} {:.6g} {:.6g} {:.6g} {}", told(level->from), told(level->to),
                            level->sessions, level->change, level->low, level->high, level->text);
    return text + "\n";
}

std::string told(const Phase& phase) {
    std::string text =
        fmt::format("phase {} | {} | {} sessions, {} first of kind {} given up {} twin {}\n", conditions_text(phase),
                    phase.processing, phase.sessions.size(), lengths_text(phase.lengths), phase.first_of_kind,
                    phase.lengths_given_up, phase.twin_step);
    double since_days = 0.0;
    std::size_t planned = 0, contractions = 0, counting = 0, unusable = 0;
    for (const CourseSession& session : phase.sessions) {
        since_days += session.since_first_days;
        planned += session.planned, contractions += session.contractions, counting += session.counting,
            unusable += !session.usable;
    }
    text += fmt::format("  days {:.6g} planned {} contractions {} counting {} unusable {}", since_days, planned,
                        contractions, counting, unusable);
    for (const PlanChange& change : phase.plan_changes) text += " plan" + told(change.day) + " " + change.plan;
    if (phase.threshold_change) text += " " + threshold_apart(phase);
    if (phase.lengths_change) text += " " + lengths_apart(phase);
    text += "\n";
    for (const MeasureChange& change : phase.measures) text += told(change);
    return text + (set_up_question(phase).empty() ? "" : "  set-up?\n");
}

std::string told(const Adherence& seen) {
    std::string text = fmt::format(
        "adherence{}{} sessions {} contractions {} counting {} within {} undated {} impossible {} other {} gap {:.6g} "
        "without plan {} held against {} weeks {}",
        told(seen.planned_sessions), told(seen.planned_contractions), seen.sessions, seen.contractions, seen.counting,
        seen.within_dose, seen.undated_sessions, seen.impossible_dates, seen.other_plans, seen.longest_gap_days,
        seen.without_plan, held_against_dose(seen), weeks_of_training(seen));
    for (const CourseWeek& week : seen.weeks)
        text += fmt::format(" {}-{}:{}{} {} {} {}", week.iso_year, week.iso_week, told(week.planned_sessions),
                            told(week.planned_contractions), week.sessions, week.contractions, week.counting);
    if (seen.after_plan != Held{})
        text += fmt::format(" after plan {} {} {}", seen.after_plan.sessions, seen.after_plan.contractions, seen.after_plan.counting);
    if (seen.counted.size() > 1)
        for (const CountedDays& days : seen.counted) text += " counted" + told(days.from) + told(days.to);
    for (const StepDone& step : seen.steps)
        text += fmt::format(" {} {} {} {} {} {}", step.name, step.sessions, step.planned, step.done, step.missed,
                            step.unusable);
    if (const auto& asked = seen.prescribed)
        text += fmt::format(" prescribed {}", asked->weeks) + told(asked->last_day) + told(asked->last_session) +
                told(asked->last_recording) + told(asked->counted_to) +
                fmt::format(" {} {}", asked->counted_on, asked->silent_days);
    return text + " " + seen.reason + "\n";
}

std::string told(const Course& course) {
    std::string text = fmt::format("found {} used {} rejected {} with caution {} tested {}\n", course.found,
                                   course.used, course.rejected, course.used_with_caution, course.tested_measures);
    for (const CourseCaution& caution : course.cautions)
        text += fmt::format("caution {} {}\n", caution.code, caution.sessions.size());
    for (const LeftOut& one : course.left_out)
        text += fmt::format("left out {} {} {}\n", one.source, one.code, one.reason);
    text += told(course.adherence);
    for (const Phase& phase : course.phases) text += told(phase);
    for (const Question& question : course.questions)
        text += fmt::format("asked {} of {} sessions, {} later: {}\n", question.code, question.sessions.size(),
                            question.later.size(), question.evidence);
    for (const WaitingQuestion& waiting : course.waiting)
        text += fmt::format("waits {} of {} sessions: {}\n", waiting.code, waiting.sessions.size(), waiting.because);
    for (const Note& note : course.notes) text += fmt::format("noted {} {}\n", note.code, note.text);
    return text;
}

std::string drawn_course(std::uint64_t number) {
    Lot lot(number);
    std::vector<SessionScore> scores = lot.chance(0.75) ? drawn_training_course(lot) : drawn_visits(lot);
    if (lot.chance(0.15)) {
        for (const SessionScore& visit : drawn_visits(lot)) scores.push_back(visit);
    }
    return fmt::format("course {} ", number) + told(chart_course(scores, drawn_course_settings(lot)));
}

}  // namespace

TEST_CASE("courses drawn by lot come to their golden figures") {
    std::string text;
    for (std::uint64_t number = 1; number <= kCourses; ++number) text += drawn_course(number);
    CHECK_GOLDEN_NUMBERS("drawn_courses.txt", text, kTolerance);
}
