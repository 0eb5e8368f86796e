#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <set>

#include "report/course_parts.hpp"
#include "report/doubts.hpp"
#include "report/local_text.hpp"
#include "report/patient_sections.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/compose_patient_report.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// Below this share of the planned sessions nothing is called well. Our choice: one session in five comes between.
constexpr double kWellDone = 0.8;

struct ChangeSentences {
    std::string_view measure;
    Say name, more, less;
};

constexpr std::array kChanges = {
    ChangeSentences{"hold_mean_uv", Say::name_hold, Say::hold_more, Say::hold_less},
    ChangeSentences{"hold_of_reference_pct", Say::name_share, Say::share_more, Say::share_less},
    ChangeSentences{"rest_mean_uv", Say::name_rest, Say::rest_more, Say::rest_less},
    ChangeSentences{"release_s", Say::name_release, Say::release_more, Say::release_less},
};

const ChangeSentences* sentences_of(const MeasureChange& change) {
    const auto found = std::find_if(kChanges.begin(), kChanges.end(),
                                    [&](const ChangeSentences& each) { return each.measure == change.key; });
    return found == kChanges.end() ? nullptr : &*found;
}

double share_done(const Adherence& seen) {
    const std::size_t due = wholly_due(seen.planned_sessions.value_or(0.0));
    return due > 0 ? static_cast<double>(seen.of_dose().sessions) / static_cast<double>(due) : 0.0;
}

bool asks(const Course& course, std::string_view code) {
    return std::any_of(course.questions.begin(), course.questions.end(),
                       [&](const Question& question) { return question.code == code; });
}

// Questions that leave the plan as it is for the time being: those of more load, and those of how often, which have their own words.
// Any other, of a service's own table too, is to be talked over first.
constexpr std::array<std::string_view, 5> kPlanStands = {"holds_stay_above_threshold", "posture_mastered", "adherence_low", "adherence_high",
                                                         "course_broken_off"};

bool leaves_plan(const Question& question) {
    return std::find(kPlanStands.begin(), kPlanStands.end(), question.code) != kPlanStands.end();
}

// Of a measure of training, the latest phases.
bool moved(const Course& course, std::string_view measure, Statement direction) {
    const auto told = told_phases(course);
    return std::any_of(told.begin(), told.end(), [&](const Phase* phase) {
        const auto changes = tested_changes(*phase);
        return std::any_of(changes.begin(), changes.end(),
                           [&](const MeasureChange* each) { return each->key == measure && each->statement == direction; });
    });
}

// Busier at rest, or later to let go.
bool lets_go_less(const Course& course) {
    return asks(course, "release_slow") || asks(course, "resting_activity_above_target") || moved(course, "rest_mean_uv", Statement::more) ||
           moved(course, "release_s", Statement::more);
}

bool to_talk_over(const Course& course) {
    return lets_go_less(course) || moved(course, "hold_mean_uv", Statement::less) || moved(course, "hold_of_reference_pct", Statement::less) ||
           !std::all_of(course.questions.begin(), course.questions.end(), leaves_plan);
}

bool course_went_well(const Course& course) {
    return !to_talk_over(course) && share_done(course.adherence) >= kWellDone && !fell_silent(course.adherence) && !asks(course, "adherence_high") && course.used > 0 &&
           course.rejected <= course.used;
}

List trained(const Course& course, Language language) {
    const Adherence& seen = course.adherence;
    List list;
    const std::size_t visits = assessments_in(course).all;
    if (seen.sessions == 0 && visits > 0 && seen.without_day() == 0) {
        add_count<Say::visits_only_one, Say::visits_only>(list, visits, language);
        return list;
    }
    if (seen.sessions == 0) {
        list.items.push_back(seen.without_day() > 0 ? say<Say::no_training>(language) : say<Say::no_training_sent>(language));
        add_count<Say::clock_wrong_one, Say::clock_wrong>(list, seen.impossible_dates, language);
        return list;
    }
    const auto weeks = static_cast<double>(weeks_of_training(seen));
    const std::size_t held = seen.of_dose().sessions;
    list.items.push_back(held == 1
                             ? say<Say::trained_one>(language)
                             : say<Say::trained_some>(language, held, weeks_words(weeks, language)));
    if (held_against_dose(seen))
        list.items.push_back(say<Say::plan_asked>(language, wholly_due(*seen.planned_sessions)));
    add_count<Say::trained_after_one, Say::trained_after>(list, seen.after_plan.sessions, language);
    add_count<Say::clock_wrong_one, Say::clock_wrong>(list, seen.impossible_dates, language);
    if (plan_goes_on(seen))
        list.items.push_back(say<Say::plan_goes_on>(language, day_words(seen.prescribed->last_recording, language),
                                                    day_words(seen.prescribed->last_day, language)));
    if (none_could_be_scored(course))
        list.items.push_back(say<Say::none_read>(language) + " " + say<Say::not_read_not_you>(language));
    else if (seen.contractions > 0)
        list.items.push_back(say<Say::squeezes_read>(language, seen.counting, seen.contractions));
    return list;
}

// Names what tells the phases apart: posture, kind of contraction, or nothing.
std::string in_phase(const Phase& phase, const std::vector<const Phase*>& told, std::string said, Language language) {
    const auto differ = [&](auto member) {
        return std::any_of(told.begin(), told.end(),
                           [&](const Phase* other) { return other->*member != phase.*member; });
    };
    std::string name;
    if (differ(&Phase::posture))
        name = phase.posture.empty() ? say<Say::no_posture>(language) : posture_words(phase.posture, language);
    if (differ(&Phase::contraction))
        name += (name.empty() ? "" : ", ") + std::string(sentence(kind_name(phase.contraction), language));
    return name.empty() ? said : say<Say::in_phase>(language, name, said);
}

struct Changes {
    List moved, apart;
    std::set<std::chrono::sys_days> plans;  // days from which on a change that is told may be the plan's doing
    bool any_tested = false, any_unchanged = false, any_moved = false;
};

void add_changes(Changes& changes, const Phase& phase, const std::vector<const Phase*>& told, Language language) {
    std::string unchanged, strayed, unsure;
    if (phase.lengths_change)
        changes.apart.items.push_back(
            in_phase(phase, told, say<Say::lengths_changed>(language, day_words(phase.lengths_change->day, language)), language));
    for (const MeasureChange* change : tested_changes(phase)) {
        const ChangeSentences* words = sentences_of(*change);
        if (words == nullptr || *change->statement == Statement::not_enough) continue;
        changes.any_tested = true;
        if (*change->statement == Statement::no_change_shown) {
            const Astray how = astray(*change);
            std::string& names = how == Astray::no_direction ? strayed : how == Astray::unsure ? unsure : unchanged;
            names += (names.empty() ? "" : ", ") + std::string(sentence(words->name, language));
            continue;
        }
        changes.any_moved = true;
        const Say said = *change->statement == Statement::more ? words->more : words->less;
        changes.moved.items.push_back(in_phase(phase, told, std::string(sentence(said, language)), language));
        for (const PlanChange& plan : phase.plan_changes) changes.plans.insert(plan.day);
    }
    if (!strayed.empty()) changes.moved.items.push_back(in_phase(phase, told, say<Say::strayed>(language, strayed), language));
    if (!unsure.empty()) changes.moved.items.push_back(in_phase(phase, told, say<Say::unsure>(language, unsure), language));
    if (unchanged.empty()) return;
    changes.any_unchanged = true;
    changes.moved.items.push_back(in_phase(phase, told, say<Say::unchanged>(language, unchanged), language));
}

// Of visits alone: they are the clinician's to explain.
bool of_visits_only(const Course& course) { return told_phases(course).empty() && assessments_in(course).usable > 0; }

// More sessions are no help where none has a date, none could be read, or all were of another plan.
std::string nothing_to_tell(const Course& course, Language language) {
    const std::size_t others = course.adherence.other_plans;
    if (course.phases.empty() && course.adherence.without_day() > 0) return say<Say::without_dates>(language);
    if (none_could_be_scored(course)) return say<Say::without_signals>(language);
    if (course.phases.empty() && others > 0) return others == 1 ? say<Say::other_plan_one>(language) : say<Say::other_plans>(language, others);
    return of_visits_only(course) ? say<Say::visits_told>(language) : say<Say::too_early>(language);
}

Section changes_section(const Course& course, Language language) {
    Changes changes;
    const auto told = told_phases(course);
    for (const Phase* phase : told) add_changes(changes, *phase, told, language);
    Section section{say<Say::what_changed>(language), {}};
    if (!changes.apart.items.empty()) section.blocks.emplace_back(std::move(changes.apart));
    if (!changes.any_tested)
        section.blocks.emplace_back(Paragraph{nothing_to_tell(course, language)});
    else
        section.blocks.emplace_back(std::move(changes.moved));
    for (const std::chrono::sys_days day : changes.plans)
        section.blocks.emplace_back(Paragraph{say<Say::plan_doing>(language, day_words(day, language))});
    if (changes.any_moved) section.blocks.emplace_back(Paragraph{say<Say::changed_because>(language)});
    if (changes.any_unchanged) section.blocks.emplace_back(Paragraph{say<Say::unchanged_because>(language)});
    if (assessments_in(course).all > 0 && !of_visits_only(course)) section.blocks.emplace_back(Paragraph{say<Say::at_the_clinic>(language)});
    return section;
}

// What the clinician is asked of the sessions; of several questions the first, so that no two seem to contradict each other.
void add_attendance(List& list, const Course& course, Language language) {
    if (asks(course, "course_broken_off"))
        list.items.push_back(say<Say::came_between>(language));
    else if (asks(course, "adherence_low"))
        list.items.push_back(say<Say::fewer>(language));
    else if (asks(course, "adherence_high"))
        list.items.push_back(say<Say::beyond_plan>(language));
}

List to_practise(const Course& course, Language language) {
    List list;
    if (none_could_be_scored(course)) list.items.push_back(say<Say::not_read_check>(language));
    if (lets_go_less(course)) list.items.push_back(say<Say::take_the_rest>(language));
    add_attendance(list, course, language);
    if (to_talk_over(course)) list.items.push_back(say<Say::talk_first>(language));
    if (list.items.empty() && course.adherence.planned_sessions) list.items.push_back(say<Say::go_on>(language));
    return list;
}

// What the page rests on, what it leaves out, and why a small change is not told.
List how_sure(const Course& course, Language language) {
    List list;
    if (of_visits_only(course)) {
        add_count<Say::sure_visit_one, Say::sure_visits>(list, course.used, language);
    } else {
        add_count<Say::sure_one, Say::sure_some>(list, course.used, language);
        add_count<Say::sure_test, Say::sure_tests>(list, assessments_in(course).usable, language);
    }
    add_count<Say::doubt_one, Say::doubt_some>(list, sessions_in_doubt(course), language);
    add_count<Say::unread_sessions_one, Say::unread_sessions>(list, course.rejected, language);
    std::size_t other_plans = 0, undated = 0, uncounted = 0;
    for (const LeftOut& one : course.left_out) {
        if (one.code == "other_plan") ++other_plans;
        else if (one.code == "no_date") ++undated;
        else if (one.code != "impossible_date") ++uncounted;  // said with what was trained
    }
    add_count<Say::undated_one, Say::undated_some>(list, undated, language);
    add_count<Say::uncounted_one, Say::uncounted>(list, uncounted, language);
    add_count<Say::other_plan_one, Say::other_plans>(list, other_plans, language);
    add_count<Say::unopened_one, Say::unopened>(list, course.refused.size(), language);
    if (corrected_sessions(course) > 0) list.items.push_back(say<Say::by_hand>(language));
    list.items.push_back(say<Say::sure_varies>(language));
    return list;
}

ReportTable numbers_of(const Phase& phase, const std::vector<const Phase*>& told, Language language) {
    ReportTable table;
    table.columns = {{}, {say<Say::first_days>(language), true}, {say<Say::now>(language), true}};
    const auto number = [&](const CourseBlock& block) {
        return local_number(quantity_text(Estimate::of(block.value), "µV"), language);
    };
    for (const MeasureChange* change : tested_changes(phase)) {
        if (change->unit != "µV" || !change->baseline || !change->current) continue;
        const Say label = change->key == "rest_mean_uv" ? Say::number_rest : Say::number_hold;
        table.rows.push_back({in_phase(phase, told, std::string(sentence(label, language)), language),
                              number(*change->baseline), number(*change->current)});
    }
    return table;
}

Section numbers_section(const Course& course, Language language) {
    Section section{say<Say::numbers>(language), {}};
    const auto told = told_phases(course);
    for (const Phase* phase : told) {
        ReportTable table = numbers_of(*phase, told, language);
        if (!table.rows.empty()) section.blocks.emplace_back(std::move(table));
    }
    if (section.blocks.empty()) return {section.heading, {Paragraph{nothing_to_tell(course, language)}}};
    section.blocks.emplace_back(
        Paragraph{say<Say::numbers_mean>(language) + " " + say<Say::numbers_compare>(language)});
    return section;
}

std::string days_of(const Course& course, Language language) {
    if (!course.first || !course.last) return {};
    const auto day = [](const CivilTime& time) { return std::chrono::floor<std::chrono::days>(time.local); };
    return period_words(day(*course.first), day(*course.last), language);
}

Section days_section(const Course& course, Language language) {
    if (course.adherence.weeks.empty()) return {};
    Calendar calendar = calendar_of(course);
    calendar.title = days_of(course, language);
    calendar.description = say<Say::your_days_say>(language);
    for (CalendarWeek& week : calendar.weeks) week.planned.reset(), week.iso_week.reset(), week.counting.reset();  // no bars to fall short of
    return {say<Say::your_days>(language), {std::move(calendar)}};
}

std::string posture_of(const Course& course) {
    const auto told = told_phases(course);
    const auto latest = std::max_element(told.begin(), told.end(), [](const Phase* a, const Phase* b) {
        return a->sessions.back().day < b->sessions.back().day;
    });
    return latest == told.end() ? std::string() : (*latest)->posture;
}

Section list_section(std::string heading, List list) {
    if (list.items.empty()) return {};
    return {std::move(heading), {std::move(list)}};
}

}  // namespace

Report compose_patient_report(const Course& course, const PatientPage& page) {
    const Language language = page.language;
    Report report;
    report.language = to_string(language);
    report.title =
        course.person.empty() ? say<Say::course_title>(language) : say<Say::course_title_of>(language, shown(course.person));
    const std::string done_well =
        course_went_well(course) ? say<Say::went_well>(language) : say<Say::recordings_show>(language);
    report.sections = {review_section(language),
                       list_section(done_well, trained(course, language)),
                       changes_section(course, language),
                       list_section(say<Say::to_practise>(language), to_practise(course, language)),
                       list_section(say<Say::how_sure>(language), how_sure(course, language)),
                       days_section(course, language)};
    if (page.show_microvolts) report.sections.push_back(numbers_section(course, language));
    report.sections.push_back(posture_section(posture_of(course), language));
    report.sections.push_back(stop_section(language));
    report.sections.push_back({"", {Paragraph{say<Say::bring_it>(language)}}});
    report.sections.push_back(closing_section(language));
    std::erase_if(report.sections, [](const Section& section) { return section.blocks.empty(); });
    return report;
}

}  // namespace tracehold
