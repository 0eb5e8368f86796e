#pragma once
// Scored sessions, and courses of them, for record systems: FHIR R4 (4.0.1) in JSON. A draft for a clinician to sign,
// so every status is 'preliminary'.
#include <chrono>
#include <span>
#include <string>

#include "tracehold/core/made_with.hpp"
#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

enum class FhirForm {
    collection,   // one Bundle, to hand over as a file
    transaction,  // one Bundle with a request each, for a server; sent twice it changes nothing but a further
                  // Provenance
    ndjson,       // one resource a line, references by id
};

// made: when the output was made; it stands in every Provenance.
struct FhirSettings {
    FhirForm form = FhirForm::collection;
    std::chrono::sys_seconds made{};
};

// A whole output is fhir_opening, any number of fhir_session or fhir_course, fhir_closing. The opening has the Device:
// this program and version.
//
// A session is an Observation (one component a number: count, mean, n and sd of each measure; where there is none a
// dataAbsentReason with the reason in words), a DiagnosticReport on it, and a Provenance with the SHA-256 of what it
// was made from as an RFC 6920 name; of anonymous results neither may be told, and there is no Provenance. Codes are those of fhir_code_system_json, units are UCUM. Ids are made from
// person, recording and channel: the same session has the same id in every run and after every correction. Time: a
// period where the recording says its offset from UTC; else the date, and the wall clock as the component 'local_time'.
// Anonymous: 'day_offset' alone, no subject but a number, no time of making. meta.security: PSEUDED or ANONYED, no hash.
// Edges: a rejected signal has the reason 'error' throughout; control characters in texts are shown as \xNN.
std::string fhir_opening(const FhirSettings& settings);
std::string fhir_session(const SessionScore& score, const FhirSettings& settings);
std::string fhir_closing(const FhirSettings& settings);

// Between opening and closing, in place of sessions: one person's course. Observations of adherence and of each measure
// in each phase (the statement as its value, or the reason for none), a DiagnosticReport on them, a Provenance. They
// point to the sessions by the identifier that fhir_session gives each. The same sessions of a person have the same ids
// in every run; with one more it is another course. scores: those that the course was charted from. The Provenance names what
// made_with does, unless something was hidden.
std::string fhir_course(const Course& course, std::span<const SessionScore> scores, const FhirSettings& settings, const MadeWith& made_with = {});

// The local code system as a FHIR CodeSystem: every code of these resources with its definition, and the UCUM unit of
// each measure.
std::string fhir_code_system_json();

}  // namespace tracehold
