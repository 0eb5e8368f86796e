// What is known of the signal, its cues and what was changed by hand.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/session_sections.hpp"
#include "report/session_words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kSpansShown = 3;  // our choice: enough to go and look

std::string cues_text(const SessionScore& score) {
    const std::string start = score.cue_offset_s ? fixed_text(*score.cue_offset_s, 1) : "–";
    switch (score.cues) {
        case CueSource::marks: return std::string(words::kCuesMarks);
        case CueSource::start: return fmt::format(words::kCuesStart, start);
        case CueSource::aligned: return fmt::format(words::kCuesAligned, start, confidence_text(score.cue_confidence));
        case CueSource::trace: return std::string(words::kCuesTrace);
    }
    return {};
}

Facts signal_facts(const SessionScore& score) {
    const auto microvolts = [](double value) {
        return std::isfinite(value) ? fmt::format("{} µV", quantity_text(Estimate::of(value), "µV"))
                                    : std::string("not known");
    };
    Facts facts{{{"Cues", cues_text(score), score.cues == CueSource::aligned ? "cue_confidence" : ""},
                 {"Masked", masked_text(score), "masked_s"}}};
    if (score.quality.usable) facts.items.push_back({"Quietest level", microvolts(score.noise_floor_uv), "noise_floor_uv"});
    if (score.quality.mains) {
        const MainsHum& hum = *score.quality.mains;
        const std::string size = quantity_text(Estimate::of(hum.rms_uv), "µV");
        facts.items.push_back({"Mains hum", hum.removed ? fmt::format(words::kHumRemoved, number_text(hum.hz), size)
                                                        : fmt::format(words::kHumKept, number_text(hum.hz), size),
                               "mains_hum"});
    }
    return facts;
}

ReportTable findings_table(const Quality& quality) {
    ReportTable table{{}, {{"Severity"}, {"What was found"}, {"Where"}}, {}, {}};
    for (const Severity severity : {Severity::reject, Severity::caution, Severity::note}) {
        for (const Finding& finding : quality.findings) {
            if (finding.severity != severity) continue;
            const std::string where = finding.spans.empty() ? "whole recording" : spans_text(finding.spans);
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
            case CorrectionAction::move_contract_cue: return "cue to contract moved to " + at;
            case CorrectionAction::move_relax_cue: return "cue to relax moved to " + at;
            case CorrectionAction::move_onset: return "onset moved to " + at;
            case CorrectionAction::move_offset: return "offset moved to " + at;
            case CorrectionAction::drop_cycle: return std::string("dropped");
            case CorrectionAction::add_cycle: return (added ? "added at " : "a contraction added at ") + span;
            case CorrectionAction::mask: return "signal masked at " + span;
        }
        return std::string();
    }();
    const auto number = correction.cycle ? correction.cycle : added;
    const std::string which = number ? fmt::format("Contraction {}: ", *number) : "";
    const std::string why = correction.why.empty() ? "" : fmt::format(" ({})", correction.why);
    return fmt::format("{}{}, by {} on {}{}", which, what, correction.who, correction.when, why);
}

std::string_view severity_word(Severity severity) {
    return severity == Severity::reject ? "Unusable" : severity == Severity::caution ? "Caution" : "Note";
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
    if (!confidence || !std::isfinite(*confidence)) return "not known how";
    constexpr double kMostSaid = 0.99;  // an estimate is never certain
    return *confidence > kMostSaid ? "over 99 %" : fixed_text(100.0 * *confidence, 0) + " %";
}

std::string masked_text(const SessionScore& score) {
    const double share = score.recording.duration_s > 0 ? score.quality.masked_s / score.recording.duration_s : 0.0;
    return fmt::format("{} s ({} %)", fixed_text(score.quality.masked_s, 1), fixed_text(100.0 * share, 1));
}

Section signal_section(const SessionScore& score) {
    Section section{std::string(words::kSignal), {signal_facts(score)}};
    if (score.quality.findings.empty())
        section.blocks.push_back(Paragraph{std::string(words::kNoFindings)});
    else
        section.blocks.push_back(findings_table(score.quality));
    if (!score.notes.empty()) {
        List notes;
        for (const Note& note : score.notes)
            notes.items.push_back(note.place.empty() ? note.text : note.place + ": " + note.text);
        section.blocks.push_back(Paragraph{std::string(words::kReadingNotes)});
        section.blocks.push_back(notes);
    }
    return section;
}

Section corrections_section(const SessionScore& score) {
    if (score.corrections.empty()) {
        return {std::string(words::kCorrections), {Paragraph{std::string(words::kNoCorrections)}}};
    }
    List list;
    int next = first_added(score);
    for (const Correction& correction : score.corrections) {
        const bool adds = correction.action == CorrectionAction::add_cycle;
        list.items.push_back(correction_text(correction, adds ? std::optional(next++) : std::nullopt));
    }
    return {std::string(words::kCorrections), {list}};
}

}  // namespace tracehold
