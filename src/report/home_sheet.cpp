#include <cmath>

#include "report/local_text.hpp"
#include "report/patient_sections.hpp"
#include "report/words.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/compose_home_sheet.hpp"

namespace tracehold {
namespace {

std::string step_words(const Step& step, Language language) {
    const std::string work = seconds_words(step.seconds, language), rest = seconds_words(step.rest_seconds, language);
    const std::string again = step.times == 1 ? "" : " " + say<Say::step_again>(language, times_words(step.times, language));
    switch (step.kind) {
        case StepKind::rest: return say<Say::step_rest>(language, work);
        case StepKind::hold: return say<Say::step_hold>(language, work, rest) + again;
        case StepKind::rapid: return say<Say::step_rapid>(language, work, rest) + again;
        case StepKind::endurance: return say<Say::step_endurance>(language, work, rest) + again;
    }
    return "";
}

bool is_whole(double value) { return value >= 1.0 && value == std::round(value); }

// A session every few days; where the dose comes to no whole number of them, the therapist says how often.
std::string seldom_text(const Dose& dose, Language language) {
    const double a_week = *dose.sessions_per_day * *dose.days_per_week, days = a_week > 0.0 ? std::round(7.0 / a_week) : 0.0;
    if (days < 2.0 || std::abs(days * a_week - 7.0) > 0.05 * 7.0) return say<Say::dose_unknown>(language);
    const std::string once_in = days_words(days, language);
    return dose.weeks ? say<Say::dose_every_for>(language, once_in, weeks_words(*dose.weeks, language)) : say<Say::dose_every>(language, once_in);
}

std::string dose_text(const Dose& dose, Language language) {
    if (!dose.sessions_per_day || !dose.days_per_week) return say<Say::dose_unknown>(language);
    if (!is_whole(*dose.sessions_per_day) || !is_whole(*dose.days_per_week)) return seldom_text(dose, language);
    const std::string times = times_words(*dose.sessions_per_day, language);
    const std::string days = days_words(*dose.days_per_week, language);
    if (!dose.weeks) return say<Say::dose>(language, times, days);
    return say<Say::dose_for>(language, times, days, weeks_words(*dose.weeks, language));
}

std::string length_text(const Plan& plan, Language language) {
    const long minutes = std::lround(plan_length(plan).value / 60.0);
    return minutes < 2 ? say<Say::length_minute>(language) : say<Say::length_minutes>(language, minutes);
}

std::optional<double> line_uv(const std::optional<Threshold>& threshold) {
    if (!threshold) return {};
    if (threshold->reference_uv && threshold->percent_of_reference)
        return *threshold->reference_uv * *threshold->percent_of_reference / 100.0;
    return threshold->microvolts;
}

Section plan_section(const Plan& plan, Language language) {
    Section section{say<Say::your_plan>(language),
                    {Paragraph{dose_text(plan.dose, language) + " " + length_text(plan, language)}}};
    List steps;
    for (const Step& step : plan.steps) steps.items.push_back(step_words(step, language));
    section.blocks.emplace_back(std::move(steps));
    if (const auto line = line_uv(plan.threshold)) {
        const std::string number = local_number(fixed_text(*line, 1), language);
        section.blocks.emplace_back(Paragraph{say<Say::line_uv>(language, number)});
    }
    return section;
}

Section session_section(Language language) {
    List tips;
    for (const Say tip : {Say::tip_place, Say::tip_probe, Say::tip_battery, Say::tip_begin, Say::tip_squeeze,
                          Say::tip_let_go, Say::tip_after}) {
        tips.items.emplace_back(sentence(tip, language));
    }
    return {say<Say::session_goes>(language), {std::move(tips)}};
}

Section diary_section(Language language) {
    ReportTable diary;
    diary.caption = say<Say::diary_caption>(language);
    for (const Say title : {Say::diary_date, Say::diary_time, Say::diary_done, Say::diary_felt, Say::diary_questions}) {
        diary.columns.push_back({std::string(sentence(title, language))});
    }
    constexpr int kLines = 14;  // two weeks at once a day
    for (int i = 0; i < kLines; ++i) diary.rows.emplace_back(diary.columns.size(), Cell{""});
    diary.to_fill_in = true;
    return {say<Say::diary>(language), {std::move(diary)}};
}

}  // namespace

Report compose_home_sheet(const Plan& plan, Language language) {
    Report report;
    report.language = to_string(language);
    report.title = plan.name.empty() ? say<Say::sheet_title>(language) : say<Say::sheet_title_of>(language, plan.name);
    report.sections = {review_section(language),  plan_section(plan, language),
                       session_section(language), posture_section(plan.posture, language),
                       stop_section(language),    diary_section(language),
                       sheet_closing_section(language)};
    return report;
}

}  // namespace tracehold
