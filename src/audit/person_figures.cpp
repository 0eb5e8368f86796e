// Everything said of a person comes from their course, so that the audit and the course cannot disagree.
#include "audit/person_figures.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "tracehold/core/version.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

using std::chrono::days;
using std::chrono::sys_days;

// Resting activity is the median of this many last sessions: one odd session does not decide. Our choice.
constexpr std::size_t kLastSessions = 3;

// Who has not come for longer has stopped. Our choice: two sessions of a plan that asks for one a week.
constexpr days kStoppedAfter{14};

sys_days day_of(const SessionRecord& record) { return std::chrono::floor<days>(record.start->local); }

bool before_period(const SessionRecord& record, const AuditSettings& settings) {
    return record.start && settings.from && day_of(record) < *settings.from;
}

void sort_records(std::vector<SessionRecord>& records) {
    const auto key = [](const SessionRecord& r) {
        const auto start = r.start ? r.start->local : std::chrono::sys_time<std::chrono::milliseconds>{};
        return std::tuple(!r.start, start, std::string_view(r.source), std::string_view(r.sha256), r.duration_s,
                          r.usable, r.done, r.means, std::string_view(r.group), r.reviewed);
    };
    std::sort(records.begin(), records.end(),
              [&](const SessionRecord& a, const SessionRecord& b) { return key(a) < key(b); });
}

// Indices of the recordings that take part, each once, in order of time.
std::vector<std::size_t> admitted_of(const Course& course) {
    std::set<std::size_t> indices;
    for (const Phase& phase : course.phases) {
        for (const CourseSession& session : phase.sessions) indices.insert(session.score);
    }
    return {indices.begin(), indices.end()};
}

void count_recordings(PersonFigures& figures, const std::vector<SessionRecord>& records, std::span<const SessionScore> scores,
                      const std::vector<std::size_t>& admitted) {
    figures.first = figures.last = day_of(records[admitted.front()]);
    for (const std::size_t i : admitted) {
        const SessionRecord& record = records[i];
        MonthFigures& month = figures.months[month_text(day_of(record))];
        ++figures.recordings;
        ++month.recordings;
        figures.usable += record.usable ? 1 : 0;
        month.usable += record.usable ? 1 : 0;
        if (scores[i].tool_version != kVersion) {
            ++figures.by_other_version;
            figures.other_versions.insert(scores[i].tool_version);
        }
        figures.hashes.push_back(record.sha256);
        figures.first = std::min(figures.first, day_of(record));
        figures.last = std::max(figures.last, day_of(record));
    }
}

void place_in_group(PersonFigures& figures, const std::vector<SessionRecord>& records,
                    std::span<const SessionScore> scores, const std::vector<std::size_t>& admitted, Grouping by) {
    if (by != Grouping::site && by != Grouping::column) return;
    for (const std::size_t i : admitted) {
        const std::string group = by == Grouping::column ? records[i].group : scores[i].recording.site;
        if (group.empty()) continue;
        if (figures.group.empty()) figures.group = group;
        figures.several_groups = figures.several_groups || group != figures.group;
    }
}

void follow_adherence(PersonFigures& figures, const Adherence& adherence) {
    for (const CourseWeek& week : adherence.weeks) {
        if (!week.planned_sessions || *week.planned_sessions <= 0.0) continue;
        MonthFigures& month = figures.months[month_text(week.monday + days{3})];
        month.planned_sessions += *week.planned_sessions;
        month.sessions += within_dose(week);
    }
    if (!adherence.planned_sessions) return;
    figures.planned_sessions = *adherence.planned_sessions;
    figures.sessions = adherence.within_dose;
    figures.weeks_not_stated = !adherence.prescribed;
}

// Asked of who could have stopped: begun for longer than it takes to be missed.
void follow_coming(PersonFigures& figures, const Course& course, const CountedWeeks& weeks) {
    const auto& prescribed = course.adherence.prescribed;
    if (!prescribed || !weeks.until || course.adherence.without_day() > 0) return;
    std::optional<sys_days> first;
    for (const Phase& phase : course.phases) {
        if (phase.purpose == PlanPurpose::training) first = std::min(first.value_or(phase.sessions.front().day), phase.sessions.front().day);
    }
    const sys_days end = std::min(*weeks.until, prescribed->last_day);
    if (first && end - *first > kStoppedAfter) figures.kept_coming = end - prescribed->last_recording <= kStoppedAfter;
}

void follow_changes(PersonFigures& figures, const Course& course) {
    for (const Phase& phase : course.phases) {
        for (const MeasureChange& measure : phase.measures) {
            if (!measure.primary || !measure.statement) continue;
            Direction& direction = figures.directions[measure.key];
            direction.seen = true;
            direction.more = direction.more || measure.statement == Statement::more;
            direction.less = direction.less || measure.statement == Statement::less;
            direction.none_shown = direction.none_shown || measure.statement == Statement::no_change_shown;
        }
    }
    for (const auto& [key, direction] : figures.directions) {
        const bool moved = direction.more || direction.less;
        if (moved || direction.none_shown) figures.changed = figures.changed.value_or(false) || moved;
    }
}

struct RestPoints {
    const Phase* phase = nullptr;
    const std::vector<CoursePoint>* points = nullptr;

    // Training before assessment; then the one that goes on longest.
    std::pair<bool, double> rank() const {
        if (phase == nullptr) return {false, -1.0};
        return {phase->purpose == PlanPurpose::training, phase->sessions[points->back().session].since_first_days};
    }
};

// Never of sessions in which it lacks what was subtracted; within a phase all or none.
RestPoints latest_rest(const Course& course, std::span<const SessionScore> scores) {
    RestPoints best;
    for (const Phase& phase : course.phases) {
        if (rest_reads_low(scores[phase.sessions.front().score])) continue;
        for (const MeasureChange& measure : phase.measures) {
            if (measure.key != "rest_mean_uv" || measure.points.empty()) continue;
            const RestPoints candidate{&phase, &measure.points};
            if (candidate.rank() > best.rank()) best = candidate;
        }
    }
    return best;
}

std::optional<double> rest_target(const SessionScore& score) {
    if (!score.plan) return std::nullopt;
    for (const Target& target : score.plan->targets) {
        if (target.measure == "rest_mean_uv" && target.below) return target.below;
    }
    return std::nullopt;
}

void follow_rest(PersonFigures& figures, const Course& course, std::span<const SessionScore> scores) {
    const RestPoints rest = latest_rest(course, scores);
    if (rest.phase == nullptr) return;
    std::vector<double> last;
    const std::size_t n = rest.points->size();
    for (std::size_t i = n - std::min(n, kLastSessions); i < n; ++i) last.push_back((*rest.points)[i].value);
    figures.rest_uv = median(last);
    figures.plan_rest_below_uv = rest_target(scores[rest.phase->sessions[rest.points->back().session].score]);
}

// The first assessment on a day after training began.
std::optional<sys_days> assessed_again(const Course& course) {
    std::optional<sys_days> training, review;
    for (const Phase& phase : course.phases) {
        if (phase.purpose != PlanPurpose::training) continue;
        const sys_days day = phase.sessions.front().day;
        if (!training || day < *training) training = day;
    }
    if (!training) return std::nullopt;
    for (const Phase& phase : course.phases) {
        if (phase.purpose != PlanPurpose::assessment) continue;
        for (const CourseSession& session : phase.sessions) {
            if (session.day > *training && (!review || session.day < *review)) review = session.day;
        }
    }
    return review;
}

// begun: the day of the person's very first recording.
void follow_review(PersonFigures& figures, const Course& course, const std::vector<SessionRecord>& records, sys_days begun) {
    std::optional<sys_days> review = assessed_again(course);
    for (const SessionRecord& record : records) {
        if (!record.reviewed) continue;
        figures.early_review = figures.early_review || *record.reviewed < begun;
        if (*record.reviewed < figures.first) continue;
        if (!review || *record.reviewed < *review) review = record.reviewed;
    }
    if (review) figures.review_days = static_cast<double>((*review - figures.first).count());
}

}  // namespace

std::string month_text(sys_days day) { return date_text({day, std::nullopt}).substr(0, 7); }

bool outside_period(const SessionRecord& record, const AuditSettings& settings) {
    if (!record.start) return false;
    return before_period(record, settings) || (settings.to && day_of(record) > *settings.to);
}

PersonFigures figures_of(const std::string& person, std::vector<SessionRecord> records, const PersonBasis& basis) {
    const AuditSettings& settings = basis.settings;
    PersonFigures figures;
    const auto anonymous = std::erase_if(records, [](const SessionRecord& record) { return record.anonymous; });
    if (anonymous > 0) figures.left_out["anonymous"] = anonymous;
    if (person.empty() && !records.empty()) figures.left_out["no_person"] = records.size();
    if (person.empty()) return figures;
    CountedWeeks weeks{.until = basis.end, .from = settings.from, .before = {}};
    for (const SessionRecord& record : records) {
        if (before_period(record, settings)) weeks.before.push_back(basis.tally.score_of(record));
    }
    const auto outside =
        std::erase_if(records, [&](const SessionRecord& record) { return outside_period(record, settings); });
    if (outside > 0) figures.left_out["outside_period"] = outside;
    if (records.empty()) return figures;
    sort_records(records);
    std::vector<SessionScore> scores;
    for (const SessionRecord& record : records) {
        scores.push_back(basis.tally.score_of(record));
        scores.back().recording.person = person;
    }
    const Course course = basis.chart(scores, weeks);
    for (const LeftOut& left : course.left_out) ++figures.left_out[left.code];
    const auto admitted = admitted_of(course);
    if (admitted.empty()) return figures;
    count_recordings(figures, records, scores, admitted);
    place_in_group(figures, records, scores, admitted, settings.by);
    follow_adherence(figures, course.adherence);
    follow_coming(figures, course, weeks);
    follow_changes(figures, course);
    follow_rest(figures, course, scores);
    sys_days begun = figures.first;
    for (const SessionScore& score : weeks.before) begun = std::min(begun, std::chrono::floor<days>(score.recording.start->local));
    follow_review(figures, course, records, begun);
    return figures;
}

}  // namespace tracehold
