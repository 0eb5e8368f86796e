#include "exchange/schema_parts.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tracehold::schema {

Json object_of(const Json& properties, const std::vector<std::string_view>& optional) {
    Json required = Json::array();
    for (const auto& [key, value] : properties.items()) {
        if (std::find(optional.begin(), optional.end(), key) == optional.end()) required.push_back(key);
    }
    return {{"type", "object"}, {"required", required}, {"additionalProperties", false}, {"properties", properties}};
}

Json list_of(const Json& items) { return {{"type", "array"}, {"items", items}}; }

Json or_null(Json schema) {
    const bool plain = schema.contains("type") && !schema.contains("enum");
    if (!plain) return {{"anyOf", Json::array({schema, {{"type", "null"}}})}};
    schema["type"] = Json::array({schema["type"], "null"});
    return schema;
}

Json refer(std::string_view name) { return {{"$ref", fmt::format("#/$defs/{}", name)}}; }

Json text() { return {{"type", "string"}}; }
Json filled_text() { return {{"type", "string"}, {"minLength", 1}}; }
Json number() { return {{"type", "number"}}; }
Json number_from(double low) { return {{"type", "number"}, {"minimum", low}}; }
Json number_within(double low, double high) { return {{"type", "number"}, {"minimum", low}, {"maximum", high}}; }
Json within(PossibleRange range) { return number_within(range.low, range.high); }
Json microvolts() { return within(kPossibleMicrovolts); }
Json seconds() { return within(kPossibleSeconds); }
Json whole_from(int low) { return {{"type", "integer"}, {"minimum", low}}; }
Json whole_within(int low, int high) { return {{"type", "integer"}, {"minimum", low}, {"maximum", high}}; }
Json flag() { return {{"type", "boolean"}}; }
Json words(const std::vector<std::string_view>& list) { return {{"type", "string"}, {"enum", list}}; }

Json sha256() { return {{"type", "string"}, {"pattern", "^[0-9a-f]{64}$"}}; }

Json date() { return {{"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}}; }
Json date_time() {
    return {
        {"type", "string"},
        {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}([.][0-9]{3})?(Z|[+-][0-9]{2}:[0-9]{2})?$"}};
}

Json span() {
    return {{"type", "array"}, {"prefixItems", Json::array({number(), number()})}, {"items", false}, {"minItems", 2}};
}

Json code() { return {{"type", "string"}, {"pattern", "^[a-z][a-z0-9_]*$"}}; }

Json note() { return object_of({{"code", code()}, {"place", or_null(filled_text())}, {"text", filled_text()}}); }

Json made_with(Json more) {
    Json hashes = list_of(sha256());
    hashes["uniqueItems"] = true;
    more.update({{"plans_sha256", hashes}, {"corrections_sha256", hashes}, {"sessions_sha256", or_null(sha256())}, {"left_out", or_null(filled_text())}});
    Json files = object_of(more);
    files["description"] = "the files that it rests on beside recordings and results, plans and corrections as the sessions have them; keyed where "
                           "identities are under pseudonyms";
    return files;
}

Json document(std::string_view name, int major, std::string_view title, const Json& definitions, const Json& body) {
    Json json{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
              {"$id", fmt::format("urn:tracehold:{}:{}", name, major)},
              {"title", title}};
    json.update(body);
    if (!definitions.empty()) json["$defs"] = definitions;
    return json;
}

Json quality() {
    const Json mains = object_of({{"hz", within(kPossibleHertz)},
                                  {"rms_uv", microvolts()},
                                  {"share_of_power", number_within(0.0, 1.0)},
                                  {"removed", flag()}});
    const Json finding = object_of({{"code", code()},
                                    {"severity", words_for(kSeverities)},
                                    {"text", filled_text()},
                                    {"spans_s", list_of(span())}});
    return object_of({{"usable", flag()},
                      {"noise_floor_uv", or_null(microvolts())},
                      {"masked_s", seconds()},
                      {"mains", or_null(mains)},
                      {"findings", list_of(finding)}});
}

}  // namespace tracehold::schema
