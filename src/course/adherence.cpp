// Only training counts: an assessment in the clinic is not a session of the dose. A session on a rejected signal was
// still held, so it counts as a session, but none of its contractions counts.
#include "course/adherence.hpp"

#include <algorithm>
#include <set>
#include <string_view>

#include "course/phases.hpp"

namespace tracehold {
namespace {

using std::chrono::days;
using std::chrono::sys_days;

sys_days monday_of(sys_days day) { return day - (std::chrono::weekday{day} - std::chrono::Monday); }

// ISO 8601: a week belongs to the year that holds its Thursday.
CourseWeek empty_week(sys_days monday) {
    const sys_days thursday = monday + days{3};
    const std::chrono::year year = std::chrono::year_month_day{thursday}.year();
    CourseWeek week;
    week.iso_year = static_cast<int>(year);
    week.iso_week = static_cast<unsigned>((thursday - sys_days{year / 1 / 1}) / days{7} + 1);
    week.monday = monday;
    return week;
}

std::optional<double> weekly_sessions(const Dose& dose) {
    if (!dose.sessions_per_day || !dose.days_per_week) return std::nullopt;
    return *dose.sessions_per_day * *dose.days_per_week;
}

double contractions_of(const Plan& plan) { return static_cast<double>(timeline(plan).size()); }

// Each recording once, also where several of its channels were scored.
std::vector<const SessionScore*> training_of(const AdmittedSessions& sessions) {
    std::vector<const SessionScore*> training;
    std::set<std::string_view> counted;
    for (const SessionScore* score : sessions.scores) {
        const std::string& content = score->recording.sha256;
        const bool is_new = content.empty() || counted.insert(content).second;
        if (is_new && purpose_of(*score) == PlanPurpose::training) training.push_back(score);
    }
    return training;
}

// The plan in force at the end of a week; the first session's before any.
const Plan* plan_in(const std::vector<const SessionScore*>& training, const CourseWeek& week) {
    const Plan* plan = training.front()->plan ? &*training.front()->plan : nullptr;
    for (const SessionScore* score : training) {
        if (day_of(*score) < week.monday + days{7} && score->plan) plan = &*score->plan;
    }
    return plan;
}

struct Period {
    sys_days from{}, to{};  // both counted
};

double days_within(const CourseWeek& week, const Period& period) {
    const sys_days from = std::max(week.monday, period.from), to = std::min(week.monday + days{6}, period.to);
    return static_cast<double>(std::max<days::rep>(0, (to - from).count() + 1));
}

void add_dose(CourseWeek& week, const Plan* plan, const Period& period) {
    if (plan == nullptr) return;
    const auto weekly = weekly_sessions(plan->dose);
    if (!weekly) return;
    week.planned_sessions = *weekly * days_within(week, period) / 7.0;
    week.planned_contractions = *week.planned_sessions * contractions_of(*plan);
}

void add_session(CourseWeek& week, const SessionScore& score) {
    const CourseSession session = course_session(score, 0, score.recording.start->local);
    ++week.sessions;
    week.contractions += session.contractions;
    week.counting += session.counting;
    ++week.days[static_cast<std::size_t>((session.day - week.monday).count())];
}

double longest_gap(const std::vector<const SessionScore*>& training) {
    double longest = 0.0;
    for (std::size_t i = 1; i < training.size(); ++i) {
        const auto gap = training[i]->recording.start->local - training[i - 1]->recording.start->local;
        longest = std::max(longest, std::chrono::duration<double, std::ratio<86400>>(gap).count());
    }
    return longest;
}

// From the first session to the last, or on to the end of the prescribed weeks as far as 'until'.
Period period_of(const std::vector<const SessionScore*>& training, std::optional<sys_days> until) {
    Period period{day_of(*training.front()), day_of(*training.back())};
    const auto& plan = training.back()->plan;
    if (!until || !plan || !plan->dose.weeks) return period;
    const auto length = days{static_cast<days::rep>(*plan->dose.weeks * 7.0)};
    period.to = std::max(period.to, std::min(*until, period.from + length - days{1}));
    return period;
}

void add_totals(Adherence& adherence) {
    const auto planned = [](const CourseWeek& week) { return week.planned_sessions.has_value(); };
    if (!adherence.weeks.empty() && std::all_of(adherence.weeks.begin(), adherence.weeks.end(), planned)) {
        adherence.planned_sessions = adherence.planned_contractions = 0.0;
    }
    for (const CourseWeek& week : adherence.weeks) {
        adherence.sessions += week.sessions;
        adherence.contractions += week.contractions;
        adherence.counting += week.counting;
        if (!adherence.planned_sessions) continue;
        *adherence.planned_sessions += *week.planned_sessions;
        *adherence.planned_contractions += *week.planned_contractions;
    }
}

}  // namespace

Adherence follow_dose(const AdmittedSessions& sessions, std::optional<sys_days> until) {
    Adherence adherence;
    adherence.undated_sessions = sessions.undated;
    const auto training = training_of(sessions);
    if (training.empty()) {
        adherence.reason = "no dated training session";
        return adherence;
    }
    const Period period = period_of(training, until);
    for (sys_days monday = monday_of(period.from); monday <= period.to; monday += days{7}) {
        CourseWeek& week = adherence.weeks.emplace_back(empty_week(monday));
        add_dose(week, plan_in(training, week), period);
        for (const SessionScore* score : training) {
            if (monday_of(day_of(*score)) == monday) add_session(week, *score);
        }
    }
    add_totals(adherence);
    adherence.longest_gap_days = longest_gap(training);
    if (!adherence.planned_sessions) adherence.reason = "no plan says how many sessions a day and days a week";
    return adherence;
}

}  // namespace tracehold
