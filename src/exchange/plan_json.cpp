#include "exchange/plan_json.hpp"

#include <array>

#include "exchange/enum_words.hpp"
#include "exchange/json_text.hpp"
#include "exchange/possible_values.hpp"

namespace tracehold {
namespace {

Json step_json(const Step& step) {
    Json json{{"do", to_string(step.kind)}, {"seconds", step.seconds}};
    if (step.kind == StepKind::rest) return json;
    json["rest_seconds"] = step.rest_seconds;
    json["times"] = step.times;
    return json;
}

Json threshold_json(const Threshold& threshold) {
    Json json = Json::object();
    if (threshold.microvolts) json["microvolts"] = *threshold.microvolts;
    if (threshold.percent_of_reference) json["percent_of_reference"] = *threshold.percent_of_reference;
    if (threshold.reference_uv) json["reference_uv"] = *threshold.reference_uv;
    return json;
}

Json targets_json(const std::vector<Target>& targets) {
    Json json = Json::object();
    for (const Target& target : targets) {
        if (target.below) json[target.measure]["below"] = *target.below;
        if (target.above) json[target.measure]["above"] = *target.above;
    }
    return json;
}

Json dose_json(const Dose& dose) {
    Json json = Json::object();
    if (dose.sessions_per_day) json["sessions_per_day"] = *dose.sessions_per_day;
    if (dose.days_per_week) json["days_per_week"] = *dose.days_per_week;
    if (dose.weeks) json["weeks"] = *dose.weeks;
    if (dose.count_all_weeks) json["count_all_weeks"] = true;
    return json;
}

Step step_from(Fields fields) {
    Step step;
    step.kind = read_word(fields, "do", kStepKinds);
    step.seconds = fields.number("seconds", {kShortestStep_s, kLongestStep_s});
    step.rest_seconds = fields.optional_number("rest_seconds", {0.0, kLongestStep_s}).value_or(0.0);
    step.times = static_cast<int>(fields.optional_whole("times", 1, 1'000'000).value_or(1));
    return step;
}

}  // namespace

Json plan_json(const Plan& plan) {
    Json steps = Json::array();
    for (const Step& step : plan.steps) steps.push_back(step_json(step));
    return {{"source", json_text(plan.source)},
            {"sha256", json_text(plan.sha256)},
            {"name", json_text(plan.name)},
            {"posture", plan.posture},
            {"steps", steps},
            {"threshold", plan.threshold ? threshold_json(*plan.threshold) : Json(nullptr)},
            {"targets", targets_json(plan.targets)},
            {"channel", json_text(plan.channel)},
            {"accessory_channels", plan.accessory_channels},
            {"mains_hz", json_number(plan.mains_hz)},
            {"cues", {{"contract", plan.contract_cues}, {"relax", plan.relax_cues}}},
            {"dose", dose_json(plan.dose)},
            {"purpose", plan.purpose ? Json(to_string(*plan.purpose)) : Json(nullptr)}};
}

Plan plan_from_json(Fields fields) {
    Plan plan;
    plan.source = fields.nullable_text("source").value_or("");
    plan.sha256 = hash_or_nothing(fields, "sha256");
    plan.name = fields.nullable_text("name").value_or("");
    plan.posture = fields.text("posture");
    for (const Fields& step : fields.objects("steps")) plan.steps.push_back(step_from(step));
    if (auto threshold = fields.optional_object("threshold")) {
        plan.threshold =
            Threshold{threshold->optional_number("microvolts"), threshold->optional_number("percent_of_reference"),
                      threshold->optional_number("reference_uv")};
    }
    Fields targets = fields.object("targets");
    for (const std::string& measure : targets.keys()) {
        Fields target = targets.object(measure);
        plan.targets.push_back({measure, target.optional_number("below"), target.optional_number("above")});
    }
    plan.channel = fields.nullable_text("channel").value_or("");
    plan.accessory_channels = fields.texts("accessory_channels");
    plan.mains_hz = fields.nullable_number("mains_hz");
    Fields cues = fields.object("cues");
    plan.contract_cues = cues.texts("contract");
    plan.relax_cues = cues.texts("relax");
    Fields dose = fields.object("dose");
    plan.dose = {dose.optional_number("sessions_per_day"), dose.optional_number("days_per_week"),
                 dose.optional_number("weeks"), dose.optional_flag("count_all_weeks").value_or(false)};
    if (fields.has("purpose")) plan.purpose = read_word(fields, "purpose", kPlanPurposes);
    return plan;
}

}  // namespace tracehold
