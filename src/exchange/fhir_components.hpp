#pragma once
// The components of an Observation: one a number, with a value or the reason why there is none.
#include <cstdint>
#include <optional>
#include <string_view>

#include "exchange/fhir_parts.hpp"

namespace tracehold::fhir {

// A unit for people and its UCUM code.
struct UnitOf {
    std::string_view unit, ucum;
};

// In the order of tables. absent: the dataAbsentReason of what has no value.
class Components {
public:
    void flag(const Code& code, bool value) { add(code)["valueBoolean"] = value; }
    void count(const Code& code, std::int64_t value) { add(code)["valueInteger"] = value; }
    void time_of_day(const Code& code, std::string_view value) { add(code)["valueTime"] = value; }
    void word(const Code& code, const Code& value) { add(code)["valueCodeableConcept"] = concept_of(value); }
    void text(const Code& code, std::string_view value, const Json& absent = nullptr);
    void amount(const Code& code, const std::optional<double>& value, UnitOf unit, const Json& absent);
    void range(const Code& code, const std::optional<double>& low, const std::optional<double>& high, UnitOf unit,
               const Json& absent);
    Json take() { return std::move(list_); }

private:
    Json& add(const Code& code);

    Json list_ = Json::array();
};

}  // namespace tracehold::fhir
