#include <cmath>
#include <nlohmann/json.hpp>

#include "tracehold/simulate/simulate_recording.hpp"

namespace tracehold {
namespace {

using Json = nlohmann::ordered_json;

Json contraction_json(const TrueContraction& c) {
    return {{"planned", c.planned ? Json(*c.planned) : Json(nullptr)},
            {"kind", to_string(c.kind)},
            {"performed", c.performed},
            {"work_s", {c.work.begin_s, c.work.end_s}},
            {"rest_s", {c.work.end_s, c.rest_end_s}},
            {"onset_s", c.performed ? Json(c.onset_s) : Json(nullptr)},
            {"rise_end_s", c.performed ? Json(c.rise_end_s) : Json(nullptr)},
            {"fall_begin_s", c.performed ? Json(c.fall_begin_s) : Json(nullptr)},
            {"offset_s", c.performed ? Json(c.offset_s) : Json(nullptr)},
            {"plateau_uv", c.performed ? Json(c.plateau_uv) : Json(nullptr)}};
}

Json fault_json(const Fault& fault) {
    return {{"kind", to_string(fault.kind)},
            {"strength_uv", fault.strength_uv},
            {"span_s", {fault.from_s, fault.from_s + fault.length_s}},
            {"hz", fault.hz}};
}

}  // namespace

std::string truth_json(const Truth& truth) {
    Json json = {{"schema", "tracehold.truth/1"}, {"plan_starts_s", truth.plan_starts_s}, {"rest_uv", truth.rest_uv}};
    json["contractions"] = Json::array();
    for (const TrueContraction& contraction : truth.contractions)
        json["contractions"].push_back(contraction_json(contraction));
    json["faults"] = Json::array();
    for (const Fault& fault : truth.faults) json["faults"].push_back(fault_json(fault));
    Json amplitude = Json::array();
    for (const float uv : truth.amplitude_uv) amplitude.push_back(std::round(uv * 1e4) / 1e4);
    json["profile"] = {{"rate_hz", truth.profile_rate_hz}, {"amplitude_uv", std::move(amplitude)}};
    return json.dump();
}

}  // namespace tracehold
