#pragma once
// Which page a reader gets, and how results are written for other programs.
#include <optional>
#include <string>
#include <string_view>

#include "app/options.hpp"
#include "app/pipeline.hpp"
#include "tracehold/course/course.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/render_html.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

Report page_of(const Scored& scored, const Options& options);
Report page_of(const Course& course, const Options& options, const Figure* first_and_last = nullptr, const std::optional<RulesFile>& rules = {});

// Large type for those who read it at home.
PageStyle page_style_of(const Options& options);

FhirSettings fhir_settings(const Options& options);

// "html", "patient.html", "patient.de.html": pages of several readers stand beside each other in a folder.
std::string page_ending(const Options& options, std::string_view ending);

}  // namespace tracehold
