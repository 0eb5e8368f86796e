// Recordings: read, checked, written as EDF and read again.
#include <algorithm>
#include <cmath>

#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold::fuzz {
namespace {

// NaN is what is missing; so bits are compared, not values.
bool same_samples(const std::vector<float>& a, const std::vector<float>& b) {
    const auto same = [](float x, float y) { return x == y || (std::isnan(x) && std::isnan(y)); };
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), same);
}

// What was written once reads back near enough, and is written a second time as the same bytes.
void check_written_edf(const Recording& recording) {
    std::string once;
    try {
        once = recording_edf(recording);
    } catch (const Error& error) {
        require(error.kind == ErrorKind::bad_setting, "EDF that cannot be written is a setting");
        return;
    }
    const Recording again = read_edf(once, kSource);
    check_recording(again);
    require(again.channels.size() == recording.channels.size(), "written EDF keeps its channels");
    require_equal(recording_edf(again), once, "EDF written, read and written again is the same");
}

void check_edf(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_edf(bytes, kSource); },
                   [](const Recording& recording) {
                       check_recording(recording);
                       check_written_edf(recording);
                   });
}

bool has_byte_order_mark(std::string_view bytes) {
    return bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF") || bytes.starts_with("\xEF\xBB\xBF");
}

bool has_zero(std::string_view bytes) { return bytes.find('\0') != std::string_view::npos; }

// A byte order mark in front of UTF-8 changes nothing.
void check_with_mark(std::string_view bytes, const ReadSettings& settings, const Recording& recording) {
    if (has_byte_order_mark(bytes) || has_zero(bytes)) return;
    const Recording marked = read_csv("\xEF\xBB\xBF" + std::string(bytes), kSource, settings);
    require(marked.channels.size() == recording.channels.size(), "a byte order mark changes no channel");
    for (std::size_t c = 0; c < marked.channels.size(); ++c) {
        require(same_samples(marked.channels[c].samples, recording.channels[c].samples), "a byte order mark changes no sample");
    }
}

}  // namespace

void run_edf(std::string_view bytes) { check_edf(bytes); }

void run_bdf(std::string_view bytes) {
    constexpr std::string_view kVersion = "\xFF" "BIOSEMI";
    std::string bdf(bytes);
    bdf.replace(0, std::min(bdf.size(), kVersion.size()), kVersion.substr(0, bdf.size()));
    check_edf(bdf);
}

void run_csv(std::string_view bytes) {
    const ReadSettings told{.rate = Hertz{1000.0}, .unit = {}, .kind = {}};
    for (const ReadSettings& settings : {ReadSettings{}, told}) {
        read_or_refuse(kSource, [&] { return read_csv(bytes, kSource, settings); },
                       [&](const Recording& recording) {
                           if (!settings.rate && recording.duration_s() > 31.0 * 86400.0) return;  // refused one door further
                           check_recording(recording);
                           check_with_mark(bytes, settings, recording);
                       });
    }
}

}  // namespace tracehold::fuzz
