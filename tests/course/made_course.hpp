#pragma once
// Scored sessions over weeks, made on the level of session means: invented figures, known truth.
#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "tracehold/course/chart_course.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold::test {

inline std::chrono::sys_days first_day() { return std::chrono::year{2026} / 3 / 2; }  // a Monday

// One session of the person C-07, lying, usable, without values.
inline SessionScore made_session(int day, double hour = 8.0) {
    SessionScore score;
    RecordingFacts& facts = score.recording;
    facts.source = fmt::format("d{:03}-{:02}.csv", day, static_cast<int>(hour));
    facts.sha256 = fmt::format("{:064x}", day * 10000 + static_cast<int>(100.0 * hour));
    facts.person = "C-07";
    facts.start = CivilTime{
        first_day() + std::chrono::days{day} + std::chrono::milliseconds{static_cast<long long>(hour * 3.6e6)},
        std::nullopt};
    facts.posture = "lying";
    facts.channel = "EMG PFM";
    facts.rate_hz = 1000.0;
    facts.duration_s = 300.0;
    score.low_hz = 20.0;
    score.high_hz = 450.0;
    score.planned = score.done = 8;
    score.measures.resize(measure_list().size());
    return score;
}

inline void set_value(SessionScore& score, std::string_view key, double mean) {
    Summary& summary = score.measures[*measure_index(key)];
    summary = {};
    summary.n = score.done;
    summary.mean = summary.min = summary.max = mean;
}

inline SessionScore with_hold(SessionScore score, double hold_uv) {
    set_value(score, "hold_mean_uv", hold_uv);
    return score;
}

inline Plan visit_plan() {
    Plan plan;
    plan.name = plan.sha256 = "Visit";
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 5.0, 25.0, 3}};
    plan.purpose = PlanPurpose::assessment;
    return plan;
}

// Marked cues of one plan, scored by another.
inline SessionScore with_cues(SessionScore score, const Plan& performed, const Plan& scored_by) {
    score.cues = CueSource::marks;
    score.plan = scored_by;
    for (const PlannedCycle& planned : timeline(performed)) {
        ScoredCycle scored;
        scored.cycle.work = {planned.contract_s, planned.relax_s};
        score.cycles.push_back(scored);
    }
    return score;
}

// Levels on the log scale: a straight rise, a spread from session to session, of which day_share (of its variance) is
// common to a day and carries over to the next day with the correlation day_correlation.
struct MadeCourse {
    int days = 84;
    int days_per_week = 6;
    int sessions_per_day = 2;
    double rise_pct = 0.0;  // of hold and reference, reached on the last day
    double spread = 0.10;   // SD of the logarithm
    double day_share = 0.0;
    double day_correlation = 0.0;
    std::uint64_t seed = 1;
};

// The log-deviations of one measure from its true level.
class Deviations {
public:
    Deviations(const MadeCourse& made, std::uint64_t number)
        : made_(made), random_(made.seed * 1000003 + number), day_(normal_(random_)) {}

    void next_day() {
        const double r = made_.day_correlation;
        day_ = r * day_ + std::sqrt(1.0 - r * r) * normal_(random_);
    }
    double session() {
        const double own = normal_(random_);
        return made_.spread * (std::sqrt(made_.day_share) * day_ + std::sqrt(1.0 - made_.day_share) * own);
    }

private:
    MadeCourse made_;
    std::mt19937_64 random_;
    std::normal_distribution<double> normal_;
    double day_;
};

// In weeks of fewer than seven sessions days the days are spread evenly.
inline bool is_session_day(int day, int days_per_week) {
    return (day % 7 + 1) * days_per_week / 7 > (day % 7) * days_per_week / 7;
}

inline std::vector<SessionScore> make_course(const MadeCourse& made) {
    std::vector<SessionScore> scores;
    Deviations hold(made, 1), reference(made, 2), rest(made, 3), release(made, 4);
    for (int day = 0; day < made.days; ++day) {
        for (Deviations* one : {&hold, &reference, &rest, &release}) one->next_day();
        if (!is_session_day(day, made.days_per_week)) continue;
        const double risen = std::log1p(made.rise_pct / 100.0) * day / (made.days - 1.0);
        for (int i = 0; i < made.sessions_per_day; ++i) {
            SessionScore score = made_session(day, 8.0 + 10.0 * i);
            set_value(score, "hold_mean_uv", 15.0 * std::exp(risen + hold.session()));
            set_value(score, "rest_mean_uv", 3.0 * std::exp(rest.session()));
            set_value(score, "release_s", 1.2 * std::exp(release.session()));
            score.reference_uv = Estimate::of(24.0 * std::exp(risen + reference.session()));
            scores.push_back(std::move(score));
        }
    }
    return scores;
}

// Visits by one plan of all kinds of steps. Levels on the log scale, each measure with its own deviations; changed_pct of all but the
// resting activity, on the way from the first to the last visit or at once in the middle.
struct MadeVisits {
    int visits = 8;
    int every_days = 14;
    double changed_pct = 0.0;
    bool at_once = false;
    double spread = 0.10;
    std::uint64_t seed = 1;
};

inline Plan steps_plan() {
    Plan plan = visit_plan();
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1},      {StepKind::rapid, 1.0, 4.0, 5},        {StepKind::hold, 10.0, 10.0, 3},
                  {StepKind::endurance, 60.0, 30.0, 1}, {StepKind::rest, 20.0, 0.0, 1}};
    return plan;
}

inline std::vector<SessionScore> make_visits(const MadeVisits& made) {
    std::mt19937_64 random(made.seed);
    std::normal_distribution<double> normal(0.0, made.spread);
    std::vector<SessionScore> scores;
    for (int i = 0; i < made.visits; ++i) {
        const double share = made.at_once ? (2 * i >= made.visits ? 1.0 : 0.0) : i / (made.visits - 1.0);
        const double level = std::exp(share * std::log1p(made.changed_pct / 100.0));
        SessionScore score = made_session(made.every_days * i);
        score.plan = steps_plan();
        for (const int step : {1, 2, 3}) {
            SessionScore part = made_session(0);
            for (const auto& [key, usual] : {std::pair("peak_uv", 22.0), std::pair("hold_mean_uv", 15.0)})
                set_value(part, key, usual * level * std::exp(normal(random)));
            for (const auto& [key, usual] : {std::pair("rest_mean_uv", 3.0), std::pair("release_s", 1.0)}) set_value(part, key, usual * std::exp(normal(random)));
            if (step == 3) set_value(part, "endurance_s", 25.0 * level * std::exp(normal(random)));
            score.steps.push_back({.step = step, .kind = score.plan->steps[static_cast<std::size_t>(step)].kind, .measures = part.measures});
        }
        for (const int step : {0, 4})
            score.rests.push_back({.step = step, .window = {}, .mean_uv = Estimate::of(3.0 * std::exp(normal(random))), .cv_pct = {}});
        score.reference_uv = Estimate::of(24.0 * level * std::exp(normal(random)));
        scores.push_back(std::move(score));
    }
    return scores;
}

inline const MeasureChange* find_change(const Phase& phase, std::string_view key) {
    for (const MeasureChange& change : phase.measures) {
        if (change.key == key) return &change;
    }
    return nullptr;
}

// What many courses of one kind came to. Shares of courses.
struct CourseRates {
    int courses = 0;
    int any_claim = 0;  // a primary measure said to be more or less
    int hold_more = 0, hold_less = 0;
    int other_claim = 0;      // a primary measure besides the hold, of which none has a true change
    int hold_level = 0;       // a plateau of the hold
    double needed_pct = 0.0;  // mean of what the hold's change had to exceed
    double share(int count) const { return static_cast<double>(count) / courses; }
};

inline CourseRates rates_of(MadeCourse made, int courses) {
    CourseRates rates;
    const CourseSettings settings{.rules = std::vector<Rule>{}};
    for (int i = 0; i < courses; ++i) {
        made.seed = static_cast<std::uint64_t>(i) + 1;
        const Course course = chart_course(make_course(made), settings);
        bool any = false, other = false;
        for (const MeasureChange& change : course.phases.front().measures) {
            const bool claims = change.statement == Statement::more || change.statement == Statement::less;
            any = any || claims;
            other = other || (claims && change.key != "hold_mean_uv");
        }
        const MeasureChange& hold = *find_change(course.phases.front(), "hold_mean_uv");
        ++rates.courses;
        rates.any_claim += any;
        rates.other_claim += other;
        rates.hold_more += hold.statement == Statement::more;
        rates.hold_less += hold.statement == Statement::less;
        rates.hold_level += hold.plateau.has_value();
        rates.needed_pct += hold.needed_rise.value_or(0.0) / courses;
    }
    return rates;
}

// Charted without rules, so that nothing is asked.
inline Course course_of(const std::vector<SessionScore>& scores, CourseSettings settings = {}) {
    settings.rules = std::vector<Rule>{};
    return chart_course(scores, settings);
}

// Of many persons' visits: those with any claim, with a claim of the holds, and with one against the true direction.
struct VisitRates {
    int any_claim = 0, hold_claim = 0, wrong = 0;
    std::size_t tested = 0;  // measures of the last course
};

inline VisitRates visit_rates_of(MadeVisits made, int courses) {
    VisitRates rates;
    for (int i = 0; i < courses; ++i) {
        made.seed = static_cast<std::uint64_t>(i) + 1;
        const Course course = chart_course(make_visits(made), {.rules = std::vector<Rule>{}});
        bool any = false, wrong = false;
        for (const Phase& phase : course.phases) {
            for (const MeasureChange& change : phase.measures) {
                const bool more = change.statement == Statement::more, less = change.statement == Statement::less;
                any = any || more || less;
                wrong = wrong || (made.changed_pct > 0.0 && less);
                rates.hold_claim += (more || less) && phase.contraction == StepKind::hold;
            }
        }
        rates.any_claim += any;
        rates.wrong += wrong;
        rates.tested = course.tested_measures;
    }
    return rates;
}

}  // namespace tracehold::test
