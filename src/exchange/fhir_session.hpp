#pragma once
// The resources of one session, and the program that made them.
#include <chrono>
#include <string>

#include "exchange/fhir_parts.hpp"
#include "exchange/json_text.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold::fhir {

// Ids of the resources of one session.
struct SessionIds {
    std::string session;  // what all of them stand for: a business identifier
    std::string observation, report, provenance;
};

std::string device_id();
std::string session_id(const SessionScore& score);  // the first of SessionIds
SessionIds ids_of(const SessionScore& score);

Json device();
Json observation(const SessionScore& score, const SessionIds& ids, const Pointing& pointing);
Json report(const SessionScore& score, const SessionIds& ids, const Pointing& pointing);
Json provenance(const SessionScore& score, const SessionIds& ids, const Pointing& pointing,
                std::chrono::sys_seconds made);

}  // namespace tracehold::fhir
