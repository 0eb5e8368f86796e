#include "read/edf_channels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "read/edf_field.hpp"
#include "read/edf_samples.hpp"
#include "read/signal_kind.hpp"
#include "read/voltage_unit.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

std::string place_of(const EdfSignal& signal) { return fmt::format("signal {}", signal.number); }

std::string lower(std::string_view text) {
    std::string out{text};
    for (char& c : out) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return out;
}

// A signal of a plain EDF file named like EDF+ annotations: the specification makes it an ordinary signal; it is no
// voltage.
bool is_named_annotations(const EdfSignal& signal) {
    return signal.label == "EDF Annotations" || signal.label == "BDF Annotations";
}

bool is_voltage(const EdfSignal& signal) {
    return !is_named_annotations(signal) && (signal.unit.empty() || microvolts_per(signal.unit));
}

// The unit to use, the file's or the user's; known is false where nobody said one.
struct UsedUnit {
    std::string text;
    bool known = true;
    bool voltage = true;
    double factor = 1.0;
};

UsedUnit used_unit(const EdfSignal& signal, const std::string& wanted, bool want_all, EdfNotes& notes) {
    const bool voltage = is_voltage(signal) || (want_all && !is_named_annotations(signal));
    if (voltage && !wanted.empty()) {
        notes.add("unit_set", place_of(signal),
                  fmt::format("signal '{}': unit {} as asked, the file says '{}'", shown(signal.label), shown(wanted),
                              shown(signal.unit)));
        return {wanted, true, true, *microvolts_per(wanted)};
    }
    if (!voltage) return {signal.unit, true, false, 1.0};
    if (const auto factor = microvolts_per(signal.unit)) return {signal.unit, true, true, *factor};
    return {"", false, true, 1.0};
}

struct SaidKind {
    std::optional<ChannelKind> kind;
    std::string why;
};

SaidKind said_kind(const EdfSignal& signal, const ReadSettings& settings) {
    if (settings.kind && *settings.kind != ChannelKind::other) return {settings.kind, "the user says so"};
    const bool rectified = lower(signal.prefilter).find("rectif") != std::string::npos;
    if (rectified) return {ChannelKind::envelope, "its prefilter says rectified"};
    return {};
}

void decide_kind(const EdfSignal& signal, const ReadSettings& settings, bool voltage, Channel& channel,
                 EdfNotes& notes) {
    channel.kind = ChannelKind::other;
    if (!voltage) return;
    const SignalLook look = look_of(channel.samples, channel.rate);
    const SaidKind said = said_kind(signal, settings);
    const KindFound found = find_kind(look, channel.rate, said.kind, said.why);
    channel.kind = found.kind;
    const std::string_view read_as = found.kind == ChannelKind::raw ? "a raw trace" : "an amplitude";
    if (!found.doubt.empty()) {
        channel.doubts.push_back({"kind_doubtful", place_of(signal),
                                  fmt::format("signal '{}' was read as {}: {}", shown(signal.label), read_as, found.doubt), true});
    }
    if (settings.kind && *settings.kind == found.kind) {
        const ChannelKind looks = find_kind(look, channel.rate, {}, "").kind;
        notes.add("kind_set", place_of(signal),
                  fmt::format("signal '{}': {} as asked, it looks like {}", shown(signal.label), to_string(found.kind), to_string(looks)));
    } else if (!found.why.empty() && channel.step) {
        notes.add(found.kind == ChannelKind::raw ? "taken_as_raw" : "taken_as_envelope", place_of(signal),
                  fmt::format("signal '{}' is taken as {} because {}", shown(signal.label), read_as, found.why));
    }
}

void note_named_annotations(const EdfSignal& signal, EdfNotes& notes) {
    if (!is_named_annotations(signal)) return;
    notes.add(
        "annotations_in_plain_file", place_of(signal),
        fmt::format("signal '{}' in a file that is not marked EDF+ or BDF+: an ordinary signal by the specification, "
                    "its texts are not read as marks",
                    shown(signal.label)));
}

// The limits of a signal as they stand in the file.
std::string limits_text(std::string_view bytes, const EdfSignal& signal, std::size_t signals) {
    const auto field = [&](std::size_t column) {
        const std::size_t byte = signal.header_byte + column * 8 * signals;  // EDF specification: columns of 8 bytes
        return shown(EdfField{byte, "", bytes.substr(byte, 8)}.text());
    };
    return fmt::format("physical limits '{}' and '{}' and digital limits '{}' and '{}'", field(0), field(1), field(2),
                       field(3));
}

void check_usable(std::string_view bytes, const std::vector<Channel>& channels, const EdfHeader& header,
                  const std::string& source) {
    const auto usable = [](const Channel& channel) { return channel.step.has_value(); };
    if (std::any_of(channels.begin(), channels.end(), usable)) return;
    const EdfSignal& first = *std::find_if(header.signals.begin(), header.signals.end(),
                                           [](const EdfSignal& s) { return !s.is_annotations && s.samples > 0; });
    // EDF specification: the columns of the physical minimum and maximum, then the digital ones, 8 bytes for each signal.
    const auto &low = first.digital_min, &high = first.digital_max;
    const bool physical = low && high && *low < *high;
    throw Error{ErrorKind::malformed, source,
                fmt::format("byte {}, signal {} {} minimum", first.header_byte + (physical ? 0 : 2 * 8 * header.signals.size()), first.number,
                            physical ? "physical" : "digital"),
                fmt::format("no signal can be scaled: saw {}, expected {}", limits_text(bytes, first, header.signals.size()),
                            physical ? "two different numbers each that float32 can hold" : "a digital minimum below the digital maximum"),
                "export the recording again"};
}

}  // namespace

std::vector<Channel> read_edf_channels(std::string_view bytes, const std::string& source, const EdfHeader& header,
                                       const EdfTimeline& timeline, const ReadSettings& settings, EdfNotes& notes) {
    if (!settings.unit.empty() && !microvolts_per(settings.unit)) {
        throw Error{ErrorKind::bad_setting,
                    source,
                    "unit",
                    fmt::format("no unit of voltage: saw '{}', expected uV, mV or V", shown(settings.unit)),
                    {}};
    }
    // The user's unit goes to the voltages and the signals without a unit; where there are none, to all.
    const auto takes_unit = [](const EdfSignal& s) { return !s.is_annotations && is_voltage(s); };
    const bool want_all =
        !settings.unit.empty() && std::none_of(header.signals.begin(), header.signals.end(), takes_unit);
    std::vector<Channel> channels;
    for (const EdfSignal& signal : header.signals) {
        if (signal.is_annotations || signal.samples == 0) continue;
        const UsedUnit unit = used_unit(signal, settings.unit, want_all, notes);
        note_named_annotations(signal, notes);
        Channel channel;
        channel.label = signal.label;
        channel.rate = Hertz{static_cast<double>(signal.samples) / header.record_s};
        channel.unit = unit.text;
        channel.unit_known = unit.known;
        if (!unit.known) {
            channel.doubts.push_back({"unit_assumed", place_of(signal),
                                      fmt::format("signal '{}' has no unit: microvolts were assumed, and values may be wrong by a constant "
                                                  "factor",
                                                  shown(signal.label)),
                                      true});
        }
        channel.prefilter = signal.prefilter;
        read_edf_samples(bytes, header, timeline, signal, edf_scale(signal, unit.factor, notes), channel);
        decide_kind(signal, settings, unit.voltage, channel, notes);
        channels.push_back(std::move(channel));
    }
    check_usable(bytes, channels, header, source);
    return channels;
}

}  // namespace tracehold
