#include "read/edf_header.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "read/edf_field.hpp"
#include "read/edf_identity.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kMainBytes = 256;   // EDF specification: the fixed part, and again as much for each signal
constexpr std::size_t kMaxSignals = 512;  // our choice: far above any recorder, so a damaged count is told as such
constexpr double kMaxDuration_s = 31.0 * 86400.0;  // our choice: a month; longer comes from a damaged record duration
constexpr double kMaxRate_hz = 1e6;                // our choice: no recorder of surface signals comes near

struct FieldSpec {
    const char* name;
    std::size_t byte;
    std::size_t width;
};
constexpr FieldSpec kVersion{"version", 0, 8}, kPatient{"patient", 8, 80}, kRecordingText{"recording", 88, 80},
    kDate{"start date", 168, 8}, kTime{"start time", 176, 8}, kHeaderLength{"header length", 184, 8},
    kReserved{"reserved", 192, 44}, kRecords{"record count", 236, 8}, kRecordDuration{"record duration", 244, 8},
    kSignals{"number of signals", 252, 4};
// byte: where the fields of all signals begin, in bytes a signal.
constexpr FieldSpec kLabel{"label", 0, 16}, kUnit{"unit", 96, 8}, kPhysicalMin{"physical minimum", 104, 8},
    kPhysicalMax{"physical maximum", 112, 8}, kDigitalMin{"digital minimum", 120, 8},
    kDigitalMax{"digital maximum", 128, 8}, kPrefilter{"prefilter", 136, 80}, kSamples{"samples per record", 216, 8};

struct HeaderReader {
    std::string_view bytes;
    const std::string& source;
    EdfNotes& notes;

    EdfField field(const FieldSpec& spec) const { return {spec.byte, spec.name, bytes.substr(spec.byte, spec.width)}; }
    EdfField field(const FieldSpec& spec, std::size_t index, std::size_t count) const {
        const std::size_t byte = kMainBytes + spec.byte * count + spec.width * index;
        return {byte, fmt::format("signal {} {}", index + 1, spec.name), bytes.substr(byte, spec.width)};
    }
    [[noreturn]] void fail(ErrorKind kind, const EdfField& at, std::string_view wrong, std::string_view expected,
                           std::string hint = {}) const {
        throw Error{kind, source, at.place(),
                    fmt::format("{}: saw '{}', expected {}", wrong, shown(at.text()), expected), std::move(hint)};
    }
    [[noreturn]] void fail_short(const char* what, std::size_t at, std::size_t wanted) const {
        throw Error{ErrorKind::too_short, source, fmt::format("byte {}, {}", at, what),
                    fmt::format("the file ends too early: saw {} bytes, expected at least {}", bytes.size(), wanted),
                    "copy or export the recording again"};
    }
};

bool is_edf_version(std::string_view version) {
    return !version.empty() && version[0] == '0' &&
           std::all_of(version.begin() + 1, version.end(), [](char c) { return c == ' ' || c == '\0'; });
}
bool is_bdf_version(std::string_view version) {
    return version ==
           "\xFF"
           "BIOSEMI";
}

// Text beyond the five letters is allowed ("EDF+C"), letter case is not looked at.
FileFormat family(bool bdf, const EdfField& reserved, EdfNotes& notes) {
    std::string mark{reserved.text().substr(0, 5)};
    for (char& c : mark) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    const bool plus = mark.size() >= 4 && (mark.substr(0, 4) == "EDF+" || mark.substr(0, 4) == "BDF+");
    if (!plus) return bdf ? FileFormat::bdf : FileFormat::edf;
    const char kind = mark.size() == 5 ? mark[4] : ' ';
    const bool known = (kind == 'C' || kind == 'D') && reserved.text().substr(0, 5) == mark && (mark[0] == 'B') == bdf;
    if (!known) {
        notes.add("plus_mark_unusual", reserved.place(),
                  fmt::format("'{}' is not exactly {}+C or {}+D: read as {}", shown(reserved.text()),
                              bdf ? "BDF" : "EDF", bdf ? "BDF" : "EDF", kind == 'D' ? "discontinuous" : "continuous"));
    }
    if (kind == 'D') return bdf ? FileFormat::bdf_plus_d : FileFormat::edf_plus_d;
    return bdf ? FileFormat::bdf_plus_c : FileFormat::edf_plus_c;
}

// With a damaged version field the reserved field, or digital limits that need more than 16 bits, tell the two apart.
bool is_bdf(const HeaderReader& in, std::size_t signals) {
    const EdfField version = in.field(kVersion);
    if (is_bdf_version(version.raw) || is_edf_version(version.raw)) return is_bdf_version(version.raw);
    const std::string_view reserved = in.field(kReserved).text();
    bool bdf = reserved.substr(0, 4) == "BDF+" || reserved.substr(0, 5) == "24BIT";
    for (std::size_t i = 0; i < signals && reserved.substr(0, 4) != "EDF+"; ++i) {
        const auto high = parse_number(in.field(kDigitalMax, i, signals).text());
        bdf = bdf || (high && *high > 65535.0);
    }
    in.notes.add("version_field_damaged", version.place(),
                 fmt::format("'{}' is neither EDF nor BDF, the rest is consistent: read as {}", shown(version.raw),
                             bdf ? "BDF" : "EDF"));
    return bdf;
}

std::size_t count_signals(const HeaderReader& in) {
    const EdfField field = in.field(kSignals);
    const EdfField length = in.field(kHeaderLength);
    auto count = edf_whole(field, in.notes);
    const auto stated = edf_whole(length, in.notes);
    const bool multiple = stated && *stated >= 512 && *stated % 256 == 0;
    if (!count && multiple) {
        count = *stated / 256 - 1;
        in.notes.add("signal_count_from_header_length", field.place(),
                     fmt::format("'{}' is no count: {} taken from the header length", shown(field.text()), *count));
    }
    if (!count || *count < 1)
        in.fail(ErrorKind::malformed, field, "no count of signals", "a whole number of 1 or more");
    if (*count > static_cast<long long>(kMaxSignals)) {
        in.fail(ErrorKind::unsupported, field, "too many signals", fmt::format("at most {}", kMaxSignals));
    }
    const auto signals = static_cast<std::size_t>(*count);
    const std::size_t header_bytes = kMainBytes * (signals + 1);
    if (in.bytes.size() < header_bytes) in.fail_short("signal headers", in.bytes.size(), header_bytes);
    if (!stated || *stated != static_cast<long long>(header_bytes)) {
        in.notes.add(
            "header_length_wrong", length.place(),
            fmt::format("'{}' does not fit {} signals: {} bytes taken", shown(length.text()), signals, header_bytes));
    }
    return signals;
}

EdfSignal read_signal(const HeaderReader& in, std::size_t index, std::size_t count, bool plus) {
    EdfSignal signal;
    signal.number = index + 1;
    signal.label = edf_label(in.field(kLabel, index, count), in.notes);
    signal.is_annotations = plus && (signal.label == "EDF Annotations" || signal.label == "BDF Annotations");
    const EdfField samples = in.field(kSamples, index, count);
    const auto whole = edf_whole(samples, in.notes);
    if (!whole || *whole < 0) {
        in.fail(ErrorKind::malformed, samples, "no count of samples", "a whole number of 0 or more",
                "without it the place of every later sample is unknown; export the recording again");
    }
    signal.samples = static_cast<std::size_t>(*whole);
    if (signal.is_annotations) return signal;
    signal.unit = edf_label(in.field(kUnit, index, count), in.notes);
    signal.prefilter = edf_label(in.field(kPrefilter, index, count), in.notes);
    const EdfField physical_min = in.field(kPhysicalMin, index, count);
    signal.header_byte = physical_min.byte;
    signal.physical_min = edf_number(physical_min, in.notes);
    signal.physical_max = edf_number(in.field(kPhysicalMax, index, count), in.notes);
    signal.digital_min = edf_number(in.field(kDigitalMin, index, count), in.notes);
    signal.digital_max = edf_number(in.field(kDigitalMax, index, count), in.notes);
    return signal;
}

// Places the signals inside a record; every product and sum is checked, nothing is allocated by them.
void lay_out_record(const HeaderReader& in, EdfHeader& header) {
    for (EdfSignal& signal : header.signals) {
        signal.record_byte = header.record_bytes;
        std::size_t bytes = 0;
        const bool overflow = __builtin_mul_overflow(signal.samples, header.sample_bytes, &bytes) ||
                              __builtin_add_overflow(header.record_bytes, bytes, &header.record_bytes);
        if (overflow) {
            in.fail(ErrorKind::malformed, in.field(kSamples, signal.number - 1, header.signals.size()),
                    "a record beyond all memory", "fewer samples per record");
        }
    }
    const auto holds_signal = [](const EdfSignal& s) { return !s.is_annotations && s.samples > 0; };
    if (std::none_of(header.signals.begin(), header.signals.end(), holds_signal)) {
        in.fail(ErrorKind::unsupported, in.field(kSignals), "no signal with samples in the file",
                "at least one signal that is not annotations",
                "a file of annotations alone has nothing to measure; give the recording that it belongs to");
    }
}

std::string records_used(std::size_t whole) {
    return whole == 1 ? "the one in the file is used" : fmt::format("the {} in the file are used", whole);
}

// The whole records to use. Spare bytes that make up whole records are records that a wrong count left out; any other
// rest after the stated count is a trailer.
std::size_t count_records(const HeaderReader& in, const EdfHeader& header) {
    const EdfField field = in.field(kRecords);
    const std::size_t data = in.bytes.size() - header.header_bytes;
    const std::size_t whole = data / header.record_bytes, rest = data % header.record_bytes;
    if (whole == 0) in.fail_short("first record", in.bytes.size(), header.header_bytes + header.record_bytes);
    const auto stated = edf_whole(field, in.notes);
    const bool counted = stated && *stated >= 1;
    const std::size_t wanted = counted ? static_cast<std::size_t>(*stated) : 0;
    if (counted && wanted <= whole && (rest > 0 || wanted == whole)) {
        const std::size_t extra = data - wanted * header.record_bytes;
        if (extra > 0) {
            in.notes.add("extra_bytes", fmt::format("byte {}, end of records", in.bytes.size() - extra),
                         fmt::format("{} bytes after the last record: left out", extra));
        }
        return wanted;
    }
    if (stated && *stated == -1) {
        in.notes.add(
            "record_count_unknown", field.place(),
            fmt::format("the recorder never wrote the count (-1): {}", records_used(whole)));
    } else if (!counted || wanted != whole + 1 || rest == 0) {
        in.notes.add(
            "record_count_wrong", field.place(),
            fmt::format("the header counts '{}' records: {}", shown(field.text()), records_used(whole)), true);
    }
    if (rest > 0) {
        in.notes.add("last_record_cut", fmt::format("byte {}, last record", in.bytes.size() - rest),
                     fmt::format("the last record is cut: {} bytes of {} left out", rest, header.record_bytes));
    }
    return whole;
}

double record_duration(const HeaderReader& in, const EdfHeader& header) {
    const EdfField field = in.field(kRecordDuration);
    const auto seconds = edf_number(field, in.notes);
    if (!seconds || *seconds <= 0.0) {
        in.fail(ErrorKind::malformed, field, "no sampling rate without a record duration", "seconds above 0",
                "export the recording again with its sampling rate");
    }
    if (*seconds * static_cast<double>(header.records) > kMaxDuration_s) {
        in.fail(ErrorKind::unsupported, field, fmt::format("{} records make more than 31 days", header.records),
                "a shorter recording");
    }
    for (const EdfSignal& signal : header.signals) {
        if (!signal.is_annotations && static_cast<double>(signal.samples) / *seconds > kMaxRate_hz) {
            in.fail(ErrorKind::unsupported, field, fmt::format("signal {} sampled above 1 MHz", signal.number),
                    "a longer record duration");
        }
    }
    return *seconds;
}

void note_signals(const HeaderReader& in, const EdfHeader& header) {
    for (const EdfSignal& signal : header.signals) {
        const EdfField label = in.field(kLabel, signal.number - 1, header.signals.size());
        if (signal.samples == 0) {
            in.notes.add("signal_without_samples", label.place(),
                         fmt::format("signal '{}' has no samples in a record: left out", shown(signal.label)));
        }
        const auto same = [&](const EdfSignal& other) {
            return other.number < signal.number && other.label == signal.label && !signal.is_annotations;
        };
        if (std::any_of(header.signals.begin(), header.signals.end(), same)) {
            in.notes.add("duplicate_label", label.place(),
                         fmt::format("more than one signal is named '{}': choose by number", shown(signal.label)));
        }
    }
}

}  // namespace

bool is_edf_but_for_version(std::string_view bytes) {
    if (bytes.size() < 2 * kMainBytes) return false;
    const auto number = [&](const FieldSpec& spec) {
        return parse_number(EdfField{spec.byte, spec.name, bytes.substr(spec.byte, spec.width)}.text());
    };
    const auto length = number(kHeaderLength), signals = number(kSignals);
    return length && signals && *signals >= 1.0 && *length == 256.0 * (*signals + 1.0) && number(kRecords) &&
           number(kRecordDuration);
}

EdfHeader read_edf_header(std::string_view bytes, const std::string& source, EdfNotes& notes) {
    const HeaderReader in{bytes, source, notes};
    if (bytes.size() < kMainBytes) in.fail_short("header", bytes.size(), kMainBytes);
    const EdfField version = in.field(kVersion);
    if (!is_edf_version(version.raw) && !is_bdf_version(version.raw) && !is_edf_but_for_version(bytes)) {
        throw Error{ErrorKind::not_recognised,
                    source,
                    version.place(),
                    fmt::format("neither EDF nor BDF: saw '{}', expected '0' or 0xFF 'BIOSEMI'", shown(version.raw)),
                    {}};
    }
    EdfHeader header;
    const std::size_t count = count_signals(in);
    const bool bdf = is_bdf(in, count);
    header.format = family(bdf, in.field(kReserved), notes);
    header.sample_bytes = bdf ? 3 : 2;
    header.header_bytes = kMainBytes * (count + 1);
    for (std::size_t i = 0; i < count; ++i) header.signals.push_back(read_signal(in, i, count, header.is_plus()));
    lay_out_record(in, header);
    header.records = count_records(in, header);
    header.record_s = record_duration(in, header);
    header.person = edf_person(in.field(kPatient), header.is_plus(), notes);
    header.start = edf_start(in.field(kDate), in.field(kTime), in.field(kRecordingText), header.is_plus(), notes);
    note_signals(in, header);
    return header;
}

}  // namespace tracehold
