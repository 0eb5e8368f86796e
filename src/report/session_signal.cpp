// What is known of the signal, its cues and what was changed by hand.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/session_sections.hpp"
#include "report/en/session.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kSpansShown = 3;  // our choice: enough to go and look

std::string cues_text(const SessionScore& score) {
    const std::string start = score.cue_offset_s ? fixed_text(*score.cue_offset_s, 1) : "–";
    switch (score.cues) {
        case CueSource::marks: return words::kCuesMarks;
        case CueSource::start: return fmt::format(words::kCuesStart, start);
        case CueSource::aligned: return fmt::format(words::kCuesAligned, start, confidence_text(score.cue_confidence));
        case CueSource::trace: return words::kCuesTrace;
    }
    return {};
}

Facts signal_facts(const SessionScore& score) {
    const auto microvolts = [](double value) {
        return std::isfinite(value) ? fmt::format("{} µV", quantity_text(Estimate::of(value), "µV"))
                                    : words::kNotKnown;
    };
    Facts facts{{{words::kCues, cues_text(score), score.cues == CueSource::aligned ? "cue_confidence" : ""},
                 {words::kMasked, masked_text(score), "masked_s"}}};
    if (score.quality.usable) facts.items.push_back({words::kQuietestLevel, microvolts(score.noise_floor_uv), "noise_floor_uv"});
    if (score.quality.mains) {
        const MainsHum& hum = *score.quality.mains;
        const std::string size = quantity_text(Estimate::of(hum.rms_uv), "µV");
        facts.items.push_back({words::kMainsHum, hum.removed ? fmt::format(words::kHumRemoved, number_text(hum.hz), size)
                                                        : fmt::format(words::kHumKept, number_text(hum.hz), size),
                               "mains_hum"});
    }
    return facts;
}

ReportTable findings_table(const Quality& quality) {
    ReportTable table{{}, {{words::kSeverity}, {words::kWhatWasFound}, {words::kWhere}}, {}, {}};
    for (const Severity severity : {Severity::reject, Severity::caution, Severity::note}) {
        for (const Finding& finding : quality.findings) {
            if (finding.severity != severity) continue;
            const std::string where = finding.spans.empty() ? words::kWholeRecording : spans_text(finding.spans);
            table.rows.push_back({{std::string(severity_word(severity))}, {finding.text}, {where}});
        }
    }
    return table;
}

// Those added have the numbers after the last that the recording gave.
int first_added(const SessionScore& score) {
    const auto with = [&](CorrectionAction action) {
        return std::count_if(score.corrections.begin(), score.corrections.end(), [&](const Correction& c) { return c.action == action; });
    };
    const auto found = std::ssize(score.cycles) - with(CorrectionAction::add_cycle) + with(CorrectionAction::drop_cycle);
    return static_cast<int>(found) + 1;
}

}  // namespace

std::string correction_text(const Correction& correction, std::optional<int> added) {
    const std::string what = [&] {
        const std::string at = fixed_text(correction.from_s, 2) + " s";
        const std::string span = fixed_text(correction.from_s, 2) + "–" + fixed_text(correction.to_s, 2) + " s";
        switch (correction.action) {
            case CorrectionAction::move_contract_cue: return words::kCueToContractMovedTo + at;
            case CorrectionAction::move_relax_cue: return words::kCueToRelaxMovedTo + at;
            case CorrectionAction::move_onset: return words::kOnsetMovedTo + at;
            case CorrectionAction::move_offset: return words::kOffsetMovedTo + at;
            case CorrectionAction::drop_cycle: return std::string("dropped");
            case CorrectionAction::add_cycle: return (added ? words::kAddedAt : words::kAContractionAddedAt) + span;
            case CorrectionAction::mask: return words::kSignalMaskedAt + span;
        }
        return std::string();
    }();
    const auto number = correction.cycle ? correction.cycle : added;
    const std::string which = number ? fmt::format(words::kContractionNumber, *number) : "";
    const std::string why = correction.why.empty() ? "" : fmt::format(" ({})", correction.why);
    return fmt::format("{}{}, by {} on {}{}", which, what, correction.who, correction.when, why);
}

std::string_view severity_word(Severity severity) {
    return severity == Severity::reject ? words::kUnusableColumn : severity == Severity::caution ? words::kCaution : words::kNote;
}

Tone tone_of(Severity severity) {
    return severity == Severity::reject ? Tone::reject : severity == Severity::caution ? Tone::caution : Tone::plain;
}

std::string spans_text(const std::vector<TimeSpan>& spans) {
    std::string text;
    for (std::size_t i = 0; i < std::min(spans.size(), kSpansShown); ++i)
        text += (i == 0 ? "" : ", ") + span_text(spans[i]);
    if (spans.size() > kSpansShown) text += fmt::format(" and {} more", spans.size() - kSpansShown);
    return text;
}

std::string confidence_text(std::optional<double> confidence) {
    if (!confidence || !std::isfinite(*confidence)) return words::kNotKnownHow;
    constexpr double kMostSaid = 0.99;  // an estimate is never certain
    return *confidence > kMostSaid ? "over 99 %" : fixed_text(100.0 * *confidence, 0) + " %";
}

std::string masked_text(const SessionScore& score) {
    const double share = score.recording.duration_s > 0 ? score.quality.masked_s / score.recording.duration_s : 0.0;
    return fmt::format("{} s ({} %)", fixed_text(score.quality.masked_s, 1), fixed_text(100.0 * share, 1));
}

Section signal_section(const SessionScore& score) {
    Section section{words::kSignal, {signal_facts(score)}};
    if (score.quality.findings.empty())
        section.blocks.push_back(Paragraph{words::kNoFindings});
    else
        section.blocks.push_back(findings_table(score.quality));
    if (!score.notes.empty()) {
        List notes;
        for (const Note& note : score.notes)
            notes.items.push_back(note.place.empty() ? note.text : note.place + ": " + note.text);
        section.blocks.push_back(Paragraph{words::kReadingNotes});
        section.blocks.push_back(notes);
    }
    return section;
}

Section corrections_section(const SessionScore& score) {
    if (score.corrections.empty()) {
        return {words::kCorrections, {Paragraph{words::kNoCorrections}}};
    }
    List list;
    int next = first_added(score);
    for (const Correction& correction : score.corrections) {
        const bool adds = correction.action == CorrectionAction::add_cycle;
        list.items.push_back(correction_text(correction, adds ? std::optional(next++) : std::nullopt));
    }
    return {words::kCorrections, {list}};
}

}  // namespace tracehold
