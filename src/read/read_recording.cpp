#include "tracehold/read/read_recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "read/text_encoding.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/side_by_side.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kReadable = "give a CSV, EDF or BDF file";

struct Signature {
    std::string_view start;
    std::string_view what;
    std::string_view hint;
};

// Published first bytes (PKWARE APPNOTE, RFC 1952, ISO 32000, HDF5 and OLE2 specifications) of files that people hand
// in by mistake.
// A table of events begins so by BIDS 1.10 (memory), one of measures by this program.
constexpr std::array<Signature, 10> kForeign = {{
    {"onset\tduration\t", "a table of events", "give the recording that the events are of"},
    {"schema,", "a table of what was measured", "give the recording that it was made from"},
    {"PK\x03\x04", "a ZIP archive or a spreadsheet", "save the sheet as CSV, or unpack the archive"},
    {"\xD0\xCF\x11\xE0", "an old office document", "save the sheet as CSV"},
    {"\x1F\x8B", "a gzip archive", "unpack it first"},
    {"%PDF", "a PDF document", kReadable},
    {"\x89HDF", "an HDF5 file", "export it as CSV, EDF or BDF"},
    {"MATLAB 5.0", "a MAT file", "export it as CSV, EDF or BDF"},
    {"\x89PNG", "a picture", kReadable},
    {"{", "JSON", "a plan or a result is no recording; give a CSV, EDF or BDF file"},
}};

[[noreturn]] void refuse(const std::string& source, std::string_view saw, std::string_view hint) {
    throw Error(ErrorKind::not_recognised, source, "",
                "not a recording: saw " + std::string(saw) + ", expected CSV, EDF or BDF", std::string(hint));
}

// Text has hardly any control characters, whatever its encoding; a block of zeros from a failing card may stand in it.
bool is_text(std::string_view bytes) {
    constexpr std::size_t kLook = std::size_t{1} << 16;
    if (encoding_of(bytes) != Encoding::eight_bit) return true;
    bytes = bytes.substr(0, kLook);
    const auto control = [](char c) {
        return static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\r' && c != '\t' && c != '\f' &&
               c != '\x1A' && c != '\0';
    };
    const auto controls = static_cast<std::size_t>(std::count_if(bytes.begin(), bytes.end(), control));
    const auto zeros = static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\0'));
    return 100 * controls <= bytes.size() && 2 * zeros <= bytes.size();
}

// A slip in a time column must not become a recording of years.
void refuse_endless(const Recording& recording) {
    constexpr double kLongest_s = 31.0 * 86400.0;  // our choice, as for EDF: no session lasts a month
    if (recording.duration_s() <= kLongest_s) return;
    throw Error(ErrorKind::unsupported, recording.source, "",
                "the recording would last too long: saw " + fixed_text(recording.duration_s() / 86400.0, 0) +
                    " days, expected at most 31",
                "is the time column in other units, or does its clock jump? --rate HZ says the rate");
}

// Milliseconds called seconds would make hours of a session. Slow signals may lie beside the one of interest.
void refuse_slow(const Recording& recording) {
    const auto slower = [](const Channel& a, const Channel& b) { return a.rate < b.rate; };
    const double rate_hz = std::max_element(recording.channels.begin(), recording.channels.end(), slower)->rate.value;
    if (rate_hz >= kSlowestRate_hz) return;
    const bool is_csv = recording.format == FileFormat::csv;
    throw Error(ErrorKind::unsupported, recording.source, "",
                "no rate of a recorder: saw " + number_text(rate_hz) + " Hz, expected at least " + number_text(kSlowestRate_hz) + " Hz",
                is_csv ? "are the times milliseconds? name the column time_ms, or --rate HZ says the rate"
                       : "is the record duration in its header right? export the recording again");
}

// The same samples twice are one electrode written twice: a channel beside it that agrees, agrees with itself.
void doubt_twins(std::vector<Channel>& channels) {
    const auto same = [](float a, float b) { return a == b || (std::isnan(a) && std::isnan(b)); };
    const auto are_twins = [&](const Channel& a, const Channel& b) {
        return &a != &b && std::equal(a.samples.begin(), a.samples.end(), b.samples.begin(), b.samples.end(), same);
    };
    for (Channel& channel : channels) {
        const auto twin = std::find_if(channels.begin(), channels.end(), [&](const Channel& other) { return are_twins(channel, other); });
        if (twin == channels.end()) continue;
        channel.doubts.push_back({"channel_twice", "",
                                  fmt::format("channel {} of the file has the very same samples: one of the two is not what its name says",
                                              twin - channels.begin() + 1),
                                  true});
    }
}

}  // namespace

void refuse_no_recording(std::string_view begin, const std::string& source) {
    if (looks_like_edf(begin)) return;
    for (const Signature& foreign : kForeign) {
        if (begin.starts_with(foreign.start)) refuse(source, foreign.what, foreign.hint);
    }
    if (!is_text(begin)) refuse(source, "bytes that begin with '" + shown(begin.substr(0, 8)) + "'", kReadable);
}

Recording read_recording(std::string_view bytes, const std::string& source, const ReadSettings& settings) {
    if (bytes.empty()) throw Error(ErrorKind::too_short, source, "", "the file is empty: expected a recording", "copy or export it again");
    refuse_no_recording(bytes, source);
    Recording recording;
    std::string sha256;
    side_by_side([&] { recording = looks_like_edf(bytes) ? read_edf(bytes, source, settings) : read_csv(bytes, source, settings); },
                 [&] { sha256 = sha256_hex(bytes); });
    recording.sha256 = std::move(sha256);
    refuse_slow(recording);
    refuse_endless(recording);
    doubt_twins(recording.channels);
    return recording;
}

}  // namespace tracehold
