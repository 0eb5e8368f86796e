#include "tracehold/course/course_terms.hpp"

#include <algorithm>
#include <array>

namespace tracehold {
namespace {

constexpr std::string_view kOurChoice = "our choice";
constexpr std::string_view kChangeUnit = "% or the unit of the measure";
constexpr std::string_view kPublishedError =
    "published within-session figures for pelvic-floor surface EMG; Kowalski et al. 2021 for times";

constexpr std::array kTerms = {
    CourseTerm{
        "baseline", "First", "unit of the measure",
        "Mean over the first days of the phase: those within 14 days of its start, at least 3 and at most half of "
        "all. Every day weighs the same. Amplitudes are compared as logarithms, so that theirs is the geometric "
        "mean.",
        "", kOurChoice},
    CourseTerm{"current", "Now", "unit of the measure", "The same over the last days.", "", kOurChoice},
    CourseTerm{"change", "Change", kChangeUnit,
               "Now against first: percent of the first for amplitudes and shares of them, else the difference in the "
               "unit of the measure. Where the measure itself is in percent the page says which: 'relative' is percent "
               "of the first value, 'percentage points' (points) are a difference.",
               "Empty on a single day.", "definition"},
    CourseTerm{
        "needed", "Needed", kChangeUnit,
        "What a change has to exceed: the 95 % half-width of the difference of the two blocks, from how this "
        "person's days differ within them. In JSON needed_rise upwards and needed_fall downwards, because a factor "
        "is another percentage either way.",
        "Never less than +21 % or -17 % of an amplitude (one factor, upwards and downwards), or 0.1 s of a time. With fewer than 3 "
        "days in a block +44 % or -31 % of an amplitude, and of other measures no published error is known.",
        kPublishedError},
    CourseTerm{
        "statement", "Statement", "",
        "More or less: the change is beyond what is needed, the days follow its direction by the test of Mann and "
        "Kendall, allowing for neighbouring days that resemble each other, and p is at most 0.05 after the account "
        "for all tested measures. Whether more is wanted is the clinician's to say.",
        "Not enough: fewer than 6 days with a value, or no measurement error is known. In training the four primary measures of the main "
        "contractions get one. Of an assessment the first step of each kind gets one, of one measure: rest mean of a rest, peak of rapid "
        "contractions, hold mean of holds, endurance of endurance.",
        "Mann 1945, Kendall 1975; Hamed & Rao 1998; Holm 1979"},
    CourseTerm{"more", "Statement: more", "",
               "The measure rose by more than two measurements differ anyway: see statement.", "", "see statement"},
    CourseTerm{"less", "Statement: less", "",
               "The measure fell by more than two measurements differ anyway: see statement.", "", "see statement"},
    CourseTerm{
        "no_change_shown", "Statement: no change shown", "",
        "The change is within the measurement error, or the days between do not follow one direction, or they do, but not surely "
        "enough with all measures that are tested together. It does not say that nothing changed: a smaller change may be there.",
        "All measures of a course are accounted for together, those of visits and of training: with more of them a change has to be "
        "surer, and a statement can give way to this one.",
        "see statement"},
    CourseTerm{"not_enough", "Statement: not enough", "", "Too few days with a value to say whether it changed.",
               "Fewer than 6 days, or no measurement error is known.", "see statement"},
    CourseTerm{"described_only", "Statement: described only", "",
               "The measure is none of the few that are tested: its figures are told, and nothing is said of a change.", "", kOurChoice},
    CourseTerm{"beyond_published", "Beyond the published error", "",
               "With too few days for a statement: whether the change from first to now exceeds the published error, +44 % or -31 % of an "
               "amplitude. It is no claim: that error is of one session, between two visits it may be larger, and a few days show no course.",
               "Primary measures only. Empty for measures of which no published error is known, such as times.", kPublishedError},
    CourseTerm{"plateau", "Plateau", kChangeUnit,
               "The last 6 weeks lie level: the 95 % interval of the change over them holds 0 and stays within the "
               "measurement error, and rules out the pace of the whole course where that has a direction.",
               "Needs at least 4 weeks and 6 days with a value; primary measures only.", kOurChoice},
    CourseTerm{
        "sem", "Standard error of measurement", kChangeUnit,
        "Standard deviation of the sessions of the first days: how far one session lies from this person's mean.",
        "Empty with a single day in the first block.", "Weir 2005"},
    CourseTerm{
        "mdc95", "Minimal detectable change", kChangeUnit,
        "By how much one session differs from another by chance in 95 of 100 pairs: 1.96 times the root of 2 times "
        "the standard error of measurement.",
        "As for the standard error of measurement.", "Weir 2005"},
    CourseTerm{
        "slope_per_week", "Slope", kChangeUnit,
        "Median of the slopes between all pairs of days, a week, with its 95 % interval, widened for neighbouring "
        "days that resemble each other.",
        "Empty below 2 days; its interval below 4.", "Theil 1950, Sen 1968; Hamed & Rao 1998"},
    CourseTerm{
        "p", "p", "",
        "Probability of days that follow a direction so well where there is none: Mann and Kendall, two-sided, exact "
        "for up to 10 days, allowing for neighbouring days that resemble each other.",
        "Empty below 4 days.", "Mann 1945, Kendall 1975; Hamed & Rao 1998"},
    CourseTerm{"p_adjusted", "p, accounted", "",
               "p after the account for all tested measures of the course together: with it at most 5 of 100 courses "
               "without any change show one.",
               "Primary measures only.", "Holm 1979"},
    CourseTerm{"own_repeats", "Error source: own repeats", "",
               "What is needed comes from how this person's days differ.", "", "see needed"},
    CourseTerm{
        "published", "Error source: published", "",
        "What is needed is a published figure: this person's days are too few, or differ by less than one can count "
        "on.",
        "", kPublishedError},
    CourseTerm{
        "adherence_pct", "Adherence", "%",
        "Training sessions recorded of those that the dose of the plan asks for, from the first to the last session, within the weeks that "
        "the plan states. "
        "A part week counts the days it has, in whole sessions that were due, and where the dose leaves days open those done within it. "
        "Weeks after the last session count only where the plan says "
        "so (dose.count_all_weeks), as far as today. A session outside of the weeks of a plan is neither prescribed nor counted as done of those "
        "prescribed; a plan that first comes after them begins weeks of its own, and between the two nothing is prescribed. A visit by "
        "another plan is no session of the dose.",
        "Not given as a percentage for less than a week, for fewer than 3 prescribed sessions, or above 100 %.",
        "definition"},
    CourseTerm{"step_done_pct", "Contractions done of a step", "%",
               "Contractions done of those that one step of the latest training plan asks for, over its sessions on a "
               "usable signal; contractions that could not be read are left out.",
               "Rules look at a step from 6 sessions on.", "definition"},
    CourseTerm{"silent_days", "Days without a session", "days",
               "Days from the last training session, or a later recording of another plan, to the last prescribed day, or to today where "
               "that is sooner.",
               "0 where the plan names no weeks, and where recordings have no date that can be right: they may lie between.", "definition"},
    CourseTerm{"longest_gap_days", "Longest gap", "days", "Longest time from one training session to the next.",
               "0 with a single session.", "definition"},
};

}  // namespace

std::span<const CourseTerm> course_terms() { return kTerms; }

const CourseTerm* find_course_term(std::string_view key) {
    const auto found =
        std::find_if(kTerms.begin(), kTerms.end(), [&](const CourseTerm& term) { return term.key == key; });
    return found == kTerms.end() ? nullptr : &*found;
}

}  // namespace tracehold
