#include "read/csv_channels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "read/voltage_unit.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr double kEnvelopeRate_hz =
    100.0;  // surface EMG has its power above 20 Hz, so no one keeps its trace at this rate

struct Facts {
    std::size_t count = 0;
    float least = 0.0f;
    float most = 0.0f;
    float median = 0.0f;  // of at most 100,000 samples, evenly picked
    bool whole = true;
};

Facts facts_of(const std::vector<float>& samples) {
    constexpr std::size_t kPicked = 100'000;
    const std::size_t stride = samples.size() / kPicked + 1;
    Facts facts;
    std::vector<float> picked;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const float x = samples[i];
        if (std::isnan(x)) continue;
        facts.least = facts.count == 0 ? x : std::min(facts.least, x);
        facts.most = facts.count == 0 ? x : std::max(facts.most, x);
        facts.whole = facts.whole && x == std::trunc(x);
        ++facts.count;
        if (i % stride == 0 || picked.empty()) picked.push_back(x);
    }
    if (picked.empty()) return facts;
    const auto middle = picked.begin() + static_cast<std::ptrdiff_t>(picked.size() / 2);
    std::nth_element(picked.begin(), middle, picked.end());
    facts.median = *middle;
    return facts;
}

// The middle of the values is far from zero, and they reach about as far below it as above it. An amplitude does not:
// its rest lies near its least value. The limits are our choice: counts of a converter stand at hundreds, and 0.3
// leaves room for a lopsided burst. In: never negative.
bool swings_around_offset(const Facts& facts) {
    const float offset = facts.whole ? 100.0f : 1000.0f;
    return facts.median >= offset && facts.median - facts.least >= 0.3f * (facts.most - facts.median);
}

std::string quoted(const Channel& channel) { return fmt::format("'{}'", shown(channel.label)); }

void note_unit(const Channel& channel, const Facts& facts, std::vector<Note>& notes) {
    std::string text = fmt::format("no unit for {}; microvolts were assumed", quoted(channel));
    if (facts.whole && facts.least >= 0.0f && facts.count > 0 && swings_around_offset(facts)) {
        text += fmt::format(", but whole numbers around {} look like counts of a converter, whose size nobody said",
                            facts.median);
    }
    notes.push_back({"unit_assumed", "", text});
}

void note_kind(Channel& channel, ChannelKind kind, std::string_view why, std::vector<Note>& notes) {
    channel.kind = kind;
    const bool raw = kind == ChannelKind::raw;
    notes.push_back({raw ? "kind_raw" : "kind_envelope", "",
                     fmt::format("{} was read as {}: {}", quoted(channel), raw ? "a raw trace" : "an envelope", why)});
}

}  // namespace

ColumnUnit unit_of(const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings,
                   const std::string& source) {
    if (!settings.unit.empty() && !microvolts_per(settings.unit)) {
        throw Error(ErrorKind::bad_setting, source, "",
                    fmt::format("not a unit: saw '{}', expected uV, mV or V", shown(settings.unit)), "--unit uV|mV|V");
    }
    if (!column.voltage) return {column.unit, true, 1.0};
    const std::string& said = !settings.unit.empty() ? settings.unit
                              : !column.unit.empty() ? column.unit
                                                     : sayings.unit;
    const auto factor = microvolts_per(said);
    return factor ? ColumnUnit{said, true, *factor} : ColumnUnit{"", false, 1.0};
}

void settle_kind(Channel& channel, const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings,
                 std::vector<Note>& notes) {
    channel.kind = ChannelKind::other;
    if (!column.voltage) return;
    channel.kind = ChannelKind::raw;
    const Facts facts = facts_of(channel.samples);
    if (!channel.unit_known) note_unit(channel, facts, notes);
    const bool positive = facts.count > 0 && facts.least >= 0.0f && facts.most > facts.least;
    if (settings.kind) return note_kind(channel, *settings.kind, "the user says so", notes);
    if (column.envelope) return note_kind(channel, ChannelKind::envelope, "its name says so", notes);
    if (sayings.kind) return note_kind(channel, *sayings.kind, "the file says so", notes);
    if (channel.rate.value <= kEnvelopeRate_hz) {
        const std::string_view doubt = facts.least >= 0.0f ? "" : ", though it has negative values";
        return note_kind(
            channel, ChannelKind::envelope,
            fmt::format("a rate of {} Hz is too low for a raw trace{}", number_text(channel.rate.value), doubt), notes);
    }
    if (!positive) return;
    if (swings_around_offset(facts)) {
        return note_kind(channel, ChannelKind::raw,
                         fmt::format("it is never negative, but swings both ways around {}", facts.median), notes);
    }
    note_kind(channel, ChannelKind::envelope, "it is never negative", notes);
}

}  // namespace tracehold
