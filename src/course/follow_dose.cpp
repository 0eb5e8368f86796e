// Only training counts: an assessment in the clinic is not a session of the dose. A session on a rejected signal was
// still held, so it counts as a session, but none of its contractions counts.
#include "course/follow_dose.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>

#include "course/phases.hpp"
#include "tracehold/measures/cued_windows.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/plan/follows_plan.hpp"

namespace tracehold {
namespace {

using std::chrono::sys_days;

sys_days monday_of(sys_days day) { return day - (std::chrono::weekday{day} - std::chrono::Monday); }

// ISO 8601: a week belongs to the year that holds its Thursday.
CourseWeek empty_week(sys_days monday) {
    const sys_days thursday = monday + std::chrono::days{3};
    const std::chrono::year year = std::chrono::year_month_day{thursday}.year();
    CourseWeek week;
    week.iso_year = static_cast<int>(year);
    week.iso_week = static_cast<unsigned>((thursday - sys_days{year / 1 / 1}) / std::chrono::days{7} + 1);
    week.monday = monday;
    return week;
}

// Empty where none are prescribed: nothing can be held against a dose of 0.
std::optional<double> weekly_sessions(const Dose& dose) {
    const double weekly = dose.sessions_per_day.value_or(0.0) * dose.days_per_week.value_or(0.0);
    return weekly > 0.0 ? std::optional(weekly) : std::nullopt;
}

double contractions_of(const Plan& plan) { return static_cast<double>(timeline(plan).size()); }

// Each recording once, also where several of its channels were scored.
std::vector<const SessionScore*> all_training_of(const AdmittedSessions& sessions) {
    std::vector<const SessionScore*> training;
    std::set<std::string_view> counted;
    for (const SessionScore* score : sessions.scores) {
        const std::string& content = score->recording.sha256;
        const bool is_new = content.empty() || counted.insert(content).second;
        if (is_new && purpose_of(*score) == PlanPurpose::training) training.push_back(score);
    }
    return training;
}

// A session without a plan counts by the cues that it shares with a plan of the course; where no plan has a dose there
// is nothing to count against, and every session counts.
std::vector<const SessionScore*> training_of(const AdmittedSessions& sessions, std::size_t& without_plan) {
    std::vector<const SessionScore*> training = all_training_of(sessions);
    const auto has_dose = [](const SessionScore* score) { return score->plan && weekly_sessions(score->plan->dose); };
    if (std::none_of(training.begin(), training.end(), has_dose)) return training;
    const std::vector<const SessionScore*> all = training;
    without_plan = std::erase_if(training, [&](const SessionScore* score) {
        if (score->plan) return false;
        const auto work = cued_windows(*score);
        return work.empty() || std::none_of(all.begin(), all.end(), [&](const SessionScore* other) {
                   return other->plan && follows_plan(work, *other->plan);
               });
    });
    return training;
}

// Null where no session names a plan.
const SessionScore* latest_by_plan(const std::vector<const SessionScore*>& training) {
    const auto latest = std::find_if(training.rbegin(), training.rend(), [](const SessionScore* score) { return score->plan.has_value(); });
    return latest == training.rend() ? nullptr : *latest;
}

// Of the sessions by the latest plan.
std::vector<StepDone> steps_done(const std::vector<const SessionScore*>& training) {
    const SessionScore* latest = latest_by_plan(training);
    if (latest == nullptr) return {};
    std::vector<StepDone> steps;
    const Plan& plan = *latest->plan;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        if (plan.steps[i].kind != StepKind::rest)
            steps.push_back({.step = static_cast<int>(i), .name = step_name(plan.steps, i)});
    }
    for (const SessionScore* score : training) {
        if (!muscle_seen(*score) || plan_identity(*score) != plan_identity(*latest)) continue;
        for (const StepScore& seen : score->steps) {
            const auto step =
                std::find_if(steps.begin(), steps.end(), [&](const StepDone& one) { return one.step == seen.step; });
            if (step == steps.end()) continue;
            ++step->sessions;
            step->planned += static_cast<std::size_t>(plan.steps[static_cast<std::size_t>(step->step)].times);
            step->done += seen.done;
            step->missed += seen.missed;
            step->unusable += seen.unusable;
        }
    }
    std::erase_if(steps, [](const StepDone& step) { return step.sessions == 0; });
    return steps;
}

bool asks_alike(const Plan& a, const Plan& b) { return a.steps == b.steps && a.dose == b.dose; }

// The weeks of a plan, of all its changes too, and the sessions that fell into them: at least one, in order of time.
struct PlanWeeks {
    std::vector<const SessionScore*> sessions;
    sys_days surely_to = sys_days::max(), maybe_to = sys_days::max();  // see PrescribedWeeks
    bool outlived = false;                                             // a later session is of no weeks, or of those of another plan
};

bool has_plan_of(const PlanWeeks& weeks, const SessionScore& score) {
    return !score.plan || std::any_of(weeks.sessions.begin(), weeks.sessions.end(), [&](const SessionScore* other) {
        return other->plan && plan_identity(*other) == plan_identity(score);
    });
}

void set_ends(PlanWeeks& weeks) {
    weeks.surely_to = weeks.maybe_to = sys_days::max();
    const SessionScore* latest = latest_by_plan(weeks.sessions);
    if (latest == nullptr || !latest->plan->dose.weeks) return;
    const auto length = std::chrono::days{static_cast<std::chrono::days::rep>(*latest->plan->dose.weeks * 7.0)} - std::chrono::days{1};
    const auto named = std::find_if(weeks.sessions.begin(), weeks.sessions.end(), [](const SessionScore* score) { return score->plan.has_value(); });
    const auto alike = std::find_if(named, weeks.sessions.end(), [&](const SessionScore* score) { return score->plan && asks_alike(*score->plan, *latest->plan); });
    const sys_days first = day_of(*weeks.sessions.front()), own = alike == named ? first : day_of(**alike);
    weeks.surely_to = own > first + length ? own + length : first + length;
    if (weekly_sessions(latest->plan->dose)) weeks.maybe_to = own + length;
    if (weeks.maybe_to != sys_days::max() && day_of(*weeks.sessions.back()) > weeks.surely_to) weeks.surely_to = weeks.maybe_to;
}

// In: the sessions before those of the course, and these, each in order of time. after: those of them that are of no weeks.
std::vector<PlanWeeks> weeks_of_plans(const std::vector<const SessionScore*>& all, std::set<const SessionScore*>& after) {
    std::vector<PlanWeeks> weeks;
    for (const SessionScore* score : all) {
        const bool over = !weeks.empty() && day_of(*score) > weeks.back().maybe_to;
        if (over) weeks.back().outlived = true;
        if (over && has_plan_of(weeks.back(), *score)) {
            after.insert(score);
            continue;
        }
        if (weeks.empty() || over) weeks.emplace_back();
        weeks.back().sessions.push_back(score);
        set_ends(weeks.back());
    }
    return weeks;
}

// The plan in force at the end of a week; the first one known before any.
const Plan* plan_in(const std::vector<const SessionScore*>& training, const CourseWeek& week) {
    const Plan* plan = nullptr;
    for (const SessionScore* score : training) {
        const bool begun = day_of(*score) < week.monday + std::chrono::days{7};
        if (score->plan && (begun || plan == nullptr)) plan = &*score->plan;
    }
    return plan;
}

double days_within(const CourseWeek& week, const CountedDays& period) {
    const sys_days from = std::max(week.monday, period.from), to = std::min(week.monday + std::chrono::days{6}, period.to);
    return static_cast<double>(std::max<std::chrono::days::rep>(0, (to - from).count() + 1));
}

// The part of a calendar week with which weeks of a plan that do not begin on a Monday begin.
struct FirstPart {
    double open_days = 0.0, due = 0.0, ahead = 0.0;  // due: sessions; ahead: those of them that its days alone would not ask for
};

// A dose of some days a week leaves open which: sessions of a part week that fit into its days and the dose were not too many.
// What the first part asked for beyond its days is not asked for again at the end, and where both parts make a week of the
// plan they ask for no more than one.
double due_sessions(const Dose& dose, double weekly, double open_days, std::size_t done, const FirstPart& first) {
    const bool is_last_part = open_days < 7.0 && first.open_days > 0.0;
    const double weeks = std::ceil((first.open_days + open_days) / 7.0);
    const double left = is_last_part ? std::max(0.0, weeks * weekly - first.due) : weekly;
    const double most = std::min(left, *dose.sessions_per_day * std::min(open_days, *dose.days_per_week));
    const double by_days = weekly * open_days / 7.0 - (is_last_part ? first.ahead : 0.0);
    return std::max({0.0, by_days, std::min(static_cast<double>(done), most)});
}

void add_dose(CourseWeek& week, const PlanWeeks& weeks, const CountedDays& period, FirstPart& first) {
    const Plan* plan = plan_in(weeks.sessions, week);
    const auto weekly = plan != nullptr ? weekly_sessions(plan->dose) : std::nullopt;
    if (!weekly) week.planned_sessions.reset(), week.planned_contractions.reset();
    if (!week.planned_sessions) return;
    const double open_days = days_within(week, period);
    const auto done = std::count_if(weeks.sessions.begin(), weeks.sessions.end(), [&](const SessionScore* score) {
        return monday_of(day_of(*score)) == week.monday && day_of(*score) >= period.from;
    });
    const double due = due_sessions(plan->dose, *weekly, open_days, static_cast<std::size_t>(done), first);
    if (open_days < 7.0 && first.open_days == 0.0) first = {open_days, due, due - *weekly * open_days / 7.0};
    *week.planned_sessions += due;
    *week.planned_contractions += due * contractions_of(*plan);
}

void add_session(CourseWeek& week, const SessionScore& score, bool after_plan) {
    const CourseSession session = course_session(score, 0, score.recording.start->local);
    ++week.sessions;
    week.contractions += session.contractions;
    week.counting += session.counting;
    ++week.days[static_cast<std::size_t>((session.day - week.monday).count())];
    if (!after_plan) return;
    ++week.after_plan.sessions;
    week.after_plan.contractions += session.contractions;
    week.after_plan.counting += session.counting;
}

double longest_gap(const std::vector<const SessionScore*>& training) {
    double longest = 0.0;
    for (std::size_t i = 1; i < training.size(); ++i) {
        const auto gap = training[i]->recording.start->local - training[i - 1]->recording.start->local;
        longest = std::max(longest, std::chrono::duration<double, std::ratio<86400>>(gap).count());
    }
    return longest;
}

// The last one that the adherence counts, and those of another plan or of none.
sys_days last_recording_of(const std::vector<const SessionScore*>& training, const AdmittedSessions& sessions) {
    sys_days last = std::max(day_of(*training.back()), sessions.last_other_plan.value_or(day_of(*training.back())));
    for (const SessionScore* score : all_training_of(sessions)) last = std::max(last, day_of(*score));
    return last;
}

// Of the latest plan; latest: its weeks, and those of its changes.
std::optional<PrescribedWeeks> prescribed_weeks(const PlanWeeks& latest, const std::vector<const SessionScore*>& training,
                                                const AdmittedSessions& sessions, const CourseSettings& settings) {
    const SessionScore* by_plan = latest_by_plan(latest.sessions);
    if (by_plan == nullptr || !by_plan->plan->dose.weeks) return std::nullopt;
    const sys_days last = day_of(*latest.sessions.back());
    PrescribedWeeks weeks{.weeks = *by_plan->plan->dose.weeks,
                          .last_day = latest.surely_to,
                          .last_session = day_of(*training.back()),
                          .last_recording = last_recording_of(training, sessions),
                          .counted_to = latest.outlived ? std::max(last, latest.surely_to) : last};
    const auto until = settings.count_until ? settings.count_until : settings.today;
    if (!until) return weeks;
    weeks.counted_on = settings.count_until || by_plan->plan->dose.count_all_weeks;
    weeks.counted_to = std::max(weeks.counted_to, std::min(*until, weeks.last_day));
    const bool may_lie_between = sessions.undated + sessions.impossible_dates > 0;
    if (!may_lie_between) weeks.silent_days = std::max<std::chrono::days::rep>(0, (weeks.counted_to - weeks.last_recording).count());
    return weeks;
}

// From the first session, or the start, to the last, or to the last day of the weeks where a later session shows that they are over, or as far as
// they count.
CountedDays period_of(const PlanWeeks& weeks, sys_days start, const PrescribedWeeks* latest) {
    CountedDays period{std::max(start, day_of(*weeks.sessions.front())), day_of(*weeks.sessions.back())};
    if (weeks.outlived) period.to = std::max(period.to, weeks.surely_to);
    if (latest != nullptr && latest->counted_on) period.to = std::max(period.to, latest->counted_to);
    return period;
}

// Only those on days before the first of the course.
std::vector<const SessionScore*> earlier_training(const AdmittedSessions& before, sys_days first) {
    std::size_t without_plan = 0;
    std::vector<const SessionScore*> training = training_of(before, without_plan);
    std::erase_if(training, [&](const SessionScore* score) { return day_of(*score) >= first; });
    return training;
}

std::vector<CourseWeek> weeks_of(const std::vector<const SessionScore*>& training, sys_days from, sys_days to, const std::set<const SessionScore*>& after) {
    std::vector<CourseWeek> weeks;
    for (sys_days monday = monday_of(from); monday <= to; monday += std::chrono::days{7}) {
        CourseWeek& week = weeks.emplace_back(empty_week(monday));
        week.planned_sessions = week.planned_contractions = 0.0;
        for (const SessionScore* score : training) {
            if (monday_of(day_of(*score)) == monday) add_session(week, *score, after.contains(score));
        }
    }
    return weeks;
}

void add_held(Held& sum, const Held& more) {
    sum.sessions += more.sessions;
    sum.contractions += more.contractions;
    sum.counting += more.counting;
}

void add_totals(Adherence& adherence) {
    const auto planned = [](const CourseWeek& week) { return week.planned_sessions.has_value(); };
    if (!adherence.weeks.empty() && std::all_of(adherence.weeks.begin(), adherence.weeks.end(), planned)) {
        adherence.planned_sessions = adherence.planned_contractions = 0.0;
    }
    for (const CourseWeek& week : adherence.weeks) {
        adherence.sessions += week.sessions;
        adherence.within_dose += within_dose(week);
        adherence.contractions += week.contractions;
        adherence.counting += week.counting;
        add_held(adherence.after_plan, week.after_plan);
        if (!adherence.planned_sessions) continue;
        *adherence.planned_sessions += *week.planned_sessions;
        *adherence.planned_contractions += *week.planned_contractions;
    }
}

}  // namespace

Adherence follow_dose(const AdmittedSessions& sessions, const CourseSettings& settings) {
    Adherence adherence;
    adherence.undated_sessions = sessions.undated;
    adherence.impossible_dates = sessions.impossible_dates;
    adherence.other_plans = sessions.other_plans;
    const auto training = training_of(sessions, adherence.without_plan);
    if (training.empty()) {
        adherence.reason = "no dated training session";
        return adherence;
    }
    const sys_days first = day_of(*training.front());
    const AdmittedSessions before = admit_sessions(settings.before, settings.today);
    std::vector<const SessionScore*> all = earlier_training(before, first);
    all.insert(all.end(), training.begin(), training.end());
    std::set<const SessionScore*> after;
    const std::vector<PlanWeeks> plans = weeks_of_plans(all, after);
    adherence.prescribed = prescribed_weeks(plans.back(), training, sessions, settings);
    const sys_days start = std::min(first, settings.count_from.value_or(first));
    sys_days from = first, to = day_of(*training.back());
    std::vector<const PlanWeeks*> counted;
    for (const PlanWeeks& plan : plans) {
        const bool latest = &plan == &plans.back() && adherence.prescribed;
        const CountedDays period = period_of(plan, start, latest ? &*adherence.prescribed : nullptr);
        if (period.to < period.from) continue;
        counted.push_back(&plan);
        adherence.counted.push_back(period);
        from = std::min(from, period.from);
        to = std::max(to, period.to);
    }
    adherence.weeks = weeks_of(training, from, to, after);
    for (std::size_t i = 0; i < counted.size(); ++i) {
        FirstPart part;
        for (CourseWeek& week : adherence.weeks) {
            if (days_within(week, adherence.counted[i]) > 0.0) add_dose(week, *counted[i], adherence.counted[i], part);
        }
    }
    add_totals(adherence);
    adherence.longest_gap_days = longest_gap(training);
    adherence.steps = steps_done(training);
    if (adherence.planned_sessions) return adherence;
    adherence.counted.clear();
    adherence.reason = "no plan prescribes a number of sessions";
    return adherence;
}

}  // namespace tracehold
