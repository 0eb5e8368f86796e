// A Bundle is written as it grows, an entry a line, so that ten thousand sessions need no more memory than one.
#include <fmt/format.h>

#include "exchange/fhir_course.hpp"
#include "exchange/fhir_parts.hpp"
#include "exchange/fhir_session.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_fhir.hpp"

namespace tracehold {
namespace {

using fhir::Pointing;

Pointing pointing_in(FhirForm form) { return {.by_uuid = form != FhirForm::ndjson}; }

// How a server is to take a resource: once for the software, replacing what it has of a session, anew for each
// Provenance.
Json request_for(const Json& resource) {
    const std::string type = resource.at("resourceType");
    if (!resource.contains("identifier")) return {{"method", "POST"}, {"url", type}};
    const Json& identifier = resource.at("identifier").at(0);
    const std::string search = fmt::format("identifier={}|{}", identifier.at("system").get<std::string>(),
                                           identifier.at("value").get<std::string>());
    if (type == "Device") return {{"method", "POST"}, {"url", type}, {"ifNoneExist", search}};
    return {{"method", "PUT"}, {"url", fmt::format("{}?{}", type, search)}};
}

std::string without_break(std::string line) {
    line.pop_back();
    return line;
}

// One resource as it stands in the output; in a Bundle without the comma or line break around it.
std::string placed(Json resource, const std::string& id, FhirForm form) {
    if (form == FhirForm::ndjson) {
        Json with_id{{"resourceType", resource.at("resourceType")}, {"id", id}};
        with_id.update(resource);
        return written(with_id, 0);
    }
    Json entry{{"fullUrl", "urn:uuid:" + id}};
    const Json request = form == FhirForm::transaction ? request_for(resource) : Json(nullptr);
    entry["resource"] = std::move(resource);
    if (!request.is_null()) entry["request"] = request;
    return without_break(written(entry, 0));
}

}  // namespace

std::string fhir_opening(const FhirSettings& settings) {
    const std::string software = placed(fhir::device(), fhir::device_id(), settings.form);
    if (settings.form == FhirForm::ndjson) return software;
    const char* type = settings.form == FhirForm::transaction ? "transaction" : "collection";
    return fmt::format("{{\"resourceType\":\"Bundle\",\"type\":\"{}\",\"entry\":[\n{}", type, software);
}

std::string fhir_session(const SessionScore& score, const FhirSettings& settings) {
    const fhir::SessionIds ids = fhir::ids_of(score);
    const Pointing pointing = pointing_in(settings.form);
    const char* before = settings.form == FhirForm::ndjson ? "" : ",\n";
    std::string text = before + placed(fhir::observation(score, ids, pointing), ids.observation, settings.form) + before +
                       placed(fhir::report(score, ids, pointing), ids.report, settings.form);
    if (score.settings.identity == IdentityLevel::anonymous) return text;  // a Provenance must say when and of what it was made
    return text + before + placed(fhir::provenance(score, ids, pointing, settings.made), ids.provenance, settings.form);
}

std::string fhir_course(const Course& course, std::span<const SessionScore> scores, const FhirSettings& settings, const MadeWith& made_with) {
    const fhir::CourseOf of{
        .course = course, .scores = scores, .pointing = pointing_in(settings.form), .made = settings.made, .made_with = made_with};
    std::string text;
    for (auto& [resource, id] : fhir::course_resources(of)) {
        if (settings.form != FhirForm::ndjson) text += ",\n";
        text += placed(std::move(resource), id, settings.form);
    }
    return text;
}

std::string fhir_closing(const FhirSettings& settings) { return settings.form == FhirForm::ndjson ? "" : "\n]}\n"; }

}  // namespace tracehold
