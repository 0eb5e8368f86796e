#include <fmt/format.h>

#include <algorithm>

#include "report/course_definitions.hpp"
#include "report/limits_and_cautions.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

std::string day_text(std::chrono::sys_days day) {
    CivilTime time;
    time.local = day;
    return date_text(time);
}

std::string planned_text(const std::optional<double>& planned) { return planned ? fixed_text(*planned, 0) : "–"; }

std::string counted(std::size_t count, std::string_view thing) { return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s"); }

// A share of less than a few is a rounding of part weeks, not adherence.
std::string percent_text(std::size_t done, const std::optional<double>& planned) {
    constexpr double kFewest = 3.0;
    return planned && *planned >= kFewest ? fmt::format(" ({} %)", fixed_text(100.0 * static_cast<double>(done) / *planned, 0)) : "";
}

std::string phase_name(const Phase& phase) {
    return fmt::format("{}{}{}, {}, {} ({})", phase.purpose == PlanPurpose::assessment ? "Assessment, " : "",
                       phase.step_name.empty() ? "" : phase.step_name + ", ", phase.posture.empty() ? "posture not stated" : phase.posture, phase.channel, to_string(phase.kind), phase.processing);
}

// Did she train?
Answer happened(const Course& course) {
    const Adherence& seen = course.adherence;
    Answer answer{.question = "Did it happen?", .text = {}, .tone = Tone::plain, .details = {}};
    if (seen.weeks.empty()) {
        answer.text = fmt::format("{} sessions found, none of them training with a date.", course.found);
        return answer;
    }
    answer.text = seen.planned_sessions
                      ? fmt::format("{} of {} prescribed sessions{} in {}; ", seen.sessions, planned_text(seen.planned_sessions),
                                    percent_text(seen.sessions, seen.planned_sessions), counted(seen.weeks.size(), "week"))
                      : fmt::format("{} in {} ({}); ", counted(seen.sessions, "session"), counted(seen.weeks.size(), "week"), seen.reason);
    answer.text += fmt::format("{} done on a signal that could be scored{}.", counted(seen.counting, "contraction"),
                               percent_text(seen.counting, seen.planned_contractions));
    if (seen.sessions > 1) answer.text += fmt::format(" Longest gap {} days.", fixed_text(seen.longest_gap_days, 0));
    if (course.rejected > 0) {
        answer.details.push_back({fmt::format("{} could not be scored: the signal was rejected.", counted(course.rejected, "session")), Tone::caution});
    }
    return answer;
}

std::vector<const MeasureChange*> primary_measures(const Phase& phase) {
    std::vector<const MeasureChange*> found;
    for (const MeasureChange& change : phase.measures) {
        if (change.primary) found.push_back(&change);
    }
    return found;
}

bool is_enough(const MeasureChange& change) { return change.statement && *change.statement != Statement::not_enough; }

bool has_moved(const MeasureChange& change) { return is_enough(change) && *change.statement != Statement::no_change_shown; }

// One line for each statement; what there is not enough for shares a line.
std::vector<std::string> statements_on(const Phase& phase) {
    std::vector<std::string> lines;
    std::string lacking, reason;
    for (const MeasureChange* change : primary_measures(phase)) {
        if (is_enough(*change)) {
            lines.push_back(change->text);
        } else {
            lacking += (lacking.empty() ? "" : ", ") + change->title;
            reason = change->reason;
        }
        if (change->plateau) lines.push_back(change->plateau->text);
    }
    if (!lacking.empty()) lines.push_back(fmt::format("not enough to say of {}: {}", lacking, reason));
    return lines;
}

// What changed beyond measurement error?
Answer changed(const Course& course) {
    Answer answer{.question = "What changed?", .text = {}, .tone = Tone::plain, .details = {}};
    std::ptrdiff_t moved = 0;
    for (const Phase& phase : course.phases) {
        moved += std::count_if(phase.measures.begin(), phase.measures.end(), [](const MeasureChange& change) { return change.primary && has_moved(change); });
        const std::string where = course.phases.size() > 1 ? phase_name(phase) + ": " : "";
        for (const std::string& line : statements_on(phase)) answer.details.push_back({where + line, Tone::plain});
    }
    answer.text = course.tested_measures == 0
                      ? "Too few sessions that can be compared to say anything of a change. The tables below put them side by side."
                      : fmt::format("{} of {} tested measures moved by more than measurement error. They were tested together, so that "
                                    "chance alone seldom shows any.",
                                    moved, course.tested_measures);
    return answer;
}

Answer to_ask(const Course& course) {
    Answer answer{.question = "What to ask next?", .text = {}, .tone = Tone::plain, .details = {}};
    answer.text = course.questions.empty() ? "No rule of the table applies." : "Questions, never a prescription:";
    for (const Question& question : course.questions) answer.details.push_back({fmt::format("{} Seen: {}.", question.text, question.evidence), Tone::plain});
    return answer;
}

std::string number_or_dash(const std::optional<double>& value, int decimals) { return value ? fixed_text(*value, decimals) : "–"; }

int decimals_of(const MeasureChange& change) { return change.unit == "%" ? 0 : change.unit == "s" ? 2 : 1; }

std::string said(const MeasureChange& change) {
    if (!change.statement) return "described only";
    switch (*change.statement) {
        case Statement::more: return "more";
        case Statement::less: return "less";
        case Statement::no_change_shown: return "no change shown";
        case Statement::not_enough: return "not enough";
    }
    return "";
}

ReportTable change_table(const Phase& phase) {
    ReportTable table{"First and current block of days; needed: what a change has to exceed",
                      {{"Measure"}, {"First", true, kFirstDays}, {"Now", true, kNowDays}, {"Change", true, kChange}, {"Needed", true, kNeeded}, {"n", true},
                       {"Statement", false, kStatement}},
                      {},
                      {}};
    for (const MeasureChange& change : phase.measures) {
        if (!change.primary && !change.change) continue;
        const int decimals = decimals_of(change), change_decimals = change.change_unit == "%" ? 0 : 2;
        const auto block = [&](const std::optional<CourseBlock>& part) { return part ? fixed_text(part->value, decimals) : std::string("–"); };
        const bool rising = change.change.value_or(0.0) >= 0.0;
        const std::string unit = change.change ? " " + change.change_unit : "";
        table.rows.push_back({Cell{change.title + ", " + change.unit, 0, change.key}, block(change.baseline), block(change.current),
                              number_or_dash(change.change, change_decimals) + unit,
                              number_or_dash(rising ? change.needed_rise : change.needed_fall, change_decimals), fmt::format("{}", change.points.size()),
                              said(change)});
    }
    return table;
}

Section phase_section(const Phase& phase) {
    Section section{phase_name(phase), {}};
    std::string about = fmt::format("{} from {} to {}, {} contractions", counted(phase.sessions.size(), "session"), day_text(phase.sessions.front().day),
                                    day_text(phase.sessions.back().day), to_string(phase.contraction));
    if (!phase.step_name.empty()) about += ", step " + phase.step_name;
    section.blocks.emplace_back(Paragraph{about + ".", Tone::plain});
    for (const PlanChange& change : phase.plan_changes) {
        section.blocks.emplace_back(Paragraph{
            fmt::format("From {} by another plan: {}.", day_text(change.day), change.plan.empty() ? "none" : change.plan), Tone::caution});
    }
    if (auto figure = phase_figure(phase)) section.blocks.emplace_back(std::move(*figure));
    section.blocks.emplace_back(change_table(phase));
    return section;
}

Section questions_section(const std::vector<Question>& questions) {
    Section section{"Where the questions come from", {}};
    List list;
    for (const Question& question : questions) {
        list.items.push_back(fmt::format("{} Why: {} Source: {}. Rests on {}.", question.text, question.reason, question.source, counted(question.sessions.size(), "session")));
    }
    section.blocks.emplace_back(std::move(list));
    return section;
}

Section left_out_section(const Course& course) {
    List list;
    for (const LeftOut& left : course.left_out) list.items.push_back(left.source + ": " + left.reason);
    for (const Note& note : course.notes) list.items.push_back(note.text);
    return {"Left out, and noted", {std::move(list)}};
}

}  // namespace

Report compose_course_report(const Course& course) {
    Report report;
    report.title = fmt::format("Course report: {}", course.person.empty() ? "person not named" : course.person);
    if (course.first && course.last) report.title += fmt::format(", {} to {}", date_text(*course.first), date_text(*course.last));
    Facts facts{{{"Sessions", fmt::format("{} found, {} used, {} rejected, {} left out", course.found, course.used, course.rejected, course.left_out.size())}}};
    report.sections.push_back({"", {std::move(facts), Answers{{happened(course), changed(course), to_ask(course)}}}});
    for (const Phase& phase : course.phases) report.sections.push_back(phase_section(phase));
    if (!course.adherence.weeks.empty()) report.sections.push_back({"Week by week", {calendar_of(course)}});
    if (!course.questions.empty()) report.sections.push_back(questions_section(course.questions));
    if (!course.left_out.empty() || !course.notes.empty()) report.sections.push_back(left_out_section(course));
    if (Section definitions = course_definitions(course); !definitions.blocks.empty()) report.sections.push_back(std::move(definitions));
    report.sections.push_back(limits_section());
    report.sections.push_back(cautions_section());
    return report;
}

}  // namespace tracehold
