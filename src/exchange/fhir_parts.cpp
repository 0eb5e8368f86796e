#include "exchange/fhir_parts.hpp"

#include <fmt/format.h>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/keyed_hash.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"

namespace tracehold::fhir {
namespace {

constexpr std::size_t kLongestText = 4000;

// RFC 4648, section 5, without padding.
std::string base64url(std::string_view bytes) {
    std::string text;
    unsigned held = 0, bits = 0;
    for (const char c : bytes) {
        held = held << 8 | static_cast<unsigned char>(c);
        for (bits += 8; bits >= 6; bits -= 6)
            text += "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"[held >> (bits - 6) & 63u];
        held &= (1u << bits) - 1;
    }
    if (bits > 0) text += "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"[held << (6 - bits) & 63u];
    return text;
}

}  // namespace

Json coding(std::string_view system, std::string_view code, std::string_view display) {
    return {{"system", system}, {"code", code}, {"display", display}};
}

Json concept_of(const Code& code) {
    return {{"coding", Json::array({coding(kCodes, code.code, code.display)})}, {"text", code.display}};
}

Json quantity(double value, std::string_view unit, std::string_view ucum) {
    return {{"value", value},
            {"unit", unit.empty() ? ucum : unit},
            {"system", "http://unitsofmeasure.org"},
            {"code", ucum}};
}

Json absent(std::string_view code, std::string_view why) {
    const std::string_view display = code == "error" ? "Error" : code == "not-performed" ? "Not Performed" : "Unknown";
    Json json{
        {"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/data-absent-reason", code, display)})}};
    if (!why.empty()) json["text"] = plain(why);
    return json;
}

Json security_meta(IdentityLevel level) {
    if (level == IdentityLevel::keep) return nullptr;
    const bool pseudonym = level == IdentityLevel::pseudonym;
    return {{"security",
             Json::array({coding("http://terminology.hl7.org/CodeSystem/v3-ObservationValue",
                                 pseudonym ? "PSEUDED" : "ANONYED", pseudonym ? "pseudonymized" : "anonymized")})}};
}

Json new_resource(std::string_view type, IdentityLevel level) {
    Json json{{"resourceType", type}};
    if (Json meta = security_meta(level); !meta.is_null()) json["meta"] = std::move(meta);
    return json;
}

Json identifier_of(std::string_view system, const std::string& value) {
    return Json::array({{{"system", system}, {"value", value}}});
}

Json report_category() {
    return Json::array({{{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/v2-0074", "EN",
                                                        "Electroneuro (EEG, EMG,EP,PSG)")})}}});
}

Json observation_category() {
    return Json::array({{{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/observation-category",
                                                        "therapy", "Therapy")})}}});
}

void add_subject(Json& json, std::string_view person, IdentityLevel level) {
    const std::string name = plain(person);
    if (name.empty()) return;
    if (level == IdentityLevel::anonymous) {
        json["subject"] = {{"type", "Patient"}, {"display", name}};
    } else {
        json["subject"] = {{"type", "Patient"}, {"identifier", {{"system", kPeople}, {"value", name}}}};
    }
}

void add_making(Json& json, const Json& device, std::chrono::sys_seconds made) {
    json["recorded"] = to_text({made, std::chrono::minutes{0}});
    json["activity"] = {{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/v3-DataOperation",
                                                       "CREATE", "create")})}};
    json["agent"] = Json::array(
        {{{"type",
           {{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/provenance-participant-type",
                                           "assembler", "Assembler")})}}},
          {"who", device}}});
}

Json source_entity(std::string_view what, const std::string& sha256) {
    return {
        {"role", "source"},
        {"what",
         {{"identifier", {{"system", "urn:ietf:rfc:6920"}, {"value", named_information(sha256)}}}, {"display", what}}}};
}

Json Pointing::to(std::string_view type, const std::string& id) const {
    return {{"reference", by_uuid ? "urn:uuid:" + id : fmt::format("{}/{}", type, id)}, {"type", type}};
}

std::string plain(std::string_view text) { return shown(text, kLongestText); }

std::string uuid_of(std::string_view kind, std::string_view name) {
    std::string hex = sha256_hex(fmt::format("tracehold.fhir/1\n{}\n{}", kind, name)).substr(0, 32);
    hex[12] = '8';                                                                // version
    hex[16] = "89ab"[(hex[16] >= 'a' ? hex[16] - 'a' + 10 : hex[16] - '0') & 3];  // variant
    return fmt::format("{}-{}-{}-{}-{}", hex.substr(0, 8), hex.substr(8, 4), hex.substr(12, 4), hex.substr(16, 4),
                       hex.substr(20));
}

std::string named_information(std::string_view sha256) { return "ni:///sha-256;" + base64url(bytes_of_hex(sha256)); }

std::string whole_text(const Answer& answer) {
    std::string text = answer.text;
    for (const Paragraph& detail : answer.details) text += " " + detail.text;
    return text;
}

}  // namespace tracehold::fhir
