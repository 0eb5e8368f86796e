#include <nlohmann/json.hpp>

#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_inspection.hpp"

namespace tracehold {
namespace {

using Json = nlohmann::ordered_json;

Json number_or_null(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

Json json_of(const TimeSpan& span) { return Json::array({span.begin_s, span.end_s}); }

Json json_of(const std::vector<TimeSpan>& spans) {
    Json list = Json::array();
    for (const TimeSpan& span : spans) list.push_back(json_of(span));
    return list;
}

Json json_of(const Quality& quality) {
    Json json{{"usable", quality.usable}, {"masked_s", quality.masked_s}, {"mains", nullptr}, {"findings", Json::array()}};
    if (const auto& mains = quality.mains) {
        json["mains"] = {{"hz", mains->hz}, {"rms_uv", mains->rms_uv}, {"share_of_power", mains->share_of_power}, {"removed", mains->removed}};
    }
    for (const Finding& finding : quality.findings) {
        json["findings"].push_back({{"code", finding.code},
                                    {"severity", to_string(finding.severity)},
                                    {"text", finding.text},
                                    {"spans_s", json_of(finding.spans)}});
    }
    return json;
}

Json json_of(const ChannelInspection& channel) {
    Json json{{"label", channel.label},
              {"rate_hz", channel.rate_hz},
              {"kind", to_string(channel.kind)},
              {"unit", channel.unit},
              {"samples", channel.samples},
              {"valid", channel.valid},
              {"low", number_or_null(channel.low)},
              {"high", number_or_null(channel.high)},
              {"noise_floor_uv", number_or_null(channel.noise_floor_uv)}};
    json["quality"] = channel.quality ? json_of(*channel.quality) : Json(nullptr);
    if (!channel.unclean.empty()) json["quality_reason"] = channel.unclean;
    return json;
}

}  // namespace

std::string inspection_json(const Inspection& seen, int indent) {
    Json json{{"schema", "tracehold.inspection/1"},
              {"tool", {{"name", kName}, {"version", kVersion}}},
              {"recording",
               {{"source", seen.source},
                {"sha256", seen.sha256},
                {"format", to_string(seen.format)},
                {"person", seen.person},
                {"start", seen.start ? Json(to_text(*seen.start)) : Json(nullptr)},
                {"posture", seen.posture},
                {"duration_s", seen.duration_s}}},
              {"channels", Json::array()},
              {"marks", Json::array()},
              {"gaps_s", json_of(seen.gaps)},
              {"notes", Json::array()}};
    for (const ChannelInspection& channel : seen.channels) json["channels"].push_back(json_of(channel));
    for (const Mark& mark : seen.marks) {
        json["marks"].push_back({{"time_s", mark.time_s}, {"duration_s", mark.duration_s}, {"text", mark.text}});
    }
    for (const Note& note : seen.notes) {
        json["notes"].push_back({{"code", note.code}, {"place", note.place}, {"text", note.text}});
    }
    return json.dump(indent == 0 ? -1 : indent, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace tracehold
