#include <fmt/format.h>

#include <map>

#include "report/en/inspection.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/report/compose_inspection_report.hpp"

namespace tracehold {
namespace {

std::string valid_text(const ChannelInspection& channel) {
    const double share =
        channel.samples == 0 ? 0.0 : 100.0 * static_cast<double>(channel.valid) / static_cast<double>(channel.samples);
    return fixed_text(share, share == 100.0 ? 0 : 1);
}

std::string range_text(const ChannelInspection& channel) {
    if (!channel.low || !channel.high) return "–";
    return with_minus(fmt::format("{} to {}", fixed_text(*channel.low, 1), fixed_text(*channel.high, 1)));
}

ReportTable channel_table(const std::vector<ChannelInspection>& channels) {
    ReportTable table{"",
                      {{"No.", true, {}},
                       {words::kChannel, false, {}},
                       {words::kKindColumn, false, {}},
                       {words::kRateHz, true, {}},
                       {words::kUnitInFile, false, {}},
                       {words::kRangeColumn, true, {}},
                       {words::kValidInFilePct, true, {}}},
                      {},
                      {}};
    for (std::size_t i = 0; i < channels.size(); ++i) {
        const ChannelInspection& channel = channels[i];
        const std::string rate = number_text(channel.rate_hz);
        table.rows.push_back({{fmt::format("{}", i + 1), 0, {}},
                              {channel.label, 0, {}},
                              {std::string(to_string(channel.kind)), 0, {}},
                              {rate, 0, {}},
                              {channel.unit.empty() ? "–" : channel.unit, 0, {}},
                              {range_text(channel), 0, {}},
                              {valid_text(channel), 0, {}}});
    }
    table.caption = words::kRangeCaption;
    return table;
}

// Of what the file holds, that which holds no muscle: "12.3 s (25.1 %)".
std::string left_out_text(const ChannelInspection& channel) {
    const double length_s = channel.rate_hz > 0.0 ? static_cast<double>(channel.samples) / channel.rate_hz : 0.0;
    const double share = length_s > 0.0 ? 100.0 * channel.quality->masked_s / length_s : 0.0;
    return fmt::format("{} s ({} %)", fixed_text(channel.quality->masked_s, 1), fixed_text(share, 1));
}

Section channel_signal(const ChannelInspection& channel) {
    Section section{fmt::format(words::kSignalOf, channel.label), {}};
    if (!channel.quality) {
        section.blocks.emplace_back(Paragraph{fmt::format(words::kNotExamined, channel.unclean), Tone::caution});
        return section;
    }
    const Quality& quality = *channel.quality;
    Facts facts{{{words::kCanBeScored, quality.usable ? "yes" : "no"},
                 {words::kLeftOutRow, left_out_text(channel)}}};
    if (channel.noise_floor_uv)
        facts.items.push_back({words::kQuietestLevel, fmt::format("{} µV", fixed_text(*channel.noise_floor_uv, 1))});
    if (quality.mains) {
        facts.items.push_back(
            {words::kMainsHum,
             fmt::format(words::kHumOf, fixed_text(quality.mains->rms_uv, 1),
                         number_text(quality.mains->hz), fixed_text(100 * quality.mains->share_of_power, 0),
                         quality.mains->removed ? ", removed" : "")});
    }
    section.blocks.emplace_back(std::move(facts));
    for (const Finding& finding : quality.findings) {
        section.blocks.emplace_back(
            Paragraph{fmt::format("{}: {}", to_string(finding.severity), finding.text), tone_of(finding.severity)});
    }
    return section;
}

std::string marks_text(const std::vector<Mark>& marks) {
    if (marks.empty()) return "none";
    std::map<std::string, int> counts;
    for (const Mark& mark : marks) ++counts[mark.text];
    constexpr std::size_t kMost = 8;
    std::string text;
    std::size_t listed = 0;
    for (const auto& [name, count] : counts) {
        if (listed++ == kMost) return text + fmt::format(words::kAndOtherTexts, counts.size() - kMost);
        text += fmt::format("{}{} '{}'", listed == 1 ? "" : ", ", count, name);
    }
    return text;
}

Section file_section(const Inspection& seen) {
    const auto or_unknown = [](const std::string& text) { return text.empty() ? words::kNotStated : text; };
    Facts facts{{{words::kFile, seen.source},
                 {words::kFormat, std::string(to_string(seen.format))},
                 {words::kPerson, or_unknown(seen.person)},
                 {words::kBegan, seen.start ? to_text(*seen.start) : words::kNotStated},
                 {words::kPosture, or_unknown(seen.posture)},
                 {words::kLength, fmt::format("{} s", fixed_text(seen.duration_s, 1))},
                 {words::kMarks, marks_text(seen.marks)}}};
    if (!seen.gaps.empty()) facts.items.push_back({words::kGaps, fmt::format("{}", seen.gaps.size())});
    facts.items.push_back({"SHA-256", seen.sha256});
    return {"", {std::move(facts), channel_table(seen.channels)}};
}

}  // namespace

Report compose_inspection_report(const Inspection& seen) {
    Report report;
    report.title = words::kWhatTheRecordingHolds;
    report.sections.push_back(file_section(seen));
    for (const ChannelInspection& channel : seen.channels) {
        if (channel.kind != ChannelKind::other) report.sections.push_back(channel_signal(channel));
    }
    if (!seen.notes.empty()) {
        List notes;
        for (const Note& note : seen.notes)
            notes.items.push_back(note.text + (note.place.empty() ? "" : " (" + note.place + ")"));
        report.sections.push_back({words::kAssumedInReading, {std::move(notes)}});
    }
    return report;
}

}  // namespace tracehold
