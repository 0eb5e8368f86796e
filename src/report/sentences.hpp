#pragma once
// The fixed sentences that patients and referrers read, by name. One catalogue a language holds them in this order:
// patients_and_referrers.hpp in en, de and fr; {0}, {1} ... stand for figures and may change places between languages.
#include <array>
#include <cstddef>
#include <string_view>

namespace tracehold {

// clang-format off
enum class Say : std::size_t {
    // Both readers: dates, languages
    not_reviewed, january, february, march, april, may, june, july, august, september, october, november,
    december, date, date_first, day_of_month, day_of_month_first, from_to, weeks_one, weeks, lying, sitting, standing, side_lying, kneeling,
    squatting, walking, quoted, no_posture,
    // Home sheet
    sheet_title, sheet_title_of, your_plan, seconds_one, seconds, once, twice, times, days_one, days,
    step_rest, step_hold, step_rapid, step_endurance, step_again, dose_unknown, dose, dose_for, dose_every, dose_every_for, length_minute,
    length_minutes, line_uv, session_goes, tip_place, tip_probe, tip_battery, tip_begin, tip_squeeze,
    tip_let_go, tip_after, diary, diary_caption, diary_date, diary_time, diary_done, diary_felt,
    diary_questions, sheet_limits,
    // Every page of a patient
    stop_title, stop_if, stop_pain, stop_bleeding, stop_fever, stop_blood, stop_urine, stop_lump, stop_rash,
    stop_broken, our_number, emergency_if, emergency_legs, emergency_numb, emergency_hold, emergency_pass, ask_first_if,
    ask_pregnant, ask_surgery, ask_infection, ask_prolapse, ask_behind, ask_allergy, ask_implant, sit_or_lie,
    lying_how, sitting_how, standing_how, side_lying_how, kneeling_how, squatting_how, walking_how,
    posture_named, posture_unknown, posture_shown, patient_limits, therapist_first,
    // A patient's session
    session_title, session_title_on, went_well, recording_shows, recordings_show, to_practise, how_sure,
    did_one, did_all, did_some, did_read_one, did_read_all, did_recorded_all, did_read_some, found_one, found_some, by_kind,
    count_of, held_one, held_all, held_read_all, held_some, endured_part, endured_whole, endured_parts, endured_wholes, faded, ask_how_long, rested_one,
    rested_all, rested_read_all, rested_some, line_one, line_all, line_some, let_go_met, let_go_beyond,
    let_go_unsure, let_go_late, let_go_late_timed, hold_soon_met, hold_soon_beyond, hold_soon_unsure, quiet_met, quiet_beyond, quiet_unsure,
    more_goals_one, more_goals, goals_met_one, goals_met, unmeasured_one, unmeasured, missed_one, missed_some, untold_one, untold_some,
    busy_one, busy_some, extra_one, extra_some, other_signals, tell_which_plan, keep_on,
    take_the_rest, line_none, go_on, other_muscle, ask_before, did_stop, ask_missed, nothing_seen, not_read, not_read_not_you, not_read_check,
    sure_rough, sure_guide, sure_estimated, unread_one, unread_some, cut_one, cut_some, stopped_one, stopped_some, left_out_one, left_out_some, by_hand, one_session, numbers,
    number_hold, number_rest, number_best, number_line, numbers_compare, numbers_mean, numbers_in_doubt, first_days, now,
    // A patient's weeks
    visits_only_one, visits_only, visits_told, sure_visit_one, sure_visits,
    course_title, course_title_of, trained_one, trained_some, plan_asked, trained_after_one, trained_after, plan_goes_on, squeezes_read, none_read,
    no_training, no_training_sent, clock_wrong_one, clock_wrong, what_changed, hold_more, hold_less, share_more, share_less, rest_more, rest_less,
    release_more, release_less, unchanged, unchanged_because, changed_because, strayed, unsure, lengths_changed, plan_doing, name_hold, name_share, name_rest, name_release,
    too_early, without_dates, without_signals, at_the_clinic, in_phase, kind_hold, kind_rapid, kind_endurance, fewer, came_between,
    beyond_plan, talk_first, unread_sessions_one, unread_sessions, undated_one, undated_some, uncounted_one, uncounted, other_plan_one, other_plans,
    unopened_one, unopened, sure_one, sure_some, sure_test, sure_tests, doubt_one, doubt_some, sure_varies, bring_it, your_days, your_days_say,
    // Referrer
    referrer_title, nobody, no_date, was_recorded, recorded_session, recorded_course, exported,
    level_subtracted, corrected_sessions, corrections_made, signal_quiet, signal_care, signal_no, signal_found, with_caution, f_contact,
    f_reference, f_hum, f_hum_parts, f_mains, f_clipping, f_motion, f_spikes, f_heart, f_masked, f_unit, f_gain, f_contrast, f_repeating,
    f_amplitude, f_rest, f_unseen, f_chance, f_late, f_missing, f_crosstalk, f_copied, f_channel, f_posture, f_other_cues, f_exchanged, f_estimated_cues,
    f_part, f_digits, f_noise, f_twin,
    f_filtered, f_kind, f_rate, f_short, f_subtracted, f_times, f_date, f_other, as_planned,
    cannot_be_told, planned_done, cued_done, found_in_trace, missed, missed_untold, at_their_cues, other_marks, unusable, extra, not_recorded, left_out, estimated,
    prescribed, prescribed_more, too_short, then_none, after_plan, plan_covers, not_counted_on, not_prescribed, counting, none_scored, undated, none_trained, undatable, of_other_plans, share_of,
    changed, single_session, nothing_measured, none_of_kind, mean_of, mean_and_target_below,
    mean_and_target_above, target_in_doubt, let_go_before, faded_within, fell_over, moved, nothing_tested, nothing_dated, change_of, percent_relative, no_change_shown, beyond_astray, beyond_unsure, set_up_same,
    lengths_of, lengths_unknown, lengths_apart, plan_changed,
    kind_of_hold, kind_of_rapid, kind_of_endurance, kind_of_rest, assessment, rest_at_beginning, rest_at_end, rest_of, kind_of_length, step_number, not_enough, published_beyond, published_within, published_none, few_visits,
    error_sides, nothing_read, m_hold, m_share, m_rest, m_release, m_peak, m_endurance,
    asked, asked_nothing, q_electrode, q_clock, questions, asked_language, q_resting, q_held, q_fading, q_release, q_coactivity,
    q_lying_held, q_out_of_reach, q_step, q_broken_off, q_adherence, q_beyond, limits, referrer_limits,
    count
};
// clang-format on

inline constexpr std::size_t kSentences = static_cast<std::size_t>(Say::count);

// What patients read: everything up to the referrer's part.
constexpr bool is_for_patient(Say key) { return key < Say::referrer_title; }

struct Sentence {
    Say key;
    std::string_view text;
};
using Catalogue = std::array<Sentence, kSentences>;

// Bit i for {i}. Does not compile in a constant where a brace stands for anything else.
constexpr unsigned places_in(std::string_view text) {
    unsigned places = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '}') throw "a closing brace alone";
        if (text[i] != '{') continue;
        if (i + 2 >= text.size() || text[i + 1] < '0' || text[i + 1] > '9' || text[i + 2] != '}') throw "not {0}";
        places |= 1u << static_cast<unsigned>(text[i + 1] - '0');
        i += 2;
    }
    return places;
}

}  // namespace tracehold
