#include "exchange/fhir_components.hpp"

#include <cmath>

namespace tracehold::fhir {
namespace {

bool is_known(const std::optional<double>& value) { return value && std::isfinite(*value); }

}  // namespace

Json& Components::add(const Code& code) {
    list_.push_back({{"code", concept_of(code)}});
    return list_.back();
}

void Components::text(const Code& code, std::string_view value, const Json& absent) {
    Json& json = add(code);
    if (value.empty() && !absent.is_null()) {
        json["dataAbsentReason"] = absent;
    } else {
        json["valueString"] = plain(value);
    }
}

void Components::amount(const Code& code, const std::optional<double>& value, UnitOf unit, const Json& absent) {
    Json& json = add(code);
    if (is_known(value)) {
        json["valueQuantity"] = quantity(*value, unit.unit, unit.ucum);
    } else {
        json["dataAbsentReason"] = absent;
    }
}

void Components::range(const Code& code, const std::optional<double>& low, const std::optional<double>& high,
                       UnitOf unit, const Json& absent) {
    Json& json = add(code);
    if (is_known(low) && is_known(high)) {
        json["valueRange"] = {{"low", quantity(*low, unit.unit, unit.ucum)},
                              {"high", quantity(*high, unit.unit, unit.ucum)}};
    } else {
        json["dataAbsentReason"] = absent;
    }
}

}  // namespace tracehold::fhir
