#pragma once
// What the tests of JSON and of FHIR look at.
#include <chrono>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/exchange/write_fhir.hpp"

namespace tracehold::test {

using Json = nlohmann::ordered_json;

inline const FhirSettings kSettings{.form = FhirForm::collection, .made = std::chrono::sys_seconds{std::chrono::seconds{1772500000}}};

inline std::vector<std::string> keys_of(const Json& object) {
    std::vector<std::string> keys;
    for (const auto& [key, value] : object.items()) keys.push_back(key);
    return keys;
}

inline std::string code_of(const Json& resource) { return resource["code"]["coding"][0]["code"]; }

// null where the Observation has none of that code.
inline Json component(const Json& observation, std::string_view code) {
    for (const Json& each : observation["component"]) {
        if (code_of(each) == code) return each;
    }
    return nullptr;
}

}  // namespace tracehold::test
