#include "exchange/quality_json.hpp"

namespace tracehold {

Json spans_json(const std::vector<TimeSpan>& spans) {
    Json json = Json::array();
    for (const TimeSpan& span : spans) json.push_back(json_span(span));
    return json;
}

Json quality_json(const Quality& quality, std::optional<double> noise_floor_uv) {
    Json findings = Json::array();
    for (const Finding& finding : quality.findings) {
        findings.push_back({{"code", finding.code},
                            {"severity", to_string(finding.severity)},
                            {"text", finding.text},
                            {"spans_s", spans_json(finding.spans)}});
    }
    Json mains = nullptr;
    if (quality.mains) {
        mains = {{"hz", json_number(quality.mains->hz)},
                 {"rms_uv", json_number(quality.mains->rms_uv)},
                 {"share_of_power", json_number(quality.mains->share_of_power)},
                 {"removed", quality.mains->removed}};
    }
    return {{"usable", quality.usable},
            {"noise_floor_uv", json_number(noise_floor_uv)},
            {"masked_s", json_number(quality.masked_s)},
            {"mains", mains},
            {"findings", findings}};
}

}  // namespace tracehold
