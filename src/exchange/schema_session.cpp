#include "exchange/schema_session.hpp"

#include <fmt/format.h>

#include "exchange/schema_parts.hpp"
#include "exchange/schema_plan.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold::schema {
namespace {

// Our choice: a plan may ask for a thousand of each step, and no session takes so many.
constexpr int kMostContractions = 1'000'000;

std::string described(const Measure& measure) {
    const std::string unit = measure.unit.empty() ? "" : fmt::format(" In {}.", measure.unit);
    return fmt::format("{}: {} {}{}", measure.title, measure.definition, measure.edges, unit);
}

Json hertz() { return within(kPossibleHertz); }
Json error() { return within(kPossibleRatio); }

// Of a recording, or a little before it.
Json moment() { return within({-kPossibleSeconds.high, kPossibleSeconds.high}); }

Json contractions() { return whole_within(0, kMostContractions); }

Json measures_of_cycle() {
    Json properties = Json::object();
    for (const Measure& measure : measure_list()) {
        Json value = or_null(measure.form == MeasureForm::yes_no ? flag() : within(possible_range(measure)));
        value["description"] = described(measure);
        properties[std::string(measure.key)] = value;
    }
    return object_of(properties);
}

// An object with some of the measures' keys, and more where named.
Json some_keys(const Json& value, const std::vector<std::string_view>& more = {}) {
    Json properties = Json::object();
    for (const std::string_view key : more) properties[std::string(key)] = value;
    for (const Measure& measure : measure_list()) properties[std::string(measure.key)] = value;
    return {{"type", "object"}, {"additionalProperties", false}, {"properties", properties}};
}

Json summary_of(const Measure& measure) {
    const Json value = or_null(within(possible_range(measure)));
    return object_of({{"n", contractions()},
                      {"mean", value},
                      {"sd", or_null(error())},
                      {"cv_pct", or_null(number_from(0.0))},
                      {"min", value},
                      {"max", value},
                      {"ci95", or_null(refer("span"))}});
}

Json summaries() {
    Json properties = Json::object();
    for (const Measure& measure : measure_list()) properties[std::string(measure.key)] = summary_of(measure);
    return object_of(properties);
}

Json given() {
    return object_of({{"channel", or_null(filled_text())},
                      {"accessory", or_null(filled_text())},
                      {"rate_hz", or_null(hertz())},
                      {"unit", or_null(filled_text())},
                      {"kind", or_null(words_for(kChannelKinds))},
                      {"by_sessions_list", list_of(words({"person", "start", "posture"}))},
                      {"corrections_sha256", or_null(sha256())}});
}

Json tool() {
    const auto if_filtered = [](Json value) {
        value = or_null(std::move(value));
        value["description"] = "null for an amplitude as the recorder exported it: nothing was filtered";
        return value;
    };
    const Json settings = object_of({{"high_pass_hz", if_filtered(hertz())},
                                     {"low_pass_hz", if_filtered(hertz())},
                                     {"order", if_filtered(whole_within(1, 100))},
                                     {"mains", if_filtered(words_for(kMainsRemovals))},
                                     {"mask_s", list_of(refer("span"))},
                                     {"envelope", if_filtered(words_for(kEnvelopeMethods))},
                                     {"window_s", if_filtered(seconds())},
                                     {"subtract_noise_floor", flag()},
                                     {"subtract_baseline", flag()},
                                     {"start_s", or_null(moment())},
                                     {"given", given()},
                                     {"identity", words_for(kIdentityLevels)}});
    return object_of({{"name", {{"const", "tracehold"}}},
                      {"version", {{"type", "string"}, {"pattern", "^[0-9]+[.][0-9]+[.][0-9]+$"}}},
                      {"measures_version", {{"type", "string"}, {"pattern", "^[0-9]+$"}}},
                      {"settings", settings}});
}

Json recording_facts() {
    const Json channel = object_of({{"label", text()},
                                    {"rate_hz", {{"type", "number"}, {"exclusiveMinimum", 0}, {"maximum", kPossibleHertz.high}}},
                                    {"kind", words_for(kChannelKinds)},
                                    {"unit", or_null(text())}});
    return object_of({{"source", text()},
                      {"sha256", or_null(sha256())},
                      {"format", words_for(kFileFormats)},
                      {"person", or_null(filled_text())},
                      {"start", or_null(date_time())},
                      {"posture", or_null(filled_text())},
                      {"site", or_null(filled_text())},
                      {"duration_s", seconds()},
                      {"channel", channel}});
}

void add_event(Json& properties, const std::string& name) {
    for (const char* part : {"_s", "_error_s", "_low_s", "_high_s"}) properties[name + part] = or_null(moment());
    properties[name + "_corrected"] = flag();
}

Json cycle() {
    Json properties{{"index", whole_within(1, kMostContractions)},  {"step", or_null(whole_from(1))}, {"kind", words_for(kWorkKinds)},
                    {"work_s", refer("span")}, {"rest_s", refer("span")},        {"status", words_for(kCycleStatuses)}};
    add_event(properties, "onset");
    add_event(properties, "offset");
    properties["begins"] = or_null(words_for(kBegins));
    properties["rise_20_s"] = or_null(moment());
    properties["fall_20_s"] = or_null(moment());
    properties["corrected"] = list_of(filled_text());
    properties["measures"] = measures_of_cycle();
    properties["errors"] = some_keys(error());
    properties["reasons"] = some_keys(filled_text(), {"onset_s", "offset_s"});
    return object_of(properties, {"begins"});
}

Json target() {
    std::vector<std::string_view> keys;
    for (const Measure& measure : measure_list()) keys.push_back(measure.key);
    Json json = object_of({{"measure", words(keys)},
                           {"below", number()},
                           {"above", number()},
                           {"value", or_null(within({-kPossibleRatio.high, kPossibleRatio.high}))},
                           {"error", or_null(error())},
                           {"met", or_null(flag())},
                           {"reason", filled_text()}},
                          {"below", "above", "reason"});
    const auto has = [](const char* key) { return Json{{"type", "object"}, {"properties", {{key, true}}}, {"required", {key}}}; };
    json["oneOf"] = Json::array({has("below"), has("above")});
    return json;
}

Json session_part() {
    const Json own =
        object_of({{"reference_uv", filled_text()}, {"threshold_uv", filled_text()}}, {"reference_uv", "threshold_uv"});
    const Json errors = object_of({{"reference_uv", error()}, {"threshold_uv", error()}},
                                  {"reference_uv", "threshold_uv"});
    Json not_counted = contractions(), not_recorded = contractions(), left_out = contractions();
    not_counted["description"] = "planned without done, missed and unusable: not recorded, or left out by hand";
    not_recorded["description"] = "planned, without a place in the recording; with done, missed, unusable and left_out_by_hand they add up to planned";
    left_out["description"] = "planned, and left out by a correction by hand";
    const Json step = object_of({{"step", or_null(whole_from(1))},
                                 {"kind", words_for(kWorkKinds)},
                                 {"planned", contractions()},
                                 {"done", contractions()},
                                 {"missed", contractions()},
                                 {"unusable", contractions()},
                                 {"not_counted", not_counted},
                                 {"measures", refer("summaries")}},
                                {"not_counted"});
    Json variation = or_null(number_from(0.0));
    variation["description"] = "SD of the envelope over the window as percent of its mean; a steady signal has one too, from chance alone";
    const Json rest = object_of({{"step", whole_from(1)},
                                 {"window_s", or_null(refer("span"))},
                                 {"rest_mean_uv", or_null(microvolts())},
                                 {"rest_cv_pct", variation},
                                 {"errors", object_of({{"rest_mean_uv", error()}}, {"rest_mean_uv"})},
                                 {"reasons", object_of({{"rest_mean_uv", filled_text()}, {"rest_cv_pct", filled_text()}},
                                                       {"rest_mean_uv", "rest_cv_pct"})}});
    Json rests = list_of(rest);
    rests["description"] = "resting activity in each rest step of the plan, from 1 s (or a third of it) after its beginning";
    Json seen = flag();
    seen["description"] = "false where the signal was rejected, or nothing shows that the electrode saw the muscle: missed contractions may have been done";
    return object_of({{"planned", contractions()},
                      {"done", contractions()},
                      {"missed", contractions()},
                      {"extra", contractions()},
                      {"unusable", contractions()},
                      {"not_recorded", not_recorded},
                      {"left_out_by_hand", left_out},
                      {"muscle_seen", seen},
                      {"reference_uv", or_null(microvolts())},
                      {"reference_cycle", or_null(whole_from(1))},
                      {"threshold_uv", or_null(microvolts())},
                      {"errors", errors},
                      {"reasons", own},
                      {"measures_over", words_for(kWorkKinds)},
                      {"measures", refer("summaries")},
                      {"steps", list_of(step)},
                      {"rests", rests},
                      {"targets", list_of(target())}},
                     {"not_recorded", "left_out_by_hand", "rests"});
}

Json correction() {
    return object_of({{"file", or_null(filled_text())},
                      {"action", words_for(kCorrectionActions)},
                      {"cycle", or_null(whole_from(1))},
                      {"from_s", or_null(moment())},
                      {"to_s", or_null(moment())},
                      {"who", filled_text()},
                      {"when", filled_text()},
                      {"why", or_null(filled_text())}});
}

}  // namespace

Json session() {
    const Json cues = object_of({{"from", words_for(kCueSources)},
                                 {"offset_s", or_null(moment())},
                                 {"confidence", or_null(number_within(0.0, 1.0))}});
    const Json processing = object_of({{"band_hz", or_null(refer("span"))},
                                       {"envelope", words_for(kEnvelopeMethods)},
                                       {"window_s", seconds()}});
    const Json body = object_of({{"schema", {{"const", kSessionSchema}}},
                                 {"tool", tool()},
                                 {"recording", recording_facts()},
                                 {"plan", or_null(refer("plan"))},
                                 {"cues", cues},
                                 {"processing", processing},
                                 {"quality", quality()},
                                 {"cycles", list_of(refer("cycle"))},
                                 {"session", session_part()},
                                 {"corrections", list_of(correction())},
                                 {"notes", list_of(note())}});
    const Json definitions{{"span", span()},
                           {"plan", plan_in_result()},
                           {"cycle", cycle()},
                           {"summaries", summaries()}};
    return document("session", 1, "A recording, scored", definitions, body);
}

}  // namespace tracehold::schema
