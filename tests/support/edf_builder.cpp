#include "support/edf_builder.hpp"

#include <utility>

namespace tracehold::test {
namespace {

std::string padded(std::string_view text, std::size_t width) {
    std::string out{text.substr(0, width)};
    out.resize(width, ' ');
    return out;
}

void append_number(std::string& out, std::int32_t value, std::size_t sample_bytes) {
    for (std::size_t i = 0; i < sample_bytes; ++i)
        out += static_cast<char>((static_cast<std::uint32_t>(value) >> (8 * i)) & 0xFF);
}

// A triangle that crosses zero, so that no signal looks rectified by chance.
std::int32_t wave(std::size_t i) { return static_cast<std::int32_t>(i * 37 % 401) - 200; }

}  // namespace

BuiltSignal annotation_signal(std::vector<std::string> of_records, std::size_t samples, bool bdf) {
    BuiltSignal signal;
    signal.label = bdf ? "BDF Annotations" : "EDF Annotations";
    signal.unit.clear();
    signal.prefilter.clear();
    signal.physical_min = "-1";
    signal.physical_max = "1.0";
    signal.digital_min = bdf ? "-8388608" : "-32768";
    signal.digital_max = bdf ? "8388607" : "32767";
    signal.samples = samples;
    signal.annotations = std::move(of_records);
    return signal;
}

std::string stamp(std::string_view onset) { return std::string{onset} + "\x14\x14" + '\0'; }

std::string tal(std::string_view onset, std::string_view duration, std::string_view text) {
    std::string out{onset};
    if (!duration.empty()) out.append(1, '\x15').append(duration);
    return out.append(1, '\x14').append(text).append("\x14\0", 2);
}

std::string BuiltEdf::bytes() const {
    std::string out = padded(bdf ? "\xFF"
                                   "BIOSEMI"
                                 : "0",
                             8);
    out += padded(patient, 80) + padded(recording, 80) + padded(date, 8) + padded(time, 8);
    out += padded(std::to_string(256 * (signals.size() + 1)), 8) + padded(reserved, 44);
    out += padded(record_count.empty() ? std::to_string(records) : record_count, 8) + padded(duration, 8);
    out += padded(std::to_string(signals.size()), 4);
    const auto column = [&](auto text, std::size_t width) {
        for (const BuiltSignal& signal : signals) out += padded(text(signal), width);
    };
    column([](const auto& s) { return s.label; }, 16);
    column([](const auto&) { return std::string{"surface electrode"}; }, 80);
    column([](const auto& s) { return s.unit; }, 8);
    column([](const auto& s) { return s.physical_min; }, 8);
    column([](const auto& s) { return s.physical_max; }, 8);
    column([](const auto& s) { return s.digital_min; }, 8);
    column([](const auto& s) { return s.digital_max; }, 8);
    column([](const auto& s) { return s.prefilter; }, 80);
    column([](const auto& s) { return std::to_string(s.samples); }, 8);
    column([](const auto&) { return std::string{}; }, 32);
    const std::size_t sample_bytes = bdf ? 3 : 2;
    for (std::size_t record = 0; record < records; ++record) {
        for (const BuiltSignal& signal : signals) {
            if (!signal.annotations.empty()) {
                std::string block = record < signal.annotations.size() ? signal.annotations[record] : std::string{};
                block.resize(signal.samples * sample_bytes, '\0');
                out += block;
                continue;
            }
            for (std::size_t i = record * signal.samples; i < (record + 1) * signal.samples; ++i) {
                append_number(out, i < signal.digital.size() ? signal.digital[i] : wave(i), sample_bytes);
            }
        }
    }
    return out;
}

BuiltEdf small_edf() {
    BuiltEdf file;
    BuiltSignal signal;
    signal.samples = 200;
    file.signals = {signal};
    return file;
}

BuiltEdf small_edf_plus(std::string_view kind) {
    BuiltEdf file = small_edf();
    file.reserved = kind;
    file.bdf = kind.substr(0, 1) == "B";
    file.patient = "P-017 F X X";
    file.signals.push_back(annotation_signal(
        {stamp("+0") + tal("+0.5", "", "contract"), stamp("+1") + tal("+1.25", "0.5", "relax")}, 30, file.bdf));
    return file;
}

std::string patched(std::string bytes, std::size_t byte, std::size_t width, std::string_view text) {
    return bytes.replace(byte, width, padded(text, width));
}

}  // namespace tracehold::test
