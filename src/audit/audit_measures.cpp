#include "audit/audit_measures.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kFirstMonth = "the month of the person's first recording in the period";

}  // namespace

AuditMeasure signal_measure() {
    AuditMeasure measure;
    measure.key = "trustworthy_signal";
    measure.title = "Recordings with a usable signal";
    measure.counts = "recordings";
    measure.definition =
        "Recordings in the analysis whose signal was not rejected and in which the electrode saw the muscle (there is no caution "
        "'muscle_not_seen'), of all recordings in the analysis. One with another caution, to be read with care, counts as a yes. The interval is "
        "Wilson's for the number of independent recordings that they are worth, since recordings of one person hang "
        "together.";
    measure.source = "Wilson 1927; Korn & Graubard 1998, Survey Methodology 24:193-201 (effective sample size)";
    measure.month_of = "the month of the recording";
    return measure;
}

AuditMeasure adherence_measure(const AuditSettings& settings) {
    AuditMeasure measure;
    measure.key = "adherence";
    measure.title = "People who held enough of the prescribed sessions";
    measure.counts = "people";
    measure.definition =
        "Each person first: training sessions held in the week they were due (more of them in one week do not fill another), as percent of those that the plan prescribes from the first session to "
        "the end of its weeks, or to the last day of the audit where that comes first; to the last session where it states "
        "no weeks. What came after the weeks of a plan is neither prescribed nor counted. Then over people: those who reach the target, of all whose plan prescribes at least "
        "one session in that time; and the median of the percentages, where more sessions than prescribed count as 100.";
    measure.source = settings.adherence_at_least_pct
                         ? "Wilson 1927; the target is the service's own"
                         : "Wilson 1927; the service set no target: that of the program is our choice, common in trials of training";
    measure.value_title = "sessions held of those prescribed";
    measure.value_unit = "%";
    measure.value_step = 1.0;
    measure.month_of =
        "every month in which the person has a session prescribed; a week belongs to the month of its "
        "Thursday; only that month's sessions count";
    return measure;
}

AuditMeasure coming_measure() {
    AuditMeasure measure;
    measure.key = "kept_coming";
    measure.title = "People who still came at the end";
    measure.counts = "people";
    measure.definition =
        "People whose last recording in training is at most 14 days before the end of their plan's weeks, or before the last day of "
        "the audit where that comes first, of all whose plan states its weeks and who began more than 14 days before that "
        "day and have no recording without a date that can be right. Why somebody stopped is not known here.";
    measure.source = "Wilson 1927; 14 days are our choice";
    measure.month_of = kFirstMonth;
    return measure;
}

AuditMeasure change_measure() {
    AuditMeasure measure;
    measure.key = "change_beyond_error";
    measure.title = "People with a change beyond measurement error";
    measure.counts = "people";
    measure.definition =
        "People whose course states 'more' or 'less' for at least one of its tested measures under at least one set of "
        "conditions (a plan with other lengths of contraction or rest is another set), of all people whose course allows a statement of any. Whether more or less is wanted is not "
        "judged.";
    measure.source = "Wilson 1927; the statements are those of the course";
    measure.month_of = kFirstMonth;
    return measure;
}

AuditMeasure rest_measure(const AuditSettings& settings) {
    AuditMeasure measure;
    measure.key = "resting_activity_on_target";
    measure.title = "People whose resting activity is below the target";
    measure.counts = "people";
    measure.definition =
        settings.rest_below_uv
            ? "Each person first: the median of the rest mean over their last three usable sessions under one set of "
              "conditions, from whose amplitudes nothing was subtracted, training before assessment. Then over people: those below the service's own target, of all "
              "with a value; and the median of the values."
            : "Each person first: the median of the rest mean over their last three usable sessions under one set of "
              "conditions, from whose amplitudes nothing was subtracted, training before assessment. Then over people: those below the target that their own plan "
              "sets, of all with a value and such a target; and the median of all values.";
    measure.source =
        "Wilson 1927; the target is the service's own; three sessions are our choice, so that one odd "
        "session does not decide";
    measure.value_title = "resting activity";
    measure.value_unit = "\xC2\xB5V";
    measure.value_step = 0.1;
    measure.month_of = kFirstMonth;
    return measure;
}

AuditMeasure review_measure() {
    AuditMeasure measure;
    measure.key = "time_to_review";
    measure.title = "People reviewed in time";
    measure.counts = "people";
    measure.definition =
        "Each person first: days from the first recording in the period to the first review, which is the earliest "
        "date "
        "of review in the sessions list or the first assessment on a day after training began. Then over people: those "
        "reviewed within the service's target, of all for whom that time is over at the end of the audit; and the "
        "median over those reviewed. Where no review is known of anybody, none was written down, and there is no share.";
    measure.source = "Wilson 1927; the target is the service's own";
    measure.value_title = "days to review";
    measure.value_unit = "d";
    measure.value_step = 1.0;
    measure.month_of = kFirstMonth;
    return measure;
}

std::vector<AuditMeasure> audit_measures(const AuditSettings& settings) {
    return {signal_measure(), adherence_measure(settings), coming_measure(), change_measure(), rest_measure(settings), review_measure()};
}

}  // namespace tracehold
