#include <fmt/format.h>

#include "tracehold/core/number_text.hpp"
#include "tracehold/report/compose_home_sheet.hpp"

namespace tracehold {
namespace {

std::string seconds(double value) { return number_text(value) + (value == 1.0 ? " second" : " seconds"); }

std::string times(double count) {
    return count == 1.0 ? "once" : count == 2.0 ? "twice" : number_text(count) + " times";
}

std::string step_text(const Step& step) {
    const std::string again = step.times == 1 ? "" : fmt::format(" Do this {} times.", step.times);
    switch (step.kind) {
        case StepKind::rest: return fmt::format("Rest for {}. Let go and breathe.", seconds(step.seconds));
        case StepKind::hold:
            return fmt::format("Squeeze and hold for {}. Then let go fully for {}.{}", seconds(step.seconds),
                               seconds(step.rest_seconds), again);
        case StepKind::rapid:
            return fmt::format("Squeeze quickly for {}. Then let go fully for {}.{}", seconds(step.seconds),
                               seconds(step.rest_seconds), again);
        case StepKind::endurance:
            return fmt::format("Squeeze and hold for up to {}. Stop when you can hold no more. Then let go for {}.{}",
                               seconds(step.seconds), seconds(step.rest_seconds), again);
    }
    return "";
}

std::string dose_text(const Dose& dose) {
    if (!dose.sessions_per_day || !dose.days_per_week) return "Your therapist tells you how often.";
    std::string text = fmt::format("Do this session {} a day, on {} days a week", times(*dose.sessions_per_day),
                                   number_text(*dose.days_per_week));
    if (dose.weeks) text += fmt::format(", for {} weeks", number_text(*dose.weeks));
    return text + ".";
}

std::string length_text(const Plan& plan) {
    const int minutes = static_cast<int>(plan_length(plan).value / 60.0 + 0.5);
    return minutes < 2 ? "One session takes about a minute."
                       : fmt::format("One session takes about {} minutes.", minutes);
}

Section plan_section(const Plan& plan) {
    Section section{"Your plan",
                    {Paragraph{dose_text(plan.dose) + " " + length_text(plan), Tone::plain},
                     Paragraph{fmt::format("How you do it: {}.", shown(plan.posture)), Tone::plain}}};
    List steps;
    for (const Step& step : plan.steps) steps.items.push_back(step_text(step));
    section.blocks.emplace_back(std::move(steps));
    if (const auto& threshold = plan.threshold) {
        std::optional<double> line_uv = threshold->microvolts;
        if (threshold->reference_uv && threshold->percent_of_reference)
            line_uv = *threshold->reference_uv * *threshold->percent_of_reference / 100.0;
        if (line_uv)
            section.blocks.emplace_back(Paragraph{
                fmt::format("The line to reach on your recorder: {} µV.", fixed_text(*line_uv, 1)), Tone::plain});
    }
    return section;
}

Section session_section() {
    return {"How a session goes",
            {List{{"Take your time. Find a quiet place. Go to the toilet first.",
                   "Look at the probe or pads. Do not use them if they are broken. They are for you alone.",
                   "Run the recorder on its battery. Do not use it while it charges, or in the bath.",
                   "Start the recorder. Lie or sit as your plan says.",
                   "Squeeze when you are told to. Lift up and in, as you learned. Keep breathing. Do not push down.",
                   "Let go when you are told to. Letting go fully is half of the work.",
                   "Clean the probe as its leaflet says. Write down the day below."}}}};
}

Section stop_section() {
    return {"Stop and call us",
            {Paragraph{"Stop, and call your therapist or doctor, if you have:", Tone::caution},
             List{{"new pain, or pain that gets worse", "bleeding", "fever, or a discharge that is new",
                   "blood in your urine", "trouble passing urine", "a new lump",
                   "itching, a rash or swelling from the probe or pads", "a probe or recorder that is broken"}},
             Paragraph{"Call an ambulance at once if your legs are weak or numb, if you are numb between the legs, or "
                       "if you cannot hold your bladder or bowel as you could before.",
                       Tone::reject},
             Paragraph{"Do not use the probe without asking first if you are pregnant, have had surgery or a birth "
                       "lately, have an infection or sores there, or have a "
                       "pacemaker or other implant.",
                       Tone::caution}}};
}

Section diary_section() {
    ReportTable diary{"One line for each session",
                      {{"Date", false, {}},
                       {"Time", false, {}},
                       {"Done", false, {}},
                       {"How it felt", false, {}},
                       {"Questions", false, {}}},
                      {},
                      {}};
    constexpr int kLines = 14;  // two weeks at once a day
    for (int i = 0; i < kLines; ++i) diary.rows.emplace_back(5, Cell{" ", 0, {}});
    return {"Your diary", {std::move(diary)}};
}

}  // namespace

Report compose_home_sheet(const Plan& plan) {
    Report report;
    report.title = plan.name.empty() ? "Your sessions at home" : fmt::format("Your sessions at home: {}", plan.name);
    report.sections = {plan_section(plan),
                       session_section(),
                       stop_section(),
                       diary_section(),
                       {"", {Paragraph{"What your therapist tells you comes before this sheet.", Tone::plain}}}};
    return report;
}

}  // namespace tracehold
