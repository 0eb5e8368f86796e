#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>

#include "report/doubts.hpp"
#include "report/local_text.hpp"
#include "report/patient_goals.hpp"
#include "report/patient_sections.hpp"
#include "report/patient_tally.hpp"
#include "report/session_sections.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/compose_patient_report.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// "all" is said only of all; read: of all that could be read. everything: share.of leaves out none.
template <Say one, Say all, Say read, Say some>
void add_share(List& list, const Share& share, bool everything, Language language) {
    if (share.count == 0) return;
    if (!share.all() || (!everything && share.of == 1))
        list.items.push_back(say<some>(language, share.count, share.of));
    else if (!everything)
        list.items.push_back(say<read>(language, share.of));
    else if (share.of == 1)
        list.items.push_back(say<one>(language));
    else
        list.items.push_back(say<all>(language, share.of));
}

void add_done(List& list, const SessionScore& score, const PatientTally& found, Language language) {
    if (marks_of_another_plan(score)) return list.items.push_back(say<Say::other_signals>(language));
    if (score.cues == CueSource::trace) return add_count<Say::found_one, Say::found_some>(list, score.done, language);
    if (found.unread + found.cut == 0)
        add_share<Say::did_one, Say::did_all, Say::did_all, Say::did_some>(list, found.done, true, language);
    else if (found.unread == 0)
        add_share<Say::did_read_one, Say::did_recorded_all, Say::did_recorded_all, Say::did_read_some>(list, found.done, true, language);
    else
        add_share<Say::did_read_one, Say::did_read_all, Say::did_read_all, Say::did_read_some>(list, found.done, true,
                                                                                               language);
}

// Only where there are several kinds: the sentence above says it of one.
void add_kinds(List& list, const PatientTally& found, Language language) {
    if (found.kinds.size() < 2) return;
    std::string text;
    for (const KindDone& each : found.kinds) {
        text += (text.empty() ? "" : ", ") +
                say<Say::count_of>(language, sentence(kind_name(each.kind), language), each.done.count, each.done.of);
    }
    list.items.push_back(say<Say::by_kind>(language, text));
}

void add_held(List& list, const HeldOfLength& held, Language language) {
    const Share& kept = held.kept;
    if (kept.count == 0 || held.faded > 0) return;  // faded ones are told under what to practise
    const std::string length = seconds_words(held.seconds, language);
    const bool everything = kept.of == held.done;
    if (!kept.all() || (!everything && kept.of == 1))
        list.items.push_back(say<Say::held_some>(language, kept.count, kept.of, length));
    else if (!everything)
        list.items.push_back(say<Say::held_read_all>(language, kept.of, length));
    else if (kept.of == 1)
        list.items.push_back(say<Say::held_one>(language, length));
    else
        list.items.push_back(say<Say::held_all>(language, kept.of, length));
}

std::string endured_words(const Endured& endured, Language language) {
    const std::string planned = seconds_words(std::round(endured.planned_s), language);
    return endured.whole ? say<Say::endured_whole>(language, planned)
                         : say<Say::endured_part>(language, seconds_words(std::round(endured.lasted_s), language), planned);
}

std::string endured_words(const std::vector<Endured>& alike, Language language) {
    const auto shortest = std::min_element(alike.begin(), alike.end(), [](const Endured& a, const Endured& b) {
        return a.whole != b.whole ? b.whole : a.lasted_s < b.lasted_s;
    });
    if (alike.size() == 1) return endured_words(*shortest, language);
    const std::string planned = seconds_words(std::round(shortest->planned_s), language);
    if (shortest->whole) return say<Say::endured_wholes>(language, alike.size(), planned);
    return say<Say::endured_parts>(language, alike.size(), seconds_words(std::round(shortest->lasted_s), language), planned);
}

// One sentence for all that were asked for as long.
void add_endured(List& list, const PatientTally& found, bool as_short, Language language) {
    std::map<double, std::vector<Endured>> alike;
    for (const Endured& endured : found.endured) {
        if (endured.is_short() == as_short) alike[std::round(endured.planned_s)].push_back(endured);
    }
    for (const auto& [planned_s, those] : alike) list.items.push_back(endured_words(those, language));
}

// What was kept up until the signal, or should have been, with much less activity than at its start.
void add_faded(List& list, const PatientTally& found, Language language) {
    const std::size_t before = list.items.size();
    for (const HeldOfLength& held : found.held) {
        if (held.faded > 0)
            list.items.push_back(say<Say::faded>(language, held.faded, held.kept.of, seconds_words(held.seconds, language)));
    }
    add_endured(list, found, true, language);
    if (list.items.size() > before) list.items.push_back(say<Say::ask_how_long>(language));
}

List seen(const SessionScore& score, const PatientTally& found, const GoalWords& goals, Language language) {
    if (other_muscle_in_doubt(score)) return {{say<Say::other_muscle>(language)}};
    List list;
    add_done(list, score, found, language);
    if (score.cues != CueSource::trace && !marks_of_another_plan(score)) add_kinds(list, found, language);
    for (const HeldOfLength& held : found.held) add_held(list, held, language);
    add_endured(list, found, false, language);
    if (rest_may_be_told(score))
        add_share<Say::rested_one, Say::rested_all, Say::rested_read_all, Say::rested_some>(
            list, found.rested, found.rested.of == score.done, language);
    if (!amplitudes_in_doubt(score))
        add_share<Say::line_one, Say::line_all, Say::line_all, Say::line_some>(list, found.reached, true, language);
    for (std::string& item : list.items) item = both_words(std::move(item), language);
    list.items.insert(list.items.end(), goals.met.begin(), goals.met.end());
    add_count<Say::goals_met_one, Say::goals_met>(list, goals.met_unspoken, language);
    return list;
}

List to_practise(const SessionScore& score, const PatientTally& found, const GoalWords& goals, Language language) {
    List list;
    if (may_have_stopped(score)) list.items.push_back(say<Say::did_stop>(language));
    if (other_muscle_in_doubt(score)) {  // what it should do better cannot be told
        list.items.push_back(say<Say::ask_before>(language));
        if (electrode_in_doubt(score)) list.items.push_back(say<Say::not_read_check>(language));
        return list;
    }
    const bool let_go_early = std::any_of(found.held.begin(), found.held.end(), [](const HeldOfLength& held) {
        return held.kept.count < held.kept.of;
    });
    if (let_go_early) list.items.push_back(say<Say::keep_on>(language));
    add_faded(list, found, language);
    if (found.rested.count < found.rested.of || found.busy > 0) list.items.push_back(say<Say::take_the_rest>(language));
    list.items.insert(list.items.end(), goals.to_practise.begin(), goals.to_practise.end());
    if (marks_of_another_plan(score)) list.items.push_back(say<Say::tell_which_plan>(language));
    if (cues_are_known(score) && !extra_may_be_marked(score)) add_count<Say::extra_one, Say::extra_some>(list, extra_seen(score), language);
    if (found.reached.of > 0 && found.reached.count == 0 && !amplitudes_in_doubt(score))
        list.items.push_back(say<Say::line_none>(language));
    if (score.missed > 0 && !marks_of_another_plan(score)) list.items.push_back(say<Say::ask_missed>(language));
    if (electrode_in_doubt(score)) list.items.push_back(say<Say::not_read_check>(language));
    if (list.items.empty() && score.plan) list.items.push_back(say<Say::go_on>(language));
    add_count<Say::more_goals_one, Say::more_goals>(list, goals.unspoken, language);
    return list;
}

void add_unseen(List& list, const SessionScore& score, const PatientTally& found, Language language) {
    const std::size_t unseen = score.missed - found.busy;
    if (any_unseen_may_be_done(score))
        add_count<Say::untold_one, Say::untold_some>(list, unseen, language);
    else
        add_count<Say::missed_one, Say::missed_some>(list, unseen, language);
    add_count<Say::busy_one, Say::busy_some>(list, found.busy, language);
}

void add_cut(List& list, const SessionScore& score, const PatientTally& found, Language language) {
    if (marks_of_another_plan(score)) return;
    if (has_finding(score.quality, "ends_early") && !has_finding(score.quality, "begun_late"))
        add_count<Say::stopped_one, Say::stopped_some>(list, found.cut, language);
    else
        add_count<Say::cut_one, Say::cut_some>(list, found.cut, language);
}

List how_sure(const SessionScore& score, const PatientTally& found, const GoalWords& goals, Language language) {
    List list;
    if (in_doubt(score)) list.items.push_back(amplitudes_in_doubt(score) ? say<Say::sure_rough>(language) : say<Say::sure_guide>(language));
    if (score.cues == CueSource::aligned) list.items.push_back(say<Say::sure_estimated>(language));
    list.items.insert(list.items.end(), goals.unsure.begin(), goals.unsure.end());
    add_count<Say::unmeasured_one, Say::unmeasured>(list, goals.unmeasured, language);
    if (score.done + score.extra > 0 && !marks_of_another_plan(score)) add_unseen(list, score, found, language);
    add_count<Say::unread_one, Say::unread_some>(list, found.unread, language);
    add_cut(list, score, found, language);
    add_count<Say::left_out_one, Say::left_out_some>(list, left_out_by_hand(score), language);
    if (!score.corrections.empty()) list.items.push_back(say<Say::by_hand>(language));
    list.items.push_back(say<Say::one_session>(language));
    return list;
}

Section not_read_section(Language language) {
    return {say<Say::recording_shows>(language),
            {Paragraph{say<Say::not_read>(language) + " " + say<Say::not_read_not_you>(language)},
             Paragraph{say<Say::not_read_check>(language)}}};
}

Section numbers_section(const SessionScore& score, Language language) {
    Facts facts;
    const auto add = [&](Say label, const Estimate& value) {
        if (value)
            facts.items.push_back(
                {std::string(sentence(label, language)), local_number(quantity_text(value, "µV"), language)});
    };
    const auto mean_of = [&](std::string_view key) {
        const auto place = measure_index(key);
        const bool known = place && *place < score.measures.size() && score.measures[*place].mean;
        return known ? Estimate::of(*score.measures[*place].mean) : Estimate{};
    };
    add(Say::number_hold, mean_of("hold_mean_uv"));
    add(Say::number_rest, mean_of("rest_mean_uv"));
    add(Say::number_best, score.reference_uv);
    add(Say::number_line, score.threshold_uv);
    if (facts.items.empty()) return {};
    Section section{say<Say::numbers>(language), {std::move(facts)}};
    if (amplitudes_in_doubt(score)) section.blocks.emplace_back(Paragraph{say<Say::numbers_in_doubt>(language), Tone::caution});
    section.blocks.emplace_back(Paragraph{say<Say::numbers_mean>(language) + " " + say<Say::numbers_compare>(language)});
    return section;
}

void add_session(Report& report, const SessionScore& score, const PatientPage& page) {
    const Language language = page.language;
    const PatientTally found = tally(score);
    GoalWords goals;
    if (score.done + score.extra == 0) {
        report.sections.push_back({say<Say::recording_shows>(language),
                                   {Paragraph{say<Say::nothing_seen>(language)}, Paragraph{say<Say::not_read_check>(language)}}});
    } else {
        goals = goal_words(score, found, language);
        const bool glad = may_be_glad(score);
        report.sections.push_back({glad ? say<Say::went_well>(language) : say<Say::recording_shows>(language),
                                   {seen(score, found, goals, language)}});
        report.sections.push_back({say<Say::to_practise>(language), {to_practise(score, found, goals, language)}});
    }
    report.sections.push_back({say<Say::how_sure>(language), {how_sure(score, found, goals, language)}});
    if (page.show_microvolts) report.sections.push_back(numbers_section(score, language));
}

std::string title_of(const SessionScore& score, Language language) {
    const auto& start = score.recording.start;
    const std::string title =
        start ? say<Say::session_title_on>(language, day_words(std::chrono::floor<std::chrono::days>(start->local), language))
              : say<Say::session_title>(language);
    const std::string& person = score.recording.person;  // in the title, which is printed on each sheet
    return person.empty() ? title : say<Say::in_phase>(language, title, shown(person));
}

Section plan_section(const SessionScore& score, Language language) {
    if (!score.plan || score.plan->name.empty()) return {};
    return {"", {Paragraph{say<Say::in_phase>(language, say<Say::your_plan>(language), score.plan->name) + "."}}};
}

}  // namespace

Report compose_patient_report(const SessionScore& score, const PatientPage& page) {
    Report report;
    report.language = to_string(page.language);
    report.title = title_of(score, page.language);
    report.sections.push_back(review_section(page.language));
    report.sections.push_back(plan_section(score, page.language));
    if (score.quality.usable)
        add_session(report, score, page);
    else
        report.sections.push_back(not_read_section(page.language));
    const std::string& posture = score.plan ? score.plan->posture : score.recording.posture;
    report.sections.push_back(posture_section(posture, page.language));
    report.sections.push_back(stop_section(page.language));
    report.sections.push_back(closing_section(page.language));
    std::erase_if(report.sections, [](const Section& section) {
        const auto* list = section.blocks.size() == 1 ? std::get_if<List>(&section.blocks[0]) : nullptr;
        return section.blocks.empty() || (list != nullptr && list->items.empty());
    });
    return report;
}

}  // namespace tracehold
