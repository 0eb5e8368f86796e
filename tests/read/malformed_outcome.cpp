#include "malformed_outcome.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold::test {
namespace {

std::string channel_text(const Channel& channel) {
    const auto missing = std::count_if(channel.samples.begin(), channel.samples.end(), [](float x) { return std::isnan(x); });
    std::string text = fmt::format("{} {} {} Hz {}", channel.label, to_string(channel.kind), number_text(channel.rate.value), channel.samples.size());
    if (missing > 0) text += fmt::format("-{}", missing);
    return text;
}

std::string note_line(const Note& note) {
    return fmt::format("\n{}{} [{}]: {}", note.doubt ? "doubt: " : "", note.code, note.place, note.text);
}

std::string facts_text(const Recording& recording) {
    std::string text = fmt::format("{}{}{}", to_string(recording.format), recording.start ? " " : "", recording.start ? to_text(*recording.start) : "");
    for (const Channel& channel : recording.channels) text += (&channel == recording.channels.data() ? ": " : ", ") + channel_text(channel);
    for (const Mark& mark : recording.marks) text += fmt::format("; {}@{}", mark.text, number_text(mark.time_s));
    for (const TimeSpan& gap : recording.gaps) text += fmt::format("; gap {} to {}", number_text(gap.begin_s), number_text(gap.end_s));
    return text;
}

}  // namespace

std::string outcome_of(std::string_view bytes, const ReadSettings& settings) {
    try {
        const Recording recording = read_recording(bytes, "f", settings);
        std::string text = facts_text(recording);
        for (const Note& note : recording.notes) text += note_line(note);
        for (const Channel& channel : recording.channels) {
            for (const Note& doubt : channel.doubts) text += note_line(doubt);
        }
        return text;
    } catch (const Error& error) {
        return fmt::format("{}: {}", to_string(error.kind), error.what());
    }
}

void check(const std::vector<Case>& cases, const ReadSettings& settings) {
    for (const Case& each : cases) {
        CAPTURE(each.fault);
        CHECK_EQ(outcome_of(each.bytes, settings), each.outcome);
    }
}

}  // namespace tracehold::test
