// A scored session as one JSON object. Keys keep their order and, within schema /1, their meaning; keys may be added.
#include "exchange/enum_words.hpp"
#include "exchange/json_text.hpp"
#include "exchange/plan_json.hpp"
#include "exchange/quality_json.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/muscle_seen.hpp"

namespace tracehold {
namespace {

// Steps are counted from 1 in files, as contractions are.
Json step_number(std::optional<int> step) { return step ? Json(*step + 1) : Json(nullptr); }

Json given_json(const Given& given) {
    Json listed = Json::array();
    if (given.person) listed.push_back("person");
    if (given.start) listed.push_back("start");
    if (given.posture) listed.push_back("posture");
    return {{"channel", json_text(given.channel)},
            {"accessory", json_text(given.accessory)},
            {"rate_hz", json_number(given.rate_hz)},
            {"unit", json_text(given.unit)},
            {"kind", given.kind ? Json(to_string(*given.kind)) : Json(nullptr)},
            {"by_sessions_list", listed},
            {"corrections_sha256", json_text(given.corrections_sha256)}};
}

// Null where nothing was filtered: a setting that made no number could say anything.
Json settings_json(const ScoreSettings& settings, ChannelKind kind) {
    const bool filtered = kind != ChannelKind::envelope;
    const auto if_filtered = [&](Json value) { return filtered ? std::move(value) : Json(nullptr); };
    return {{"high_pass_hz", if_filtered(json_number(settings.clean.high_pass.value))},
            {"low_pass_hz", if_filtered(json_number(settings.clean.low_pass.value))},
            {"order", if_filtered(settings.clean.order)},
            {"mains", if_filtered(to_string(settings.clean.mains))},
            {"mask_s", spans_json(settings.clean.mask)},
            {"envelope", if_filtered(to_string(settings.envelope.method))},
            {"window_s", if_filtered(json_number(settings.envelope.window.value))},
            {"subtract_noise_floor", settings.envelope.subtract_noise_floor},
            {"subtract_baseline", settings.envelope.subtract_baseline},
            {"start_s", settings.cycles.start ? json_number(settings.cycles.start->value) : Json(nullptr)},
            {"given", given_json(settings.given)},
            {"identity", to_string(settings.identity)}};
}

Json tool_json(const SessionScore& score) {
    return {{"name", kName},
            {"version", score.tool_version},
            {"measures_version", kMeasuresVersion},
            {"settings", settings_json(score.settings, score.recording.kind)}};
}

Json recording_json(const RecordingFacts& recording) {
    return {{"source", recording.source},
            {"sha256", json_text(recording.sha256)},
            {"format", to_string(recording.format)},
            {"person", json_text(recording.person)},
            {"start", recording.start ? Json(to_text(*recording.start)) : Json(nullptr)},
            {"posture", json_text(recording.posture)},
            {"site", json_text(recording.site)},
            {"duration_s", json_number(recording.duration_s)},
            {"channel",
             {{"label", recording.channel},
              {"rate_hz", json_number(recording.rate_hz)},
              {"kind", to_string(recording.kind)},
              {"unit", json_text(recording.unit)}}}};
}

Json processing_json(const SessionScore& score) {
    const bool filtered = score.high_hz > 0.0;
    return {
        {"band_hz", filtered ? Json::array({json_number(score.low_hz), json_number(score.high_hz)}) : Json(nullptr)},
        {"envelope", to_string(score.envelope_method)},
        {"window_s", json_number(score.envelope_window_s)}};
}

void add_event(Json& json, const std::string& name, const std::optional<EventTime>& event) {
    const auto part = [&](double EventTime::*member) { return event ? json_number((*event).*member) : Json(nullptr); };
    json[name + "_s"] = part(&EventTime::time_s);
    json[name + "_error_s"] = part(&EventTime::error_s);
    json[name + "_low_s"] = part(&EventTime::low_s);
    json[name + "_high_s"] = part(&EventTime::high_s);
    json[name + "_corrected"] = event && event->corrected;
}

Json value_json(const Measure& measure, const Estimate& value) {
    if (!value) return nullptr;
    return measure.form == MeasureForm::yes_no ? Json(*value.value != 0.0) : json_number(value.value);
}

void add_values(Json& json, const ScoredCycle& scored) {
    Json measures = Json::object(), errors = Json::object(), reasons = Json::object();
    if (!scored.cycle.onset) reasons["onset_s"] = scored.cycle.onset_reason;
    if (!scored.cycle.offset) reasons["offset_s"] = scored.cycle.offset_reason;
    for (std::size_t i = 0; i < scored.values.size(); ++i) {
        const Measure& measure = measure_list()[i];
        const Estimate& value = scored.values[i];
        const std::string key(measure.key);
        measures[key] = value_json(measure, value);
        if (value.error) errors[key] = json_number(value.error);
        if (!value) reasons[key] = value.reason;
    }
    json["measures"] = measures;
    json["errors"] = errors;
    json["reasons"] = reasons;
}

Json cycle_json(const ScoredCycle& scored) {
    const Cycle& cycle = scored.cycle;
    Json json{{"index", cycle.index},
              {"step", step_number(cycle.step)},
              {"kind", to_string(cycle.kind)},
              {"work_s", json_span(cycle.work)},
              {"rest_s", json_span(cycle.rest)},
              {"status", to_string(cycle.status)}};
    add_event(json, "onset", cycle.onset);
    add_event(json, "offset", cycle.offset);
    json["begins"] = cycle.begins ? Json(to_string(*cycle.begins)) : Json(nullptr);
    json["rise_20_s"] = json_number(cycle.rise_20_s);
    json["fall_20_s"] = json_number(cycle.fall_20_s);
    json["corrected"] = cycle.corrected;
    add_values(json, scored);
    return json;
}

Json summary_json(const Summary& summary) {
    const bool interval = summary.ci95_low && summary.ci95_high;
    return {{"n", summary.n},
            {"mean", json_number(summary.mean)},
            {"sd", json_number(summary.sd)},
            {"cv_pct", json_number(summary.cv_pct)},
            {"min", json_number(summary.min)},
            {"max", json_number(summary.max)},
            {"ci95",
             interval ? Json::array({json_number(summary.ci95_low), json_number(summary.ci95_high)}) : Json(nullptr)}};
}

Json summaries_json(const std::vector<Summary>& summaries) {
    Json json = Json::object();
    for (std::size_t i = 0; i < summaries.size(); ++i)
        json[std::string(measure_list()[i].key)] = summary_json(summaries[i]);
    return json;
}

Json step_json(const StepScore& step) {
    return {{"step", step_number(step.step)},
            {"kind", to_string(step.kind)},
            {"planned", step.planned},
            {"done", step.done},
            {"missed", step.missed},
            {"unusable", step.unusable},
            {"not_counted", not_counted(step)},
            {"measures", summaries_json(step.measures)}};
}

Json rest_json(const RestScore& rest) {
    Json json{{"step", rest.step + 1}, {"window_s", rest.window ? json_span(*rest.window) : Json(nullptr)}};
    Json errors = Json::object(), reasons = Json::object();
    const auto add = [&](const char* key, const Estimate& value) {
        json[key] = json_number(value.value);
        if (value.error) errors[key] = json_number(value.error);
        if (!value) reasons[key] = value.reason;
    };
    add("rest_mean_uv", rest.mean_uv);
    add("rest_cv_pct", rest.cv_pct);
    json["errors"] = errors;
    json["reasons"] = reasons;
    return json;
}

Json target_json(const TargetOutcome& outcome) {
    Json json{{"measure", outcome.target.measure}};
    if (outcome.target.below) json["below"] = *outcome.target.below;
    if (outcome.target.above) json["above"] = *outcome.target.above;
    json["value"] = json_number(outcome.value.value);
    json["error"] = json_number(outcome.value.error);
    json["met"] = outcome.met ? Json(*outcome.met) : Json(nullptr);
    if (!outcome.value) json["reason"] = outcome.value.reason;
    if (outcome.value && !outcome.met) json["reason"] = kRestReadsLow;
    return json;
}

Json session_part(const SessionScore& score) {
    Json errors = Json::object(), reasons = Json::object(), steps = Json::array(), rests = Json::array(), targets = Json::array();
    const auto add = [&](const char* key, const Estimate& value) {
        if (value.error) errors[key] = json_number(value.error);
        if (!value) reasons[key] = value.reason;
    };
    add("reference_uv", score.reference_uv);
    add("threshold_uv", score.threshold_uv);
    for (const StepScore& step : score.steps) steps.push_back(step_json(step));
    for (const RestScore& rest : score.rests) rests.push_back(rest_json(rest));
    for (const TargetOutcome& outcome : score.targets) targets.push_back(target_json(outcome));
    return {{"planned", score.planned},
            {"done", score.done},
            {"missed", score.missed},
            {"extra", score.extra},
            {"unusable", score.unusable},
            {"not_recorded", unrecorded(score)},
            {"left_out_by_hand", left_out_by_hand(score)},
            {"muscle_seen", muscle_seen(score)},
            {"reference_uv", json_number(score.reference_uv.value)},
            {"reference_cycle", score.reference_cycle ? Json(*score.reference_cycle) : Json(nullptr)},
            {"threshold_uv", json_number(score.threshold_uv.value)},
            {"errors", errors},
            {"reasons", reasons},
            {"measures_over", to_string(score.summary_kind)},
            {"measures", summaries_json(score.measures)},
            {"steps", steps},
            {"rests", rests},
            {"targets", targets}};
}

Json correction_json(const Correction& correction) {
    return {{"file", json_text(correction.file)},
            {"action", to_string(correction.action)},
            {"cycle", correction.cycle ? Json(*correction.cycle) : Json(nullptr)},
            {"from_s", has_from(correction.action) ? json_number(correction.from_s) : Json(nullptr)},
            {"to_s", has_to(correction.action) ? json_number(correction.to_s) : Json(nullptr)},
            {"who", correction.who},
            {"when", correction.when},
            {"why", json_text(correction.why)}};
}

}  // namespace

std::string session_json(const SessionScore& score, int indent) {
    Json cycles = Json::array(), corrections = Json::array();
    for (const ScoredCycle& scored : score.cycles) cycles.push_back(cycle_json(scored));
    for (const Correction& correction : score.corrections) corrections.push_back(correction_json(correction));
    const Json json{{"schema", kSessionSchema},
                    {"tool", tool_json(score)},
                    {"recording", recording_json(score.recording)},
                    {"plan", score.plan ? plan_json(*score.plan) : Json(nullptr)},
                    {"cues",
                     {{"from", to_string(score.cues)},
                      {"offset_s", json_number(score.cue_offset_s)},
                      {"confidence", json_number(score.cue_confidence)}}},
                    {"processing", processing_json(score)},
                    {"quality", quality_json(score.quality, score.noise_floor_uv)},
                    {"cycles", cycles},
                    {"session", session_part(score)},
                    {"corrections", corrections},
                    {"notes", notes_json(score.notes)}};
    return written(json, indent);
}

}  // namespace tracehold
