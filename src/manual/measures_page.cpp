#include <fmt/format.h>

#include "manual/man_pages.hpp"
#include "tracehold/audit/audit.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/course/course_terms.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/compose_audit_report.hpp"
#include "tracehold/report/session_terms.hpp"

namespace tracehold {

namespace {

std::string term_text(const CourseTerm& term) {
    std::string out = fmt::format(".SS \"{}\"\n{}{}.\n.PP\n{}\n", roff_text(term.key), roff_text(term.title),
                                  term.unit.empty() ? "" : ", " + roff_text(term.unit), roff_text(term.definition));
    if (!term.edges.empty()) out += fmt::format(".PP\nNo value: {}\n", roff_text(term.edges));
    if (!term.source.empty()) out += fmt::format(".PP\nSource: {}\n", roff_text(term.source));
    return out;
}

}  // namespace

std::string measures_page() {
    std::string out =
        fmt::format(".TH TRACEHOLD-MEASURES 7 \"{}\" \"tracehold {}\" \"Definitions\"\n", kPageDate, kVersion) +
        ".SH NAME\ntracehold\\-measures \\- definition, unit, edges and source of every number\n"
        ".SH DESCRIPTION\nThe numbers of one contraction. Means over a session are over the contractions that were "
        "done. The same texts are printed by \\fBtracehold explain\\fR.\n";
    std::string_view family;
    for (const Measure& measure : measure_list()) {
        if (measure.family != family) out += fmt::format(".SH {}\n", roff_text(measure.family));
        family = measure.family;
        const std::string unit = measure.form == MeasureForm::yes_no ? "yes or no" : std::string(measure.unit);
        out += fmt::format(".SS \"{}\"\n{}{}.\n.PP\n{}\n.PP\nNo value: {}\n.PP\nSource: {}\n", roff_text(measure.key),
                           roff_text(measure.title), unit.empty() ? "" : ", " + roff_text(unit),
                           roff_text(measure.definition), roff_text(measure.edges), roff_text(measure.source));
    }
    out += ".SH words of a session\n";
    for (const Definition& term : session_terms())
        out += term_text({term.anchor, term.term, term.unit, term.text, term.edges, term.source});
    out += ".SH course of weeks\n";
    for (const CourseMeasure& measure : course_measures())
        if (!measure_index(measure.key))
            out += term_text({measure.key, measure.title, measure.unit, measure.definition, "", measure.source});
    for (const CourseTerm& term : course_terms()) out += term_text(term);
    out += ".SH audit of a service\n";
    for (const AuditMeasure& measure : audit_measures())
        out += fmt::format(".SS \"{}\"\n{}; counts {}.\n.PP\n{}\n.PP\nSource: {}\n", roff_text(measure.key),
                           roff_text(measure.title), roff_text(measure.counts), roff_text(measure.definition),
                           roff_text(measure.source));
    for (const Definition& term : audit_terms({.audience = Audience::others}))
        out += term_text({term.anchor, term.term, term.unit, term.text, "", term.source});
    return out + ".SH SEE ALSO\n\\fBtracehold\\fR(1), \\fBtracehold\\-formats\\fR(5)\n";
}

}  // namespace tracehold
