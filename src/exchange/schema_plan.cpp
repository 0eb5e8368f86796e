#include "exchange/schema_plan.hpp"

#include "exchange/schema_parts.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold::schema {
namespace {

// The limits of plan/read_plan: what it refuses is not valid here either.
Json step() {
    const Json seconds = number_within(kShortestStep_s, kLongestStep_s);
    const Json rest = object_of({{"do", {{"const", "rest"}}}, {"seconds", seconds}});
    const Json work = object_of({{"do", words_for(kWorkKinds)},
                                 {"seconds", seconds},
                                 {"rest_seconds", seconds},
                                 {"times", {{"type", "integer"}, {"minimum", 1}, {"maximum", 1000}}}},
                                {"times"});
    return {{"oneOf", Json::array({rest, work})}};
}

Json steps() {
    Json json = list_of(step());
    json["contains"] = {{"type", "object"}, {"properties", {{"do", words_for(kWorkKinds)}}}};
    return json;
}

Json plan_threshold() {
    const Json positive = number_within(1e-3, 1e6);
    const Json absolute = object_of({{"microvolts", positive}});
    const Json relative =
        object_of({{"percent_of_reference", number_within(1.0, 200.0)}, {"reference_uv", positive}}, {"reference_uv"});
    return {{"oneOf", Json::array({absolute, relative})}};
}

Json targets() {
    Json properties = Json::object();
    for (const Measure& measure : measure_list()) {
        const Json value = within(possible_range(measure));
        Json limit = object_of({{"below", value}, {"above", value}}, {"below", "above"});
        limit["minProperties"] = limit["maxProperties"] = 1;
        properties[std::string(measure.key)] = limit;
    }
    return {{"type", "object"}, {"additionalProperties", false}, {"properties", properties}};
}

// What a plan file leaves out is filled in by the reader, so a result has both.
Json cue_texts(const std::vector<std::string_view>& optional) {
    Json contract = list_of(text());
    contract["minItems"] = 1;
    return object_of({{"contract", contract}, {"relax", list_of(text())}}, optional);
}

Json dose() {
    return object_of({{"sessions_per_day", number_within(0.0, 24.0)},
                      {"days_per_week", number_within(0.0, 7.0)},
                      {"weeks", number_within(0.0, 520.0)},
                      {"count_all_weeks", flag()}},
                     {"sessions_per_day", "days_per_week", "weeks", "count_all_weeks"});
}

Json mains() { return {{"enum", Json::array({50, 60})}}; }

}  // namespace

Json plan_file() {
    const Json body = object_of(
        {{"schema", {{"const", kPlanSchema}}},
         {"name", text()},
         {"posture", {{"type", "string"}, {"pattern", "[^ \\t\\r\\n]"}}},
         {"steps", steps()},
         {"threshold", plan_threshold()},
         {"targets", targets()},
         {"channel", text()},
         {"accessory_channels", list_of(text())},
         {"mains_hz", mains()},
         {"cues", cue_texts({"contract", "relax"})},
         {"dose", dose()},
         {"purpose", words_for(kPlanPurposes)}},
        {"name", "threshold", "targets", "channel", "accessory_channels", "mains_hz", "cues", "dose", "purpose"});
    return document("plan", 1, "A plan: what was prescribed", {}, body);
}

Json plan_in_result() {
    return object_of({{"source", or_null(text())},
                      {"sha256", or_null(sha256())},
                      {"name", or_null(text())},
                      {"posture", text()},
                      {"steps", steps()},
                      {"threshold", or_null(plan_threshold())},
                      {"targets", targets()},
                      {"channel", or_null(text())},
                      {"accessory_channels", list_of(text())},
                      {"mains_hz", or_null(mains())},
                      {"cues", cue_texts({})},
                      {"dose", dose()},
                      {"purpose", or_null(words_for(kPlanPurposes))}});
}

}  // namespace tracehold::schema
