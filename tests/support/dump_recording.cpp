// Reads EDF and BDF files and prints each as one line of JSON, for comparison with what other readers find in the same
// files. usage: dump_recording FILE...
#include <cmath>
#include <fstream>
#include <iostream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

namespace {

using nlohmann::json;
using namespace tracehold;

json samples_of(const Channel& channel) {
    json out = json::array();
    for (const float x : channel.samples) out.push_back(std::isnan(x) ? json(nullptr) : json(x));
    return out;
}

json of_channel(const Channel& channel) {
    const auto limit = [](const std::optional<float>& x) { return x ? json(*x) : json(nullptr); };
    return {{"label", channel.label},
            {"rate_hz", channel.rate.value},
            {"unit", channel.unit},
            {"unit_known", channel.unit_known},
            {"kind", to_string(channel.kind)},
            {"low_limit", limit(channel.low_limit)},
            {"high_limit", limit(channel.high_limit)},
            {"step", limit(channel.step)},
            {"prefilter", channel.prefilter},
            {"samples", samples_of(channel)}};
}

json of_recording(const Recording& recording) {
    json channels = json::array(), marks = json::array(), gaps = json::array(), notes = json::array();
    for (const Channel& channel : recording.channels) channels.push_back(of_channel(channel));
    for (const Mark& mark : recording.marks) marks.push_back({mark.time_s, mark.duration_s, mark.text});
    for (const TimeSpan& gap : recording.gaps) gaps.push_back({gap.begin_s, gap.end_s});
    for (const Note& note : recording.notes) notes.push_back({note.code, note.place, note.text});
    return {{"format", to_string(recording.format)},
            {"person", recording.person},
            {"start", recording.start ? json(to_text(*recording.start)) : json(nullptr)},
            {"duration_s", recording.duration_s()},
            {"channels", channels},
            {"marks", marks},
            {"gaps", gaps},
            {"notes", notes}};
}

json of_file(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    try {
        return of_recording(read_edf(bytes, path));
    } catch (const Error& error) {
        return {
            {"error", to_string(error.kind)}, {"place", error.place}, {"message", error.message}, {"hint", error.hint}};
    }
}

}  // namespace

int main(int count, char** arguments) {
    for (int i = 1; i < count; ++i) {
        json out = of_file(arguments[i]);
        out["file"] = arguments[i];
        std::cout << out.dump() << '\n';
    }
}
