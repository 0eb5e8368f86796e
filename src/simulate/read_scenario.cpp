#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/json_fields.hpp"
#include "simulate/check_scenario.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kSchema = "tracehold.scenario/1";

void take(Fields& fields, std::string_view key, double& value) { value = fields.optional_number(key).value_or(value); }

void take(Fields& fields, std::string_view key, std::string& value) {
    value = fields.optional_text(key).value_or(value);
}

template <class Word, std::size_t Count>
void take_word(Fields& fields, std::string_view key, const std::array<Word, Count>& words, Word& value) {
    if (!fields.has(key)) return;
    std::array<std::string_view, Count> names;
    for (std::size_t i = 0; i < Count; ++i) names[i] = to_string(words[i]);
    value = words[fields.choice(key, names)];
}

MuscleSetting muscle_from(Fields fields) {
    constexpr std::array kShapes = {RampShape::linear, RampShape::cosine, RampShape::exponential, RampShape::quadratic};
    MuscleSetting m;
    take(fields, "rest_uv", m.rest_uv);
    take(fields, "rest_wander_pct", m.rest_wander_pct);
    take(fields, "work_uv", m.work_uv);
    take(fields, "work_spread_pct", m.work_spread_pct);
    take(fields, "rise_s", m.rise_s);
    take(fields, "fall_s", m.fall_s);
    take(fields, "ramp_spread_pct", m.ramp_spread_pct);
    take_word(fields, "shape", kShapes, m.shape);
    take(fields, "reaction_s", m.reaction_s);
    take(fields, "reaction_spread_s", m.reaction_spread_s);
    take(fields, "release_s", m.release_s);
    take(fields, "release_spread_s", m.release_spread_s);
    take(fields, "fade_pct_per_s", m.fade_pct_per_s);
    take(fields, "fade_pct_per_cycle", m.fade_pct_per_cycle);
    take(fields, "spectrum_low_hz", m.spectrum_low_hz);
    take(fields, "spectrum_high_hz", m.spectrum_high_hz);
    take(fields, "compression_pct_per_s", m.compression_pct_per_s);
    take(fields, "compression_pct_per_cycle", m.compression_pct_per_cycle);
    fields.done();
    return m;
}

Fault fault_from(Fields fields) {
    constexpr std::array kKinds = {FaultKind::hum,          FaultKind::wobbling_hum, FaultKind::drift,
                                   FaultKind::heart_beats,  FaultKind::motion_burst, FaultKind::spikes,
                                   FaultKind::twitch,       FaultKind::clipping,     FaultKind::contact_flat,
                                   FaultKind::contact_rail, FaultKind::contact_open, FaultKind::gap};
    if (!fields.has("kind")) fields.refuse("kind", "is missing");
    Fault fault;
    take_word(fields, "kind", kKinds, fault.kind);
    take(fields, "strength_uv", fault.strength_uv);
    take(fields, "from_s", fault.from_s);
    take(fields, "length_s", fault.length_s);
    take(fields, "hz", fault.hz);
    fields.done();
    return fault;
}

char one_character(Fields& fields, std::string_view key, char otherwise, std::string_view allowed) {
    const auto text = fields.optional_text(key);
    if (!text) return otherwise;
    if (text->size() == 1 && allowed.find((*text)[0]) != std::string_view::npos) return (*text)[0];
    fields.refuse(key, "is not one of the characters it may be: saw '" + shown(*text) + "'");
}

// The name becomes a file in a folder of the user's: it must not lead out of it, hide, or pass for an option.
bool is_plain_file_name(std::string_view name) {
    const auto plain = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); };
    constexpr std::size_t kLongest = 100;
    return !name.empty() && name.size() <= kLongest && plain(name[0]) && std::all_of(name.begin(), name.end(), [&](char c) {
        return plain(c) || c == '-' || c == '_' || c == '.';
    });
}

bool says_format(std::string_view name) {
    constexpr std::array<std::string_view, 4> kEndings = {".csv", ".CSV", ".edf", ".EDF"};
    return std::any_of(kEndings.begin(), kEndings.end(), [&](std::string_view ending) { return name.ends_with(ending); });
}

FileStyle style_from(Fields& fields) {
    constexpr std::array<std::string_view, 3> kUnits = {"uV", "mV", "V"};
    FileStyle style;
    if (const auto file = fields.optional_text("file")) {
        if (!is_plain_file_name(*file)) {
            fields.refuse("file", "is no plain name of a file: saw '" + shown(*file) +
                                      "', expected letters, digits, '-', '_' and '.', first a letter or digit");
        }
        if (!says_format(*file)) fields.refuse("file", "does not say how it is written: saw '" + *file + "', expected a name that ends in .csv or .edf");
        style.file = *file;
    }
    auto csv = fields.optional_object("csv");
    if (!csv) return style;
    style.delimiter = one_character(*csv, "delimiter", style.delimiter, ",;\t");
    style.decimal = one_character(*csv, "decimal", style.decimal, ".,");
    if (csv->has("unit")) style.unit = kUnits[csv->choice("unit", kUnits)];
    style.decimals = static_cast<int>(csv->optional_whole("decimals", 0, 9).value_or(style.decimals));
    csv->done();
    if (style.delimiter == style.decimal) csv->refuse("decimal", "is the delimiter too");
    return style;
}

std::optional<CivilTime> start_from(Fields& fields) {
    const auto text = fields.optional_text("start");
    if (!text) return std::nullopt;
    const auto time = parse_civil_time(*text);
    if (!time)
        fields.refuse("start", "is no date and time: saw '" + shown(*text) + "'", "write it like 2026-03-02T07:30");
    return time;
}

void take_activity(Fields& fields, Scenario& s) {
    if (auto muscle = fields.optional_object("muscle")) s.muscle = muscle_from(*muscle);
    if (auto accessory = fields.optional_object("accessory")) s.accessory = muscle_from(*accessory);
    take(fields, "crosstalk_pct", s.crosstalk_pct);
    take(fields, "sensor_floor_uv", s.sensor_floor_uv);
    take(fields, "lead_in_s", s.lead_in_s);
    for (const double number : fields.numbers("missed")) {
        if (std::abs(number) > 1e6 || number != std::floor(number)) fields.refuse("missed", "holds a number that is not whole");
        s.missed.push_back(static_cast<int>(number));
    }
    s.extra_s = fields.numbers("extra_s");
    s.pause_after_cycle = static_cast<int>(fields.optional_whole("pause_after_cycle", 0, 100000).value_or(0));
    take(fields, "pause_s", s.pause_s);
    if (!fields.has("faults")) return;
    for (const Fields& fault : fields.objects("faults")) s.faults.push_back(fault_from(fault));
}

Scenario scenario_from(Fields fields, const Plan& plan) {
    Scenario s;
    s.plan = plan;
    const auto schema = fields.optional_text("schema");
    if (schema && *schema != kSchema)
        fields.refuse("schema", fmt::format("is not {}: saw '{}'", kSchema, shown(*schema)));
    s.style = style_from(fields);
    s.name = s.style.file.empty() ? s.name : s.style.file;
    take(fields, "name", s.name);
    take(fields, "person", s.person);
    s.start = start_from(fields);
    s.seed =
        static_cast<std::uint64_t>(fields.optional_whole("seed", 0, std::numeric_limits<long long>::max()).value_or(1));
    take(fields, "rate_hz", s.rate_hz);
    s.marks = fields.optional_flag("marks").value_or(s.marks);
    if (const auto rate = fields.optional_number("envelope_rate_hz")) s.envelope_rate = Hertz{*rate};
    take_activity(fields, s);
    fields.done();
    try {
        check_scenario(s);
    } catch (const Error& error) {
        throw Error(error.kind, fields.source(), fields.pointer() + error.place, error.message, error.hint);
    }
    return s;
}

}  // namespace

std::vector<Scenario> read_scenarios(std::string_view text, const std::string& source, const Plan& plan) {
    const Json json = parse_json(text, source);
    if (!json.is_object() || !json.contains("sessions")) return {scenario_from(Fields(json, source), plan)};

    Fields fields(json, source);
    if (fields.text("schema") != kSchema) fields.refuse("schema", fmt::format("is not {}", kSchema));
    const auto sessions = fields.objects("sessions");
    const Json* base = fields.find("base");
    if (base != nullptr && !base->is_object()) fields.refuse("base", "is not an object");
    fields.done();
    if (sessions.empty()) fields.refuse("sessions", "is empty");
    std::vector<Scenario> scenarios;
    for (std::size_t i = 0; i < sessions.size(); ++i) {
        Json merged = base != nullptr ? *base : Json::object();
        merged.merge_patch(json["sessions"][i]);
        scenarios.push_back(scenario_from(Fields(merged, source, fmt::format("/sessions/{}", i)), plan));
    }
    return scenarios;
}

Scenario read_scenario(std::string_view text, const std::string& source, const Plan& plan) {
    std::vector<Scenario> scenarios = read_scenarios(text, source, plan);
    if (scenarios.size() == 1) return std::move(scenarios.front());
    throw Error(ErrorKind::bad_setting, source, "/sessions",
                fmt::format("more than one scenario: saw {}, expected 1", scenarios.size()));
}

}  // namespace tracehold
