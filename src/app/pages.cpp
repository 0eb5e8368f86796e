#include "app/pages.hpp"

#include <fmt/format.h>

#include "app/today.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/compose_patient_report.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/session_figures.hpp"

namespace tracehold {

Report page_of(const Scored& scored, const Options& options) {
    switch (options.reader) {
        case Reader::patient:
            return compose_patient_report(scored.score, {options.language, options.with_microvolts});
        case Reader::referrer: return compose_referrer_report(scored.score, options.language);
        case Reader::clinician: break;
    }
    const auto spectrum = spectrum_figure(scored.score, scored.clean);
    return compose_session_report(scored.score, &scored.envelope, spectrum ? &*spectrum : nullptr);
}

Report page_of(const Course& course, const Options& options, const Figure* first_and_last, const std::optional<RulesFile>& rules) {
    switch (options.reader) {
        case Reader::patient: return compose_patient_report(course, {options.language, options.with_microvolts});
        case Reader::referrer: return compose_referrer_report(course, options.language);
        case Reader::clinician: break;
    }
    return compose_course_report(course, first_and_last, rules);
}

PageStyle page_style_of(const Options& options) {
    return {.paper = options.paper, .large_type = options.reader == Reader::patient, .small_print = options.reader == Reader::referrer};
}

FhirSettings fhir_settings(const Options& options) { return {.form = options.fhir, .made = made_at()}; }

std::string page_ending(const Options& options, std::string_view ending) {
    std::string reader;
    if (options.reader == Reader::patient) reader = options.with_microvolts ? "patient-microvolts." : "patient.";
    if (options.reader == Reader::referrer) reader = "referrer.";
    if (options.language != Language::en) reader += fmt::format("{}.", to_string(options.language));
    return reader + std::string(ending);
}

}  // namespace tracehold
