#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <utility>

#include "report/course_attendance.hpp"
#include "report/course_definitions.hpp"
#include "report/course_parts.hpp"
#include "report/course_tables.hpp"
#include "report/en/course.hpp"
#include "report/limits_and_cautions.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/did_it_happen.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

void add_title(std::string& titles, const std::string& title) {
    if (!title.empty()) titles += (titles.empty() ? "" : ", ") + title;
}

// What names a phase: purpose, contractions, posture, channel, processing.
std::array<std::string, 5> name_parts(const Phase& phase) {
    const bool assessed = phase.purpose == PlanPurpose::assessment;
    const std::string lengths = phase.lengths.empty() ? "" : fmt::format("{} {}", to_string(phase.contraction), lengths_text(phase.lengths));
    return {assessed ? words::kAssessment : "", phase.step_name.empty() ? lengths : phase.step_name,
            phase.posture.empty() ? words::kPostureNotStated : phase.posture, phase.channel, fmt::format("{} ({})", to_string(phase.kind), phase.processing)};
}

std::string phase_name(const Phase& phase) {
    std::string name;
    for (const std::string& part : name_parts(phase)) add_title(name, part);
    return name;
}

// What tells it from the others; where nothing does, or the contractions alone have no name, all of it.
std::string short_name(const Phase& phase, const Course& course) {
    if (course.phases.size() < 2) return "";
    const auto own = name_parts(phase);
    std::string name;
    for (std::size_t i = 0; i < own.size(); ++i) {
        if (std::any_of(course.phases.begin(), course.phases.end(), [&](const Phase& other) { return name_parts(other)[i] != own[i]; }))
            add_title(name, own[i]);
    }
    return name.empty() || own[1].empty() ? phase_name(phase) : name;
}

bool has_moved(const MeasureChange& change) { return is_enough(change) && *change.statement != Statement::no_change_shown; }

// A line for each measure that moved, in one direction or not, and for each that stays level; all that did not move share one, and so do those of
// which nothing can be said for another reason than too few days (see SideBySide). Their figures stand in the tables, those of a plateau nowhere else.
std::vector<std::string> statements_on(const Phase& phase) {
    std::vector<std::string> lines, level;
    std::string same, lacking, reason;
    for (const MeasureChange* change : primary_measures(phase)) {
        if (has_moved(*change) || astray(*change) != Astray::no) {
            lines.push_back(with_minus(change->text));
            if (const std::string set_up = set_up_question(phase); change->key == "hold_mean_uv" && !set_up.empty()) lines.push_back(set_up);
        } else if (is_enough(*change)) {
            add_title(same, change->title);
        } else if (!only_side_by_side(*change) && phase.purpose != PlanPurpose::assessment) {
            add_title(lacking, change->title);
            reason = change->reason;
        }
        if (change->plateau) level.push_back(with_minus(change->plateau->text));
    }
    if (!same.empty()) lines.push_back(fmt::format(words::kNoChangeShownOf, same));
    lines.insert(lines.end(), level.begin(), level.end());
    if (!lacking.empty()) lines.push_back(fmt::format(words::kNotEnoughToSayOf, lacking, reason));
    return lines;
}

// "motion in 4 sessions: a.edf, b.edf, c.edf and 1 more"
std::string caution_text(const CourseCaution& caution) {
    constexpr std::size_t kNamed = 3;
    std::string what = caution.code;
    std::replace(what.begin(), what.end(), '_', ' ');
    std::string text = fmt::format("{} in {}: ", what, counted(caution.sessions.size(), "session"));
    for (std::size_t i = 0; i < std::min(kNamed, caution.sessions.size()); ++i) text += (i == 0 ? "" : ", ") + caution.sessions[i];
    if (caution.sessions.size() > kNamed) text += fmt::format(" and {} more", caution.sessions.size() - kNamed);
    return text;
}

// Of several; one is compared with none.
std::size_t without_posture(const Course& course) {
    std::set<std::size_t> sessions;
    for (const Phase& phase : course.phases) {
        if (!phase.posture.empty() || phase.sessions.size() < 2) continue;
        for (const CourseSession& session : phase.sessions) sessions.insert(session.score);
    }
    return sessions.size();
}

// Of the signals alone; the figures of a caution stand on the session's own page.
Answer trusted(const Course& course) {
    Answer answer{.question = words::kTrusted, .text = {}, .tone = Tone::plain, .details = {}};
    const std::size_t judged = course.used + course.rejected;
    if (none_has_a_day(course))
        answer.text = fmt::format(words::kSignalsNotLookedAt,
                                  counted(course.found, "recording"));
    else if (judged == 0)
        answer.text = words::kNoSignalToLookAt;
    else if (course.rejected == 0)
        answer.text = fmt::format(words::kCouldBeScored, counted(judged, "signal"));
    else
        answer.text = fmt::format(words::kSomeCouldBeScored, course.used,
                                  counted(judged, "signal"), course.rejected);
    if (course.used == 0 && judged > 0)
        answer.text += ".";
    else if (judged > 0) {
        answer.text += course.used_with_caution == 0
                           ? words::kNoCautionOnScored
                           : fmt::format(words::kScoredWithACaution, course.used_with_caution);
    }
    if (const std::size_t corrected = corrected_sessions(course); corrected > 0)
        answer.details.push_back({fmt::format(words::kWithCorrectionsByHand, counted(corrected, "session")), Tone::plain});
    if (const std::size_t unstated = without_posture(course); unstated > 0)
        answer.details.push_back({fmt::format(words::kWithoutAPosture, counted(unstated, "session")), Tone::caution});
    for (const CourseCaution& caution : course.cautions) answer.details.push_back({caution_text(caution), Tone::plain});
    if (course.rejected + course.used_with_caution > 0) answer.tone = Tone::caution;
    return answer;
}

// How many tested measures are shown to have moved, and how many went beyond the error without that.
struct Moved {
    std::size_t shown = 0, no_direction = 0, unsure = 0;

    void take(const MeasureChange& change) {
        shown += has_moved(change) ? 1 : 0;
        no_direction += astray(change) == Astray::no_direction ? 1 : 0;
        unsure += astray(change) == Astray::unsure ? 1 : 0;
    }
    std::string text(std::size_t tested) const {
        const std::string of = counted(tested, words::kTestedMeasure);
        const bool none = shown == 0 && no_direction + unsure > 0;
        std::string text;
        if (!none) text = fmt::format(words::kMovedBeyondError, shown == 0 ? words::kNoMeasure : fmt::format("{}", shown), of);
        const auto add = [&](std::size_t count, const std::string& how) {
            if (count > 0) text += text.empty() ? fmt::format("{} of {} {}", count, of, how) : fmt::format("; {} more {}", count, how);
        };
        add(no_direction, words::kBeyondButAstray);
        add(unsure, fmt::format(words::kBeyondButUnsure, tested));
        return none ? text + words::kNoChangeIsShown : text;
    }
};

// Measures with a first and a now value and too few days for a statement, beside the published error; and steps of assessments of which
// nothing can be said. The reason is the same for most of them and said once.
class SideBySide {
public:
    void take(const Phase& phase, const Course& course) {
        for (const MeasureChange* change : primary_measures(phase)) {
            if (is_enough(*change)) continue;
            const std::string where = short_name(phase, course);
            if (!only_side_by_side(*change)) {
                if (phase.purpose == PlanPurpose::assessment) add_title(group_of(change->reason).lacking, where.empty() ? phase.step_name : where);
                continue;
            }
            Group& group = group_of(change->reason);
            std::string& list = !change->beyond_published ? group.unknown : *change->beyond_published ? group.beyond : group.within;
            list += fmt::format("{}{}{}{}", list.empty() ? "" : "; ", where, where.empty() ? "" : ": ", with_minus(went_in_words(*change)));
            if (change->beyond_published) group.error = with_minus(needed_text(*change));
            if (change->beyond_published) ++known_, beyond_ += *change->beyond_published ? 1 : 0;
        }
    }
    void tell(Answer& answer) const {
        for (const Group& group : groups_) {
            const auto add = [&](const std::string& list, const std::string& how) {
                if (!list.empty()) answer.details.push_back({fmt::format(words::kFirstToNow, how, list), Tone::plain});
            };
            add(group.beyond, fmt::format(words::kBeyondPublished, group.error));
            add(group.within, fmt::format(words::kWithinPublished, group.error));
            add(group.unknown, words::kNoPublishedErrorIsKnown);
            if (!group.error.empty()) answer.details.push_back({fmt::format(words::kNoClaimWithWhy, group.reason, words::kPublishedErrorOfOneSession), Tone::plain});
            else if (!group.unknown.empty()) answer.details.push_back({fmt::format(words::kNoClaim, group.reason), Tone::plain});
            if (!group.lacking.empty())
                answer.details.push_back({fmt::format(words::kAssessmentsNotEnough, group.lacking, group.reason), Tone::plain});
        }
    }
    // "2 of 3 measures differ from first to now by more than the published error."; "" where none has one.
    std::string counted_text() const {
        if (known_ == 0) return "";
        return fmt::format(words::kMovedBeyondPublished, beyond_ == 0 ? words::kNoMeasure : fmt::format("{}", beyond_),
                           counted(known_, "measure"), beyond_ == 1 ? "differs" : "differ");
    }

private:
    struct Group {
        std::string reason, error, beyond, within, unknown, lacking;
    };
    static std::string went_in_words(const MeasureChange& change) { return fmt::format("{} {}", change.title, went_text(change)); }
    Group& group_of(const std::string& reason) {
        auto same = std::find_if(groups_.begin(), groups_.end(), [&](const Group& group) { return group.reason == reason; });
        if (same == groups_.end()) same = groups_.insert(same, {.reason = reason});
        return *same;
    }
    std::vector<Group> groups_;
    std::size_t known_ = 0, beyond_ = 0;
};

// "One line. A question? Another line"
std::string as_sentences(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) text += (text.empty() ? "" : text.ends_with('?') || text.ends_with('.') ? " " : ". ") + line;
    return text;
}

// Several lines of a phase are one entry, so that its name is read once.
void add_statements(Answer& answer, const Phase& phase, const Course& course) {
    const std::vector<std::string> lines = statements_on(phase);
    const std::string where = short_name(phase, course);
    if (where.empty()) {
        for (const std::string& line : lines) answer.details.push_back({line, Tone::plain});
    } else if (!lines.empty()) {
        answer.details.push_back({fmt::format("{}: {}", where, as_sentences(lines)), Tone::plain});
    }
}

// What changed beyond measurement error?
Answer changed(const Course& course) {
    Answer answer{.question = words::kChanged, .text = {}, .tone = Tone::plain, .details = {}};
    Moved moved;
    SideBySide side_by_side;
    std::string described;        // steps of assessments of whose kind another one is tested
    std::set<std::string> plans;  // each stands in the phase of each step
    for (const Phase& phase : course.phases) {
        for (const MeasureChange* change : primary_measures(phase)) moved.take(*change);
        answer.terms = {{words::kMeasurementError, 0, kNeeded}, {"statement", 0, kStatement}};
        if (phase.lengths_change) answer.details.push_back({lengths_apart(phase), Tone::caution});
        for (const PlanChange& plan : phase.plan_changes)
            plans.insert(fmt::format(words::kByAnotherPlanFrom,
                                     plan.plan.empty() ? words::kThatIsNotNamed : " (" + plan.plan + ")", day_text(plan.day)));
        add_statements(answer, phase, course);
        side_by_side.take(phase, course);
        if (phase.step && !phase.first_of_kind && phase.contraction != StepKind::rest) described += (described.empty() ? "" : "; ") + phase.step_name;
    }
    side_by_side.tell(answer);
    if (!described.empty()) answer.details.push_back({fmt::format(words::kStepsDescribedOnly, described), Tone::plain});
    for (const std::string& plan : plans) answer.details.push_back({plan, Tone::caution});
    answer.text =
        none_has_a_day(course) ? std::string(words::kWithoutDates)
        : all_of_other_plans(course) ? std::string(words::kNoRecordingOfThePlan)
        : none_could_be_scored(course) ? std::string(words::kNoSignalScored)
        : course.used == 1     ? std::string(words::kOneSessionOnly)
        : course.tested_measures == 0
            ? std::string(words::kTooFewSessions) + side_by_side.counted_text() +
                  (course.used > 0 ? words::kTablesSideBySide : "")
            : moved.text(course.tested_measures) +
                  words::kTestedTogether;
    return answer;
}

Answer to_ask(const Course& course) {
    Answer answer{.question = words::kAsk, .text = {}, .tone = Tone::plain, .details = {}};
    const bool none_scored = none_could_be_scored(course);
    const bool nothing = course.questions.empty() && !none_scored;
    answer.text = !nothing ? words::kQuestionsNeverAPrescription : !course.waiting.empty() ? words::kNothingYet : words::kNoRuleOfTheTableApplies;
    if (none_has_a_day(course)) answer.text = words::kIsTheClockSet;
    if (none_scored)
        answer.details.push_back({words::kAreElectrodesAsTheyShouldBe, Tone::plain});
    for (const Question& question : course.questions) {
        answer.details.push_back({with_minus(fmt::format(words::kSeen, question.text, question.evidence)), Tone::plain});
        for (const std::string& later : question.later)
            answer.details.push_back({fmt::format("{} {}", words::kAppliesButOneAtATime, later), Tone::plain});
    }
    for (const WaitingQuestion& one : course.waiting)
        answer.details.push_back({with_minus(fmt::format("{} {}. {}", words::kAppliesButWaitsWhile, one.because, one.text)), Tone::plain});
    return answer;
}

Section phase_section(const Phase& phase) {
    Section section{phase_name(phase), {}};
    const std::string from = day_text(phase.sessions.front().day), to = day_text(phase.sessions.back().day);
    std::string about = counted(phase.sessions.size(), "session") + (from == to ? " on " + from : fmt::format(" from {} to {}", from, to));
    about += phase.contraction == StepKind::rest ? words::kRestingActivity : fmt::format(", {} contractions", to_string(phase.contraction));
    if (!phase.step_name.empty()) about += ", step " + phase.step_name;
    section.blocks.emplace_back(Paragraph{about + ".", Tone::plain});
    if (phase.lengths_change) section.blocks.emplace_back(Paragraph{lengths_apart(phase) + ".", Tone::caution});
    if (phase.threshold_change) section.blocks.emplace_back(Paragraph{threshold_apart(phase) + ".", Tone::caution});
    for (const PlanChange& change : phase.plan_changes) {
        section.blocks.emplace_back(Paragraph{
            fmt::format(words::kFromByAnotherPlan, day_text(change.day), change.plan.empty() ? "none" : change.plan), Tone::caution});
    }
    if (auto figure = phase_figure(phase)) section.blocks.emplace_back(std::move(*figure));
    if (ReportTable table = change_table(phase); !table.rows.empty()) section.blocks.emplace_back(std::move(table));
    if (List days = days_behind(phase); !days.items.empty()) section.blocks.emplace_back(std::move(days));
    if (ReportTable evidence = evidence_table(phase); !evidence.rows.empty()) section.blocks.emplace_back(std::move(evidence));
    return section;
}

Section questions_section(const std::vector<Question>& questions) {
    Section section{words::kWhereTheQuestionsComeFrom, {}};
    List list;
    for (const Question& question : questions) {
        list.items.push_back(fmt::format(words::kWhySourceRestsOn, question.text, question.reason, question.source, counted(question.sessions.size(), "session")));
    }
    section.blocks.emplace_back(std::move(list));
    return section;
}

// Enough of a hash to tell files apart on paper; the JSON has all of it.
std::string short_hash(const std::string& sha256) { return sha256.empty() ? "–" : sha256.substr(0, 16); }

std::string plans_text(const std::vector<const CourseSession*>& sessions) {
    std::string text;
    std::set<std::pair<std::string, std::string>> named;
    for (const CourseSession* session : sessions) {
        if (session->plan.empty() || !named.insert({session->plan, session->plan_sha256}).second) continue;
        text += (text.empty() ? "" : "; ") + file_text(session->plan, session->plan_sha256);
    }
    if (sessions.empty()) return words::kPlanOfNoSession;
    return text.empty() ? "none" : text;
}

ReportTable inputs_table(const std::vector<const CourseSession*>& sessions) {
    ReportTable table{words::kRecordingsCaption,
                      {{words::kRecordingColumn}, {"SHA-256 begins"}, {words::kPlanRow}, {words::kCorrectionsByHand, true}},
                      {},
                      {}};
    constexpr std::size_t kEnd = 250;  // our choice: of years of sessions the first and the last tell that the right ones were taken
    const bool all = sessions.size() <= 2 * kEnd;
    if (!all) table.caption += fmt::format(words::kFirstAndLastOf, sessions.size(), kEnd);
    for (std::size_t i = 0; i < sessions.size(); ++i) {
        if (!all && i >= kEnd && i < sessions.size() - kEnd) continue;
        const CourseSession* session = sessions[i];
        table.rows.push_back({Cell{session->source}, Cell{short_hash(session->sha256)},
                              Cell{session->plan.empty() ? "–" : session->plan},
                              Cell{fmt::format("{}", session->corrections.size())}});
    }
    return table;
}

// By whom and when, as the session's own page says it.
List corrections_of(const std::vector<const CourseSession*>& sessions) {
    List list;
    for (const CourseSession* session : sessions) {
        for (const Correction& correction : session->corrections)
            list.items.push_back(fmt::format("{}: {}", session->source, correction_text(correction)));
    }
    if (list.items.empty()) list.items.emplace_back(words::kNoCorrections);
    return list;
}

// Of a table whose hash may not be told, that it is one.
std::string rules_text(const std::optional<RulesFile>& rules) {
    if (!rules) return words::kRulesBuiltIn;
    return rules->name.empty() ? words::kRulesOwn : file_text(rules->name, rules->sha256);
}

Section course_making(const Course& course, const std::optional<RulesFile>& rules) {
    const auto sessions = sessions_of(course);
    Facts facts{{{words::kSoftwareRow, fmt::format("{} {}, definitions {}", kName, kVersion, kMeasuresVersion)},
                 {words::kPlanRow, plans_text(sessions)},
                 {words::kRulesRow, rules_text(rules)}}};
    std::set<std::string> named;
    for (const Phase& phase : course.phases) {
        if (named.insert(phase.processing).second) facts.items.push_back({words::kProcessing, phase.processing});
    }
    Section section{words::kMaking, {std::move(facts), corrections_of(sessions)}};
    if (!sessions.empty()) section.blocks.emplace_back(inputs_table(sessions));
    return section;
}

std::string days_text(const Course& course) {
    if (!course.first || !course.last) return "";
    const std::string first = date_text(*course.first), last = date_text(*course.last);
    return first == last ? ", " + first : fmt::format(", {} to {}", first, last);
}

}  // namespace

Report compose_course_report(const Course& course, const Figure* first_and_last, const std::optional<RulesFile>& rules) {
    Report report;
    report.title = fmt::format(words::kCourseReport, course.person.empty() ? words::kPersonNotNamed : course.person);
    report.title += days_text(course);
    std::string sessions = fmt::format(words::kFoundUsedLeftOut, course.found, course.used,
                                       course.rejected, course.left_out.size());
    if (const std::size_t tests = assessments_in(course).all; tests > 0) sessions += fmt::format(words::kOfTraining, course.used + course.rejected - tests, counted(tests, "assessment"));
    if (!course.refused.empty())
        sessions += fmt::format(words::kNotReadOrScored, counted(course.refused.size(), "file"));
    Facts facts{{{words::kSessions, std::move(sessions)}}};
    report.sections.push_back({"", {std::move(facts), Answers{{did_it_happen(course), trusted(course), changed(course), to_ask(course)}}}});
    for (const Phase& phase : course.phases) report.sections.push_back(phase_section(phase));
    if (first_and_last) report.sections.push_back({words::kFirstAndLastRecording, {*first_and_last}});
    if (!course.adherence.weeks.empty()) report.sections.push_back({words::kWeekByWeek, {calendar_of(course)}});
    if (Section steps = steps_section(course); !steps.blocks.empty()) report.sections.push_back(std::move(steps));
    if (!course.questions.empty()) report.sections.push_back(questions_section(course.questions));
    if (Section left_out = left_out_section(course); !left_out.blocks.empty())
        report.sections.push_back(std::move(left_out));
    if (Section definitions = course_definitions(course); !definitions.blocks.empty()) report.sections.push_back(std::move(definitions));
    report.sections.push_back(course_making(course, rules));
    report.sections.push_back(limits_section());
    report.sections.push_back(cautions_section());
    return report;
}

}  // namespace tracehold
