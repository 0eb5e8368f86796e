#include "exchange/fhir_session.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "exchange/fhir_codes.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold::fhir {
namespace {

bool is_anonymous(const SessionScore& score) { return score.settings.identity == IdentityLevel::anonymous; }

Json new_resource(std::string_view type, const SessionScore& score) {
    Json json{{"resourceType", type}};
    if (Json meta = security_meta(score.settings.identity); !meta.is_null()) json["meta"] = std::move(meta);
    return json;
}

void add_identifier(Json& json, const SessionIds& ids) {
    json["identifier"] = Json::array({{{"system", kSessions}, {"value", ids.session}}});
}

// A reference by identifier: which Patient that is, the receiving system knows. Numbers of anonymous people mean
// nothing outside one output.
void add_subject(Json& json, const SessionScore& score) {
    const std::string person = plain(score.recording.person);
    if (person.empty()) return;
    if (is_anonymous(score)) {
        json["subject"] = {{"type", "Patient"}, {"display", person}};
    } else {
        json["subject"] = {{"type", "Patient"}, {"identifier", {{"system", kPeople}, {"value", person}}}};
    }
}

void add_time(Json& json, const SessionScore& score) {
    const auto& start = score.recording.start;
    if (!start || is_anonymous(score)) return;
    if (!start->utc_offset) {
        json["effectiveDateTime"] = date_text(*start);
        return;
    }
    CivilTime end = *start;
    end.local += std::chrono::milliseconds(std::llround(1000.0 * score.recording.duration_s));
    json["effectivePeriod"] = {{"start", to_text(*start)}, {"end", to_text(end)}};
}

// Components in the order of tables.
class Components {
public:
    explicit Components(const SessionScore& score) : score_(score) {}

    void flag(const Code& code, bool value) { add(code)["valueBoolean"] = value; }
    void count(const Code& code, std::size_t value) { add(code)["valueInteger"] = value; }
    void text(const Code& code, std::string_view value) { add(code)["valueString"] = value; }
    void amount(const Code& code, const std::optional<double>& value, std::string_view unit, std::string_view ucum,
                std::string_view why) {
        Json& json = add(code);
        if (value && std::isfinite(*value)) {
            json["valueQuantity"] = quantity(*value, unit, ucum);
        } else {
            json["dataAbsentReason"] = no_value(why);
        }
    }
    void time();
    Json take() { return std::move(list_); }

private:
    Json& add(const Code& code) {
        list_.push_back({{"code", concept_of(code)}});
        return list_.back();
    }
    Json no_value(std::string_view why) const {
        if (!score_.quality.usable) return absent("error", why.empty() ? "the signal was rejected" : why);
        if (score_.done == 0) return absent("not-performed", why.empty() ? "no contraction was done" : why);
        return absent("unknown", why.empty() ? "no contraction has a value" : why);
    }

    const SessionScore& score_;
    Json list_ = Json::array();
};

void Components::time() {
    const auto& start = score_.recording.start;
    if (!start) return;
    const auto day = std::chrono::floor<std::chrono::days>(start->local);
    if (is_anonymous(score_)) {
        add(kDayOffset)["valueInteger"] = (day - std::chrono::sys_days{std::chrono::year{1} / 1 / 1}).count();
    } else if (!start->utc_offset) {
        add(kLocalTime)["valueTime"] = to_text(*start).substr(std::string_view("2026-03-02T").size());
    }
}

// Why a measure has no mean: the reason of the first contraction that gives one.
std::string_view why_none(const SessionScore& score, std::size_t measure) {
    for (const ScoredCycle& scored : score.cycles) {
        const bool counts = scored.cycle.kind == score.summary_kind && scored.cycle.status == CycleStatus::done;
        if ((counts || !score.quality.usable) && !scored.values[measure]) return scored.values[measure].reason;
    }
    return "";
}

void add_measures(Components& components, const SessionScore& score) {
    for (std::size_t i = 0; i < score.measures.size(); ++i) {
        const Measure& measure = measure_list()[i];
        const Summary& summary = score.measures[i];
        components.amount(mean_of(measure), summary.mean, measure.unit, measure.ucum, why_none(score, i));
        components.count(count_of(measure), summary.n);
        if (summary.sd) components.amount(sd_of(measure), summary.sd, measure.unit, measure.ucum, "");
    }
}

Json components_of(const SessionScore& score) {
    Components components(score);
    components.time();
    components.flag(kUsable, score.quality.usable);
    components.count(kPlanned, score.planned);
    components.count(kDone, score.done);
    components.count(kMissed, score.missed);
    components.count(kExtra, score.extra);
    components.count(kUnusable, score.unusable);
    components.text(kOver, to_string(score.summary_kind));
    components.amount(kNoiseFloor, score.noise_floor_uv, "µV", "uV", "");
    components.amount(kReference, score.reference_uv.value, "µV", "uV", score.reference_uv.reason);
    components.amount(kThreshold, score.threshold_uv.value, "µV", "uV", score.threshold_uv.reason);
    add_measures(components, score);
    return components.take();
}

Json remarks_on(const SessionScore& score) {
    Json remarks = Json::array();
    for (const Finding& finding : score.quality.findings)
        remarks.push_back(
            {{"text", plain(fmt::format("{} ({}): {}", to_string(finding.severity), finding.code, finding.text))}});
    for (const Note& note : score.notes)
        remarks.push_back({{"text", plain(fmt::format("note ({}): {}", note.code, note.text))}});
    return remarks;
}

std::string way_of(const SessionScore& score) {
    const std::string band = score.high_hz > 0.0 ? fmt::format("band {} to {} Hz, ", score.low_hz, score.high_hz) : "";
    return fmt::format("{}amplitude by {} over {} s, {} {}, measures {}", band, to_string(score.envelope_method),
                       score.envelope_window_s, kName, kVersion, kMeasuresVersion);
}

Json source_entity(std::string_view what, const std::string& sha256) {
    return {
        {"role", "source"},
        {"what",
         {{"identifier", {{"system", "urn:ietf:rfc:6920"}, {"value", named_information(sha256)}}}, {"display", what}}}};
}

// Under a pseudonym only the recording's own hash is one: the others are keyed.
Json entities_of(const SessionScore& score) {
    Json list = Json::array();
    const bool keep = score.settings.identity == IdentityLevel::keep;
    if (!score.recording.sha256.empty()) list.push_back(source_entity("recording", score.recording.sha256));
    if (keep && score.plan && !score.plan->sha256.empty()) list.push_back(source_entity("plan", score.plan->sha256));
    const std::string& corrections = score.settings.given.corrections_sha256;
    if (keep && !corrections.empty()) list.push_back(source_entity("corrections", corrections));
    return list;
}

}  // namespace

Json Pointing::to(std::string_view type, const std::string& id) const {
    return {{"reference", by_uuid ? "urn:uuid:" + id : fmt::format("{}/{}", type, id)}, {"type", type}};
}

std::string device_id() { return uuid_of("Device", kVersion); }

SessionIds ids_of(const SessionScore& score) {
    const RecordingFacts& recording = score.recording;
    const std::string content = session_json(score, 0);
    const std::string known = fmt::format("{}\n{}\n{}", recording.sha256, recording.channel, recording.person);
    const std::string session = uuid_of("session", recording.sha256.empty() ? content : known);
    return {.session = session,
            .observation = uuid_of("Observation", session),
            .report = uuid_of("DiagnosticReport", session),
            .provenance = uuid_of("Provenance", content)};
}

Json device() {
    return {{"resourceType", "Device"},
            {"identifier", Json::array({{{"system", kSoftware}, {"value", fmt::format("{}-{}", kName, kVersion)}}})},
            {"deviceName", Json::array({{{"name", kName}, {"type", "model-name"}}})},
            {"type", {{"text", "software that scores surface EMG recordings"}}},
            {"version", Json::array({{{"type", {{"text", "program"}}}, {"value", kVersion}},
                                     {{"type", {{"text", "measures"}}}, {"value", kMeasuresVersion}}})}};
}

Json observation(const SessionScore& score, const SessionIds& ids, const Pointing& pointing) {
    Json json = new_resource("Observation", score);
    add_identifier(json, ids);
    json["status"] = "preliminary";
    json["category"] =
        Json::array({{{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/observation-category",
                                                     "therapy", "Therapy")})}}});
    json["code"] = concept_of(kSession);
    add_subject(json, score);
    add_time(json, score);
    if (!score.quality.usable) json["dataAbsentReason"] = absent("error", "the signal was rejected");
    if (Json remarks = remarks_on(score); !remarks.empty()) json["note"] = std::move(remarks);
    json["method"] = {{"text", way_of(score)}};
    json["device"] = pointing.to("Device", device_id());
    json["component"] = components_of(score);
    return json;
}

Json report(const SessionScore& score, const SessionIds& ids, const Pointing& pointing) {
    Json json = new_resource("DiagnosticReport", score);
    add_identifier(json, ids);
    json["status"] = "preliminary";
    json["category"] = Json::array({{{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/v2-0074",
                                                                    "EN", "Electroneuro (EEG, EMG,EP,PSG)")})}}});
    json["code"] = concept_of(kSessionReport);
    add_subject(json, score);
    add_time(json, score);
    json["result"] = Json::array({pointing.to("Observation", ids.observation)});
    json["conclusion"] = score.quality.usable
                             ? fmt::format("Contractions: {} planned, {} done, {} missed, {} without a usable signal.",
                                           score.planned, score.done, score.missed, score.unusable)
                             : std::string("The signal was rejected: nothing is said of the muscle.");
    return json;
}

Json provenance(const SessionScore& score, const SessionIds& ids, const Pointing& pointing,
                std::chrono::sys_seconds made) {
    Json json = new_resource("Provenance", score);
    json["target"] =
        Json::array({pointing.to("Observation", ids.observation), pointing.to("DiagnosticReport", ids.report)});
    json["recorded"] = to_text({made, std::chrono::minutes{0}});
    json["activity"] = {{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/v3-DataOperation",
                                                       "CREATE", "create")})}};
    json["agent"] = Json::array(
        {{{"type",
           {{"coding", Json::array({coding("http://terminology.hl7.org/CodeSystem/provenance-participant-type",
                                           "assembler", "Assembler")})}}},
          {"who", pointing.to("Device", device_id())}}});
    if (Json entities = entities_of(score); !entities.empty()) json["entity"] = std::move(entities);
    return json;
}

}  // namespace tracehold::fhir
