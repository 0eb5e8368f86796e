#pragma once
// Pieces that FHIR resources are made of.
#include <chrono>
#include <string>
#include <string_view>

#include "exchange/json_text.hpp"
#include "tracehold/core/estimate.hpp"
#include "tracehold/core/identity_level.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold::fhir {

// Names under an object identifier of this project's own, made from a random UUID (ITU-T X.667).
inline constexpr std::string_view kCodes = "urn:oid:2.25.115889606552246094078276627664508870385.1";
inline constexpr std::string_view kPeople = "urn:oid:2.25.115889606552246094078276627664508870385.2";
inline constexpr std::string_view kSessions = "urn:oid:2.25.115889606552246094078276627664508870385.3";
inline constexpr std::string_view kSoftware = "urn:oid:2.25.115889606552246094078276627664508870385.4";
inline constexpr std::string_view kCourses = "urn:oid:2.25.115889606552246094078276627664508870385.5";

// A code of the local system. display: for people.
struct Code {
    std::string code, display;
};

Json coding(std::string_view system, std::string_view code, std::string_view display);
Json concept_of(const Code& code);  // CodeableConcept of a local code, with its display as text
Json quantity(double value, std::string_view unit, std::string_view ucum);
Json absent(std::string_view code, std::string_view why);  // dataAbsentReason
Json security_meta(IdentityLevel level);                   // null for keep

Json new_resource(std::string_view type, IdentityLevel level);
Json identifier_of(std::string_view system, const std::string& value);
Json report_category();
Json observation_category();

// A reference by identifier: which Patient that is, the receiving system knows. Numbers of anonymous people mean
// nothing outside one output. Nothing for "".
void add_subject(Json& json, std::string_view person, IdentityLevel level);

// Of a Provenance: when and by which program.
void add_making(Json& json, const Json& device, std::chrono::sys_seconds made);
Json source_entity(std::string_view what, const std::string& sha256);

// How other resources point to one: "urn:uuid:ID" inside a Bundle, "Type/ID" beside one another.
struct Pointing {
    bool by_uuid = true;
    Json to(std::string_view type, const std::string& id) const;
};

// Text as FHIR allows it in a string: no control characters.
std::string plain(std::string_view text);

// What a page answers to one of its questions, in one text.
std::string whole_text(const Answer& answer);

// A UUID of version 8 (RFC 9562) from a SHA-256 over the kind and the name: the same for the same.
std::string uuid_of(std::string_view kind, std::string_view name);

// "ni:///sha-256;..." (RFC 6920) of 64 hex digits.
std::string named_information(std::string_view sha256);

}  // namespace tracehold::fhir
