#include "exchange/schema_beside.hpp"

#include "exchange/schema_parts.hpp"

namespace tracehold::schema {
namespace {

// What was not performed has no times of its own.
Json contraction(bool performed) {
    const auto own = [performed](const Json& value) { return performed ? value : Json{{"type", "null"}}; };
    return object_of({{"planned", or_null(whole_from(1))},
                      {"kind", words_for(kWorkKinds)},
                      {"performed", {{"const", performed}}},
                      {"work_s", span()},
                      {"rest_s", span()},
                      {"onset_s", own(number())},
                      {"rise_end_s", own(number())},
                      {"fall_begin_s", own(number())},
                      {"offset_s", own(number())},
                      {"plateau_uv", own(number_from(0.0))}});
}

Json column(Json members = Json::object()) {
    members["Description"] = filled_text();
    return object_of(members);
}

Json column_of_seconds() { return column({{"Units", {{"const", "s"}}}}); }

Json column_of_words() { return column({{"Levels", {{"type", "object"}, {"additionalProperties", filled_text()}}}}); }

}  // namespace

Json truth() {
    const Json fault = object_of({{"kind", code()}, {"strength_uv", number_from(0.0)}, {"span_s", span()}, {"hz", number_from(0.0)}});
    const Json rate{{"type", "number"}, {"exclusiveMinimum", 0}};
    const Json body = object_of({{"schema", {{"const", "tracehold.truth/1"}}},
                                 {"plan_starts_s", number()},
                                 {"rest_uv", number_from(0.0)},
                                 {"contractions", list_of({{"oneOf", Json::array({contraction(true), contraction(false)})}})},
                                 {"faults", list_of(fault)},
                                 {"profile", object_of({{"rate_hz", rate}, {"amplitude_uv", list_of(number_from(0.0))}})}});
    return document("truth", 1, "What a simulated recording was made of", {}, body);
}

Json validation() {
    const Json check = object_of({{"code", {{"type", "string"}, {"pattern", "^[a-z0-9_]+([.][a-z0-9_]+)*$"}}},
                                  {"what", filled_text()},
                                  {"value", or_null(number())},
                                  {"expected", number()},
                                  {"tolerance", number_from(0.0)},
                                  {"unit", text()},
                                  {"source", filled_text()},
                                  {"passed", flag()}});
    Json checks = list_of(check);
    checks["minItems"] = 1;
    const Json tool = object_of({{"name", {{"const", "tracehold"}}}, {"version", filled_text()}, {"measures", filled_text()}});
    const Json body = object_of({{"schema", {{"const", "tracehold.validation/1"}}},
                                 {"tool", tool},
                                 {"compiler", filled_text()},
                                 {"system", filled_text()},
                                 {"passed", flag()},
                                 {"checks", checks}});
    return document("validation", 1, "What an installed program proved of itself", {}, body);
}

Json events_description() {
    const Json by = object_of(
        {{"Name", {{"const", "tracehold"}}}, {"Version", filled_text()}, {"RecordingSHA256", {{"type", "string"}, {"pattern", "^([0-9a-f]{64})?$"}}}});
    const Json body = object_of({{"onset", column_of_seconds()},
                                 {"duration", column_of_seconds()},
                                 {"trial_type", column_of_words()},
                                 {"contraction", column()},
                                 {"status", column_of_words()},
                                 {"activity_onset", column_of_seconds()},
                                 {"activity_offset", column_of_seconds()},
                                 {"GeneratedBy", by}});
    return document("events-description", 1, "What the columns of a BIDS events file mean", {}, body);
}

}  // namespace tracehold::schema
