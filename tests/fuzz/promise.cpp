#include "fuzz/promise.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold::fuzz {
namespace {

constexpr double kLongest_s = 31.0 * 86400.0 + 1.0;  // of a recording, as its readers say

bool is_code(std::string_view code) {
    const auto fits = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_'; };
    return !code.empty() && std::all_of(code.begin(), code.end(), fits);
}

void check_channel(const Channel& channel) {
    require(is_utf8(channel.label) && is_utf8(channel.unit) && is_utf8(channel.prefilter), "channel texts are UTF-8");
    require(std::isfinite(channel.rate.value) && channel.rate.value > 0.0, "a rate is above zero");
    require(!channel.samples.empty(), "a channel has a sample");
    const bool finite = std::none_of(channel.samples.begin(), channel.samples.end(), [](float x) { return std::isinf(x); });
    require(finite, "a sample is a finite number or missing");
    if (channel.low_limit) require(std::isfinite(*channel.low_limit), "a low limit is finite");
    if (channel.high_limit) require(std::isfinite(*channel.high_limit), "a high limit is finite");
    if (channel.low_limit && channel.high_limit) require(*channel.low_limit < *channel.high_limit, "limits have an order");
    if (channel.step) require(std::isfinite(*channel.step) && *channel.step > 0.0F, "a step is above zero");
}

// Inside a gap, half a sample from its ends left out, nothing was recorded.
bool is_empty_in(const Channel& channel, TimeSpan gap) {
    const double rate = channel.rate.value;
    const auto begin = static_cast<std::size_t>(std::ceil(gap.begin_s * rate + 0.5));
    const auto end = static_cast<std::size_t>(std::max(0.0, std::floor(gap.end_s * rate - 0.5)));
    for (std::size_t i = begin; i < std::min(end, channel.samples.size()); ++i) {
        if (!std::isnan(channel.samples[i])) return false;
    }
    return true;
}

void check_gaps(const Recording& recording) {
    double last_s = 0.0;
    for (const TimeSpan& gap : recording.gaps) {
        require(gap.begin_s >= last_s - 1e-6 && gap.end_s > gap.begin_s, "gaps are in order and not empty");
        require(gap.end_s <= recording.duration_s() + 1e-3, "a gap ends with the recording");
        for (const Channel& channel : recording.channels) require(is_empty_in(channel, gap), "nothing is read in a gap");
        last_s = gap.end_s;
    }
}

void check_marks(const Recording& recording) {
    double last_s = -INFINITY;
    for (const Mark& mark : recording.marks) {
        require(std::isfinite(mark.time_s) && std::isfinite(mark.duration_s), "times of marks are finite");
        require(mark.time_s >= last_s && mark.duration_s >= 0.0, "marks are in order of time");
        require(!mark.text.empty() && is_utf8(mark.text), "a mark has a text in UTF-8");
        last_s = mark.time_s;
    }
}

}  // namespace

void require(bool holds, std::string_view promise) {
    if (!holds) throw BrokenPromise(std::string(promise));
}

void require_equal(std::string_view a, std::string_view b, std::string_view promise) {
    if (a == b) return;
    const auto at = static_cast<std::size_t>(std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first - a.begin());
    const std::size_t from = at < 40 ? 0 : at - 40;
    throw BrokenPromise(fmt::format("{}: at byte {} '{}' and '{}'", promise, at, shown(a.substr(from), 90),
                                    shown(b.substr(std::min(from, b.size())), 90)));
}

bool is_harmless(std::string_view text, std::size_t max_bytes) {
    return text.size() <= max_bytes && is_utf8(text) && shown(text, text.size()) == text;
}

void check_recording(const Recording& recording) {
    require(!recording.channels.empty(), "a recording has a channel");
    for (const Channel& channel : recording.channels) check_channel(channel);
    require(recording.duration_s() <= kLongest_s, "a recording lasts 31 days at most");
    require(is_utf8(recording.person) && is_utf8(recording.posture), "texts are UTF-8");
    if (recording.start) {
        const auto again = parse_civil_time(to_text(*recording.start));
        require(again == recording.start, "a start is written and read as the same");
    }
    check_marks(recording);
    check_gaps(recording);
    for (const Note& note : recording.notes) {
        require(is_code(note.code), "a note has a code");
        require(!note.text.empty() && is_harmless(note.text, 1000) && is_harmless(note.place, 200), "a note is harmless");
    }
}

void check_error(const Error& error, std::string_view source) {
    require(error.source == source, "an error names its source");
    require(is_harmless(error.place, 300), "the place of an error is short and harmless");
    require(!error.message.empty() && is_harmless(error.message, 1000), "a message is short and harmless");
    require(is_harmless(error.hint, 300), "a hint is short and harmless");
    require(error.kind != ErrorKind::cannot_open && error.kind != ErrorKind::cannot_write, "a reader of bytes opens nothing");
}

}  // namespace tracehold::fuzz
