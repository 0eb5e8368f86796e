#include "report/doubts.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

#include "report/local_text.hpp"
#include "report/session_sections.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/cued_windows.hpp"
#include "tracehold/measures/muscle_seen.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kMostFrequent = 3;  // half a page holds no more; our choice

struct FindingName {
    std::string_view code;
    Say name;
};

constexpr std::array kFindingNames = {
    FindingName{"contact_lost", Say::f_contact}, FindingName{"reference_off", Say::f_hum_parts},
    FindingName{"mains", Say::f_mains},          FindingName{"clipping", Say::f_clipping},
    FindingName{"motion", Say::f_motion},        FindingName{"spikes", Say::f_spikes},
    FindingName{"heart_beats", Say::f_heart},    FindingName{"masked_much", Say::f_masked},
    FindingName{"no_usable_cycle", Say::f_masked},
    FindingName{"unit_assumed", Say::f_unit}, FindingName{"unit_doubtful", Say::f_unit},    FindingName{"low_contrast", Say::f_contrast},
    FindingName{"repeating", Say::f_repeating},  FindingName{"too_large", Say::f_amplitude},
    FindingName{"too_small", Say::f_amplitude},  FindingName{"rest_unreadable", Say::f_rest},
    FindingName{"rest_restless", Say::f_rest},
    FindingName{"late_release", Say::f_late},    FindingName{"missing", Say::f_missing},
    FindingName{"crosstalk", Say::f_crosstalk},  FindingName{"copied", Say::f_copied},
    FindingName{"not_smoothed", Say::f_kind},    FindingName{"rest_high", Say::f_gain},
    FindingName{"gain_changed", Say::f_gain},    FindingName{"reference_differs", Say::f_gain},
    FindingName{"starts_before_cues", Say::f_other_cues}, FindingName{"marks_repeated", Say::f_other_cues},
    FindingName{"other_source", Say::f_channel}, FindingName{"channel_differs", Say::f_channel},
    FindingName{"numbers_too_large", Say::f_missing}, FindingName{"rows_missing_all_over", Say::f_missing},
    FindingName{"posture_differs", Say::f_posture},
    FindingName{"quantised", Say::f_digits},     FindingName{"broadband", Say::f_noise},
    FindingName{"channel_twice", Say::f_twin},
    FindingName{"header_prefilter", Say::f_filtered}, FindingName{"kind_doubtful", Say::f_kind},
    FindingName{"undersampled", Say::f_rate}, FindingName{"too_short", Say::f_short},
    FindingName{"noise_subtracted", Say::f_subtracted}, FindingName{"baseline_subtracted", Say::f_subtracted}, FindingName{"plan_not_whole", Say::f_part},
    FindingName{"begun_late", Say::f_part}, FindingName{"ends_early", Say::f_part}, FindingName{"own_pace", Say::f_estimated_cues},
    FindingName{kMuscleNotSeen, Say::f_chance}, FindingName{"muscle_seen_in_part", Say::f_chance},
    FindingName{kCuesOffPlan, Say::f_other_cues}, FindingName{"marks_beyond_plan", Say::f_other_cues},
    FindingName{"cues_out_of_step", Say::f_other_cues}, FindingName{"marks_exchanged", Say::f_exchanged},
    FindingName{"lengths_off_plan", Say::f_other_cues}, FindingName{"plan_not_found", Say::f_other_cues},
    FindingName{"marks_differ_from_plan", Say::f_other_cues}, FindingName{"marks_brief", Say::f_other_cues},
    FindingName{"cues_estimated", Say::f_estimated_cues}, FindingName{"alignment_uncertain", Say::f_estimated_cues},
    FindingName{"rate_given", Say::f_times},     FindingName{"rate_differs", Say::f_times},
    FindingName{"rate_said_twice", Say::f_times}, FindingName{"time_goes_back", Say::f_times},
    FindingName{"time_loses_digits", Say::f_times}, FindingName{"record_duration_wrong", Say::f_times}, FindingName{"records_apart_alike", Say::f_times},
    FindingName{"record_count_wrong", Say::f_times},
    FindingName{"start_differs", Say::f_date},   FindingName{"start_date_conflict", Say::f_date},
    FindingName{"start_date_unknown", Say::f_date}, FindingName{"start_impossible", Say::f_date},
};

Say name_of(std::string_view code) {
    const auto named = std::find_if(kFindingNames.begin(), kFindingNames.end(),
                                    [&](const FindingName& each) { return code == each.code; });
    return named == kFindingNames.end() ? Say::f_other : named->name;
}

double seconds_of(const Finding& finding) {
    double seconds = 0.0;
    for (const TimeSpan& span : finding.spans) seconds += span.length_s();
    return seconds;
}

// By what was found, not by what it may come from: hum for part of the time is left out, for all of it leaves nothing.
std::string hum_name(const Finding& finding, Language language) {
    if (finding.spans.empty()) return say<Say::f_reference>(language);
    return say<Say::f_hum>(language, local_number(fixed_text(seconds_of(finding), 1), language));
}

bool has_hum_throughout(const Quality& quality) {
    return std::any_of(quality.findings.begin(), quality.findings.end(),
                       [](const Finding& finding) { return finding.code == "reference_off" && finding.spans.empty(); });
}

std::string short_name(const Finding& finding, const SessionScore& score, Language language) {
    if (finding.code == "reference_off") return hum_name(finding, language);
    const bool none_seen = finding.code == kMuscleNotSeen && score.done + score.extra == 0;
    const bool few_seen = finding.code == "low_contrast" && score.done < score.missed;
    return std::string(sentence(none_seen ? Say::f_unseen : few_seen ? Say::f_chance : name_of(finding.code), language));
}

bool seen_at_times(const SessionScore& score) {
    return has_finding(score.quality, kMuscleNotSeen) || has_finding(score.quality, "muscle_seen_in_part");
}

}  // namespace

bool cues_may_be_off(const SessionScore& score) {
    return has_finding(score.quality, "cues_out_of_step") || has_finding(score.quality, "marks_exchanged");
}

bool marks_of_another_plan(const SessionScore& score) {
    return has_finding(score.quality, kCuesOffPlan) || has_finding(score.quality, "marks_beyond_plan");
}

bool extra_may_be_marked(const SessionScore& score) {
    const auto beyond = [](const Note& note) { return note.code == "marks_beyond_plan"; };
    return marks_of_another_plan(score) || std::any_of(score.notes.begin(), score.notes.end(), beyond);
}

bool other_muscle_in_doubt(const SessionScore& score) { return has_finding(score.quality, "crosstalk"); }

bool may_have_stopped(const SessionScore& score) {
    if (has_finding(score.quality, "ends_early")) return true;
    return has_finding(score.quality, "plan_not_whole") && !has_finding(score.quality, "begun_late") && unrecorded(score) > 0;
}

bool any_unseen_may_be_done(const SessionScore& score) {
    return cues_may_be_off(score) || marks_of_another_plan(score) || seen_at_times(score) || has_finding(score.quality, "low_contrast");
}

bool unseen_may_be_done(const SessionScore& score) { return any_unseen_may_be_done(score) || has_finding(score.quality, "late_release"); }

bool electrode_in_doubt(const SessionScore& score) {
    constexpr std::array<std::string_view, 11> kOfElectrode = {"contact_lost", "reference_off", "mains", "motion", "masked_much",
                                                               kMuscleNotSeen, "low_contrast", "rest_unreadable", "rest_high",
                                                               "broadband", "gain_changed"};
    const auto& findings = score.quality.findings;
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& finding) {
        return finding.severity != Severity::note &&
               std::find(kOfElectrode.begin(), kOfElectrode.end(), finding.code) != kOfElectrode.end();
    });
}

// Where amplitudes are read as well as ever: of cues, of what is missing beside them, of when it was.
bool amplitudes_in_doubt(const SessionScore& score) {
    constexpr std::array<std::string_view, 11> kLeaveAmplitudes = {kCuesOffPlan, "marks_beyond_plan", "marks_differ_from_plan", "cues_estimated",
                                                            "begun_late", "ends_early", "plan_not_whole", "start_differs",
                                                            "start_date_conflict", "start_date_unknown", "start_impossible"};
    const auto& findings = score.quality.findings;
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& finding) {
        return finding.severity != Severity::note && std::find(kLeaveAmplitudes.begin(), kLeaveAmplitudes.end(), finding.code) == kLeaveAmplitudes.end();
    });
}

std::string doubts_of(const SessionScore& score, Language language) {
    std::vector<std::string> names;
    for (const Finding& finding : score.quality.findings) {
        if (finding.severity == Severity::note) continue;
        if (finding.code == "low_contrast" && seen_at_times(score)) continue;            // which says it of more
        if (finding.code == "mains" && has_hum_throughout(score.quality)) continue;  // likewise
        std::string name = short_name(finding, score, language);
        if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
    }
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

std::string frequent_doubts_of(const Course& course, Language language) {
    std::vector<std::pair<std::string_view, std::set<std::string>>> named;  // several findings may share a name
    for (const CourseCaution& caution : course.cautions) {
        const std::string_view name = sentence(name_of(caution.code), language);
        auto place = std::find_if(named.begin(), named.end(), [&](const auto& one) { return one.first == name; });
        if (place == named.end()) place = named.insert(place, {name, {}});
        place->second.insert(caution.sessions.begin(), caution.sessions.end());
    }
    std::stable_sort(named.begin(), named.end(), [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
    std::string text;
    for (std::size_t i = 0; i < std::min(named.size(), kMostFrequent); ++i)
        text += fmt::format("{}{} ({})", i == 0 ? "" : ", ", named[i].first, named[i].second.size());
    return text;
}

std::size_t sessions_in_doubt(const Course& course) {
    std::set<std::string> sessions;
    for (const CourseCaution& caution : course.cautions) {
        if (caution.code != "cues_estimated") sessions.insert(caution.sessions.begin(), caution.sessions.end());
    }
    return sessions.size();
}

}  // namespace tracehold
