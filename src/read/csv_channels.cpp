#include "read/csv_channels.hpp"

#include <fmt/format.h>

#include "read/signal_kind.hpp"
#include "read/voltage_unit.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

std::string quoted(std::string_view label) { return fmt::format("'{}'", shown(label)); }

bool looks_like_counts(const SignalLook& look) { return look.whole && look.shape == SignalShape::on_offset; }

// Ends without a full stop; what was written counts more than that it was not understood.
void note_unit(Channel& channel, const SignalLook& look) {
    std::string text = channel.unit.empty() ? fmt::format("no unit for {}", quoted(channel.label))
                                            : fmt::format("the unit '{}' of {} has no known size", shown(channel.unit), quoted(channel.label));
    text += "; microvolts were assumed, and values may be wrong by a constant factor";
    if (looks_like_counts(look)) {
        text += fmt::format(", but whole numbers around {} look like counts of a converter, whose size nobody said", look.median);
    }
    channel.doubts.push_back({"unit_assumed", "", text, true});
}

// Who says what the channel is, and why that is believed.
KindFound kind_of(const SignalLook& look, Hertz rate, const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings) {
    if (settings.kind) return find_kind(look, rate, settings.kind, "the user says so");
    if (column.envelope) return find_kind(look, rate, ChannelKind::envelope, "its name says so");
    return find_kind(look, rate, sayings.kind, "the file says so");
}

[[noreturn]] void refuse_two_units(const CsvColumn& column, const std::string& first, const char* where, const std::string& second, const char* also,
                                   const std::string& source) {
    throw Error(ErrorKind::malformed, source, "",
                fmt::format("two units for {}: saw '{}' {} and '{}' in {}, expected one", quoted(column.label), shown(first), where, shown(second), also),
                "look up which is right and say it: --unit uV, --unit mV or --unit V");
}

void refuse_two_units(const CsvColumn& column, const CsvSayings& sayings, const std::string& source) {
    if (!column.unit_above.empty()) refuse_two_units(column, column.unit_above, "in its name", column.unit, "the row of units", source);
    const bool in_lines = !sayings.other_unit.empty() && column.unit.empty();
    const bool in_name = !column.unit.empty() && !sayings.unit.empty() && microvolts_per(column.unit) != microvolts_per(sayings.unit);
    if (!in_lines && !in_name) return;
    const std::string& first = in_name ? column.unit : sayings.other_unit;
    refuse_two_units(column, first, in_name ? "in its heading" : "in one line", sayings.unit, "a line above the data", source);
}

}  // namespace

ColumnUnit unit_of(const CsvColumn& column, const CsvSayings& sayings, const ReadSettings& settings,
                   const std::string& source) {
    if (!settings.unit.empty() && !microvolts_per(settings.unit)) {
        throw Error(ErrorKind::bad_setting, source, "",
                    fmt::format("not a unit: saw '{}', expected uV, mV or V", shown(settings.unit)), "--unit uV|mV|V");
    }
    if (!column.voltage) return {.text = column.unit, .voltage = false};
    if (!settings.unit.empty()) return {.text = settings.unit, .factor = *microvolts_per(settings.unit)};
    refuse_two_units(column, sayings, source);
    const std::string& said = column.unit.empty() ? sayings.unit : column.unit;
    if (const auto factor = microvolts_per(said)) return {.text = said, .factor = *factor};
    return {.text = said, .known = false, .voltage = !is_other_unit(said)};
}

void settle_kind(Channel& channel, const ColumnUnit& unit, const CsvColumn& column, const CsvSayings& sayings,
                 const ReadSettings& settings, std::vector<Note>& notes) {
    channel.kind = ChannelKind::other;
    channel.unit_known = unit.known || !unit.voltage;
    if (!unit.voltage) return;
    const SignalLook look = look_of(channel.samples, channel.rate);
    if (!channel.unit_known) {
        note_unit(channel, look);
    } else if (looks_like_counts(look) && settings.unit.empty()) {
        channel.doubts.push_back({"unit_doubtful", "",
                                  fmt::format("{} is said to be in {}, but whole numbers around {} look like counts of a converter; values may "
                                              "be wrong by a constant factor, --unit says the unit",
                                              quoted(channel.label), shown(channel.unit), look.median), true});
    }
    const KindFound found = kind_of(look, channel.rate, column, sayings, settings);
    channel.kind = found.kind;
    const bool raw = found.kind == ChannelKind::raw;
    const std::string read_as = fmt::format("{} was read as {}: ", quoted(channel.label), raw ? "a raw trace" : "an envelope");
    if (!found.why.empty()) notes.push_back({raw ? "kind_raw" : "kind_envelope", "", read_as + found.why});
    if (!found.doubt.empty()) channel.doubts.push_back({"kind_doubtful", "", read_as + found.doubt, true});
}

}  // namespace tracehold
