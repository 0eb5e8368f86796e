#include "tracehold/report/compose_session_report.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/limits_and_cautions.hpp"
#include "report/session_sections.hpp"
#include "report/en/session.hpp"
#include "tracehold/report/session_figures.hpp"

namespace tracehold {
namespace {

// 2026-03-03 19:05; anonymous days have no time.
std::string when_text(const std::optional<CivilTime>& start, IdentityLevel identity) {
    if (!start) return words::kNoDate;
    if (identity == IdentityLevel::anonymous) return date_text(*start);
    std::string text = to_text(*start).substr(0, std::string_view("2026-03-03T19:05").size());
    std::replace(text.begin(), text.end(), 'T', ' ');
    return text;
}

std::string title_of(const RecordingFacts& recording, IdentityLevel identity) {
    const std::string person = recording.person.empty() ? words::kPersonNotNamed : recording.person;
    return fmt::format(words::kTitle, person, when_text(recording.start, identity));
}

Section drawn_section(const SessionScore& score, const Envelope& envelope) {
    Section section = envelope_section(score, envelope);
    if (auto figure = overlay_figure(score, envelope)) section.blocks.emplace_back(std::move(*figure));
    return section;
}

Section each_cycle_section(const SessionScore& score) {
    Section section = cycles_section(score);
    if (auto figure = measures_figure(score)) section.blocks.emplace_back(std::move(*figure));
    return section;
}

}  // namespace

Report compose_session_report(const SessionScore& score, const Envelope* envelope, const Figure* spectrum) {
    Report report;
    report.title = title_of(score.recording, score.settings.identity);
    report.sections.push_back(head_section(score));
    report.sections.push_back(brief_section(score));
    if (envelope && !envelope->uv.empty()) report.sections.push_back(drawn_section(score, *envelope));
    if (!score.cycles.empty()) report.sections.push_back(each_cycle_section(score));
    const bool assessed = score.plan && purpose_of(*score.plan) == PlanPurpose::assessment && !score.rests.empty();
    if (score.plan && (score.steps.size() > 1 || assessed)) report.sections.push_back(steps_section(score));
    report.sections.push_back(signal_section(score));
    if (spectrum) report.sections.back().blocks.emplace_back(*spectrum);
    report.sections.push_back(corrections_section(score));
    report.sections.push_back(definitions_section(score));
    report.sections.push_back(making_section(score));
    report.sections.push_back(limits_section());
    report.sections.push_back(cautions_section());
    return report;
}

}  // namespace tracehold
