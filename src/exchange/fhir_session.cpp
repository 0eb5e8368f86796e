#include "exchange/fhir_session.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <utility>

#include "exchange/fhir_codes.hpp"
#include "exchange/fhir_components.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/report/did_it_happen.hpp"

namespace tracehold::fhir {
namespace {

bool is_anonymous(const SessionScore& score) { return score.settings.identity == IdentityLevel::anonymous; }

void add_identifier(Json& json, const SessionIds& ids) { json["identifier"] = identifier_of(kSessions, ids.session); }

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

constexpr std::string_view kNoMuscle = "nothing shows that the electrode saw the muscle";

Json no_value(const SessionScore& score, std::string_view why) {
    if (!score.quality.usable) return absent("error", why.empty() ? "the signal was rejected" : why);
    if (!muscle_seen(score)) return absent("unknown", why.empty() ? kNoMuscle : why);
    if (score.done == 0) return absent("not-performed", why.empty() ? "no contraction was done" : why);
    return absent("unknown", why.empty() ? "no contraction has a value" : why);
}

void add_clock(Components& components, const SessionScore& score) {
    const auto& start = score.recording.start;
    if (!start) return;
    const auto day = std::chrono::floor<std::chrono::days>(start->local);
    if (is_anonymous(score)) {
        components.count(kDayOffset, (day - std::chrono::sys_days{std::chrono::year{1} / 1 / 1}).count());
    } else if (!start->utc_offset) {
        components.time_of_day(kLocalTime, to_text(*start).substr(std::string_view("2026-03-02T").size()));
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
        const UnitOf unit{measure.unit, measure.ucum};
        components.amount(mean_of(measure), summary.mean, unit, no_value(score, why_none(score, i)));
        components.count(count_of(measure), summary.n);
        if (summary.sd) components.amount(sd_of(measure), summary.sd, unit, no_value(score, ""));
    }
}

Json components_of(const SessionScore& score) {
    Components components;
    add_clock(components, score);
    components.flag(kUsable, score.quality.usable);
    components.flag(kMuscleSeen, muscle_seen(score));
    components.count(kPlanned, score.planned);
    components.count(kDone, score.done);
    components.count(kMissed, score.missed);
    components.count(kExtra, score.extra);
    components.count(kUnusable, score.unusable);
    components.count(kNotRecorded, unrecorded(score));
    components.count(kLeftOutByHand, left_out_by_hand(score));
    components.text(kOver, to_string(score.summary_kind));
    const UnitOf microvolts{"µV", "uV"};
    const auto none = [&](std::string_view why) { return no_value(score, why); };
    components.amount(kNoiseFloor, score.noise_floor_uv, microvolts, none(""));
    components.amount(kReference, score.reference_uv.value, microvolts, none(score.reference_uv.reason));
    components.amount(kThreshold, score.threshold_uv.value, microvolts, none(score.threshold_uv.reason));
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
    return fmt::format("{}amplitude by {} over {} s{}{}, {} {}, measures {}", band, to_string(score.envelope_method),
                       score.envelope_window_s, noise_subtracted(score) ? ", quietest level subtracted in power" : "",
                       baseline_subtracted(score) ? ", running baseline subtracted" : "", kName, kVersion, kMeasuresVersion);
}

// Hidden hashes are none of files.
Json entities_of(const SessionScore& score) {
    Json list = Json::array();
    if (score.settings.identity != IdentityLevel::keep) return list;
    if (!score.recording.sha256.empty()) list.push_back(source_entity("recording", score.recording.sha256));
    if (score.plan && !score.plan->sha256.empty()) list.push_back(source_entity("plan", score.plan->sha256));
    const std::string& corrections = score.settings.given.corrections_sha256;
    if (!corrections.empty()) list.push_back(source_entity("corrections", corrections));
    return list;
}

}  // namespace

std::string device_id() { return uuid_of("Device", kVersion); }

std::string session_id(const SessionScore& score) {
    const RecordingFacts& recording = score.recording;
    if (recording.sha256.empty()) return uuid_of("session", session_json(score, 0));
    return uuid_of("session", fmt::format("{}\n{}\n{}", recording.sha256, recording.channel, recording.person));
}

SessionIds ids_of(const SessionScore& score) {
    const std::string session = session_id(score);
    return {.session = session,
            .observation = uuid_of("Observation", session),
            .report = uuid_of("DiagnosticReport", session),
            .provenance = uuid_of("Provenance", session_json(score, 0))};
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
    Json json = new_resource("Observation", score.settings.identity);
    add_identifier(json, ids);
    json["status"] = "preliminary";
    json["category"] = observation_category();
    json["code"] = concept_of(kSession);
    add_subject(json, score.recording.person, score.settings.identity);
    add_time(json, score);
    if (!score.quality.usable) json["dataAbsentReason"] = absent("error", "the signal was rejected");
    if (Json remarks = remarks_on(score); !remarks.empty()) json["note"] = std::move(remarks);
    json["method"] = {{"text", way_of(score)}};
    json["device"] = pointing.to("Device", device_id());
    json["component"] = components_of(score);
    return json;
}

std::string conclusion_of(const SessionScore& score) {
    if (!score.quality.usable) return "The signal was rejected: nothing is said of the muscle.";
    std::string text = whole_text(did_it_happen(score));
    if (!muscle_seen(score)) text += fmt::format(" But {}: whether a contraction was missed cannot be told.", kNoMuscle);
    return plain(text);
}

Json report(const SessionScore& score, const SessionIds& ids, const Pointing& pointing) {
    Json json = new_resource("DiagnosticReport", score.settings.identity);
    add_identifier(json, ids);
    json["status"] = "preliminary";
    json["category"] = report_category();
    json["code"] = concept_of(kSessionReport);
    add_subject(json, score.recording.person, score.settings.identity);
    add_time(json, score);
    json["result"] = Json::array({pointing.to("Observation", ids.observation)});
    json["conclusion"] = conclusion_of(score);
    return json;
}

Json provenance(const SessionScore& score, const SessionIds& ids, const Pointing& pointing,
                std::chrono::sys_seconds made) {
    Json json = new_resource("Provenance", score.settings.identity);
    json["target"] =
        Json::array({pointing.to("Observation", ids.observation), pointing.to("DiagnosticReport", ids.report)});
    add_making(json, pointing.to("Device", device_id()), made);
    if (Json entities = entities_of(score); !entities.empty()) json["entity"] = std::move(entities);
    return json;
}

}  // namespace tracehold::fhir
