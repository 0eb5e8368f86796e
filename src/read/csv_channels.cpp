#include "read/csv_channels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

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
    float median = 0.0f;  // of at most 100,000 samples, evenly picked; looked for only where none is negative
    bool whole = true;
};

float median_of_some(const std::vector<float>& samples) {
    constexpr std::size_t kPicked = 100'000;
    const std::size_t stride = samples.size() / kPicked + 1;
    std::vector<float> picked;
    picked.reserve(samples.size() / stride + 1);
    for (std::size_t i = 0; i < samples.size(); i += stride) {
        if (!std::isnan(samples[i])) picked.push_back(samples[i]);
    }
    if (picked.empty()) picked.push_back(*std::find_if(samples.begin(), samples.end(), [](float x) { return x == x; }));
    const auto middle = picked.begin() + static_cast<std::ptrdiff_t>(picked.size() / 2);
    std::nth_element(picked.begin(), middle, picked.end());
    return *middle;
}

Facts facts_of(const std::vector<float>& samples) {
    constexpr float kFarthest = std::numeric_limits<float>::infinity();
    std::array<float, 8> least, most;  // eight side by side: a single one would wait for itself at every sample
    least.fill(kFarthest);
    most.fill(-kFarthest);
    Facts facts;
    for (std::size_t i = 0; i < samples.size(); i += least.size()) {
        const std::size_t lanes = std::min(least.size(), samples.size() - i);
        for (std::size_t k = 0; k < lanes; ++k) {  // a missing sample is neither below nor above anything
            const float x = samples[i + k];
            facts.count += x == x;
            least[k] = x < least[k] ? x : least[k];
            most[k] = x > most[k] ? x : most[k];
        }
    }
    if (facts.count == 0) return facts;
    facts.least = *std::min_element(least.begin(), least.end());
    facts.most = *std::max_element(most.begin(), most.end());
    facts.whole = std::all_of(samples.begin(), samples.end(), [](float x) { return std::isnan(x) || x == std::trunc(x); });
    if (facts.least >= 0.0f) facts.median = median_of_some(samples);
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
