#include "exchange/quality_json.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_inspection.hpp"

namespace tracehold {
namespace {

Json channel_json(const ChannelInspection& channel) {
    return {{"label", channel.label},
            {"rate_hz", json_number(channel.rate_hz)},
            {"kind", to_string(channel.kind)},
            {"unit", json_text(channel.unit)},
            {"samples", channel.samples},
            {"valid", channel.valid},
            {"low", json_number(channel.low)},
            {"high", json_number(channel.high)},
            {"quality", channel.quality ? quality_json(*channel.quality, channel.noise_floor_uv) : Json(nullptr)},
            {"quality_reason", json_text(channel.unclean)}};
}

Json recording_json(const Inspection& seen) {
    return {{"source", seen.source},
            {"sha256", json_text(seen.sha256)},
            {"format", to_string(seen.format)},
            {"person", json_text(seen.person)},
            {"start", seen.start ? Json(to_text(*seen.start)) : Json(nullptr)},
            {"posture", json_text(seen.posture)},
            {"duration_s", json_number(seen.duration_s)}};
}

}  // namespace

std::string inspection_json(const Inspection& seen, int indent) {
    Json channels = Json::array(), marks = Json::array();
    for (const ChannelInspection& channel : seen.channels) channels.push_back(channel_json(channel));
    for (const Mark& mark : seen.marks) {
        marks.push_back({{"time_s", mark.time_s}, {"duration_s", mark.duration_s}, {"text", mark.text}});
    }
    return written({{"schema", "tracehold.inspection/1"},
                    {"tool", {{"name", kName}, {"version", kVersion}}},
                    {"recording", recording_json(seen)},
                    {"channels", channels},
                    {"marks", marks},
                    {"gaps_s", spans_json(seen.gaps)},
                    {"notes", notes_json(seen.notes)}},
                   indent);
}

}  // namespace tracehold
