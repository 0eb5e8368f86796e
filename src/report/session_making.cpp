// Definitions of what was shown, and how it was made.
#include <fmt/format.h>

#include <algorithm>

#include "report/en/session.hpp"
#include "report/patient_tally.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/session_terms.hpp"

namespace tracehold {
namespace {

std::string band_text(const SessionScore& score) {
    if (score.high_hz <= 0.0) return words::kNoBand;
    return fmt::format(words::kBand, number_text(score.low_hz), number_text(score.high_hz), score.settings.clean.order);
}

std::string envelope_text(const SessionScore& score) {
    const std::string window = number_text(1000.0 * score.envelope_window_s) + " ms";
    const std::string subtracted =
        noise_subtracted(score) ? words::kQuietestLevelSubtractedInPower : "";
    switch (score.envelope_method) {
        case EnvelopeMethod::moving_rms:
            return fmt::format(words::kMovingRMSOver, number_text(1000.0 * score.settings.envelope.window.value) + " ms", subtracted);
        case EnvelopeMethod::rectified: return fmt::format(words::kRectifiedAndSmoothedOver, window, subtracted);
        case EnvelopeMethod::as_exported:
            return fmt::format(words::kAsExportedByTheRecorderEvery, window,
                               subtracted + (baseline_subtracted(score) ? words::kRunningBaselineSubtracted : ""));
    }
    return {};
}

std::string_view mains_text(MainsRemoval removal) {
    switch (removal) {
        case MainsRemoval::off: return words::kMeasuredOnly;
        case MainsRemoval::automatic: return words::kRemovedWhereFound;
        case MainsRemoval::hz50: return words::k50HzRemovedWhereFound;
        case MainsRemoval::hz60: return words::k60HzRemovedWhereFound;
    }
    return {};
}

}  // namespace

std::string file_text(const std::string& name, const std::string& sha256) {
    return sha256.empty() ? name : fmt::format("{} (SHA-256 {})", name, sha256);
}

Section definitions_section(const SessionScore& score) {
    auto shown = cycle_measures();
    for (const std::size_t measure : brief_measures(score)) shown.push_back(measure);
    const bool endured = std::any_of(score.cycles.begin(), score.cycles.end(), [](const ScoredCycle& scored) {
        return scored.cycle.kind == StepKind::endurance;
    });
    if (endured) shown.push_back(*measure_index("endurance_s"));
    if (tally(score).reached.of > 0) shown.push_back(*measure_index("reached_threshold"));
    std::sort(shown.begin(), shown.end());
    shown.erase(std::unique(shown.begin(), shown.end()), shown.end());
    Definitions definitions;
    for (const std::size_t place : shown) {
        const Measure& measure = measure_list()[place];
        definitions.items.push_back({std::string(measure.key), std::string(measure.title), std::string(measure.unit),
                                     std::string(measure.definition), std::string(measure.edges),
                                     std::string(measure.source)});
    }
    for (Definition& term : session_terms()) definitions.items.push_back(std::move(term));
    const Paragraph vocabulary{words::kWords};
    if (score.cycles.empty()) return {words::kDefinitions, {vocabulary}};
    return {words::kDefinitions, {vocabulary, definitions, Paragraph{words::kExplain}}};
}

Section making_section(const SessionScore& score) {
    Facts facts{{{words::kSoftwareRow, fmt::format("{} {}, definitions {}", kName, kVersion, kMeasuresVersion)},
                 {words::kRecordingColumn, file_text(score.recording.source, score.recording.sha256)}}};
    if (score.plan) facts.items.push_back({words::kPlanRow, file_text(score.plan->source, score.plan->sha256)});
    const std::string& corrected_by = score.settings.given.corrections_sha256;
    if (!corrected_by.empty()) facts.items.push_back({words::kCorrections, fmt::format("SHA-256 {}", corrected_by)});
    facts.items.push_back(
        {words::kFormat, fmt::format("{}, in {}", to_string(score.recording.format),
                               score.recording.unit.empty() ? words::kNoStatedUnit : score.recording.unit)});
    facts.items.push_back({words::kBandRow, band_text(score)});
    facts.items.push_back({words::kEnvelopeRow, envelope_text(score)});
    if (score.high_hz > 0.0) facts.items.push_back({words::kMains, std::string(mains_text(score.settings.clean.mains))});
    return {words::kMaking, {facts, Paragraph{words::kAllMeasures}}};
}

}  // namespace tracehold
