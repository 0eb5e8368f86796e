// Source: Frictionless Table Schema and Data Package, version 1. 'unit' is a property of our own, which the
// specification allows.
#include "exchange/schema_tables.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "exchange/course_measure.hpp"
#include "exchange/enum_words.hpp"
#include "tracehold/audit/audit.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold::schema {
namespace {

using Words = std::vector<std::string_view>;

Json field(std::string_view name, std::string_view type, std::string_view description) {
    return {{"name", name}, {"type", type}, {"description", description}};
}

Json constrained(Json field, Json constraints) {
    field["constraints"] = std::move(constraints);
    return field;
}

Json needed(Json field) { return constrained(std::move(field), {{"required", true}}); }
Json one_of(Json field, const Words& words) {
    return constrained(std::move(field), {{"required", true}, {"enum", words}});
}

Json from_one(std::string_view name, std::string_view description, bool required) {
    return constrained(field(name, "integer", description), {{"required", required}, {"minimum", 1}});
}

Json from_zero(std::string_view name, std::string_view type, std::string_view description) {
    return constrained(field(name, type, description), {{"minimum", 0}});
}

Json measured(std::string_view name, std::string_view unit, std::string_view description) {
    Json json = field(name, "number", description);
    json["unit"] = unit;
    return json;
}

template <class Enum, std::size_t count>
Words listed(const std::array<Enum, count>& values) {
    const auto words = words_of(values);
    return {words.begin(), words.end()};
}

Json table_of(const Json& fields, const Words& key) {
    return {{"fields", fields}, {"missingValues", Json::array({""})}, {"primaryKey", key}};
}

Json schema_column(std::string_view schema) {
    return one_of(field("schema", "string", "Name and major version of this table"), {schema});
}

Json file_column() {
    return needed(field("file", "string", "The recording, as it was named, behind an apostrophe where a spreadsheet would take it for a formula (- = + @ ahead); with hidden identities a label of it"));
}

Json session_table() {
    Words keys, units{};
    for (const Measure& measure : measure_list()) {
        keys.push_back(measure.key);
        if (std::find(units.begin(), units.end(), measure.ucum) == units.end()) units.push_back(measure.ucum);
    }
    Json start = field(
        "start", "datetime",
        "When the recording began, by the clock of the place; with an offset from UTC where the recording says it");
    start["format"] = "any";
    return table_of(
        {schema_column("tracehold.cycles/1"),
         file_column(),
         field("person", "string", "Code of the person"), start,
         field("posture", "string", "As stated, or as the plan asks"),
         needed(field("channel", "string", "Label of the scored channel")),
         from_one("cycle", "Number of the contraction in the recording", true),
         from_one("step", "Step of the plan it belongs to", false),
         one_of(field("kind", "string", "Kind of contraction"), listed(kWorkKinds)),
         one_of(field("status", "string", "What was found"), listed(kCycleStatuses)),
         one_of(field("measure", "string", "Key of the measure: 'tracehold explain KEY' defines it"), keys),
         field("value", "number", "Its value, in 'unit'; of a yes or no 1 or 0"),
         from_zero("standard_error", "number", "Standard error of the value, in 'unit'"),
         one_of(field("unit", "string", "UCUM code of the unit"), units),
         field("reason", "string", "Why there is no value")},
        {"file", "channel", "cycle", "measure"});
}

Json course_table() {
    Words keys;
    for (const CourseMeasure& measure : course_measures()) keys.push_back(measure.key);
    return table_of(
        {schema_column("tracehold.course_sessions/1"), field("person", "string", "Code of the person"),
         from_one("phase", "Sessions of one phase may be compared, of different phases not", true),
         one_of(field("purpose", "string", "What the sessions were for"), listed(kPlanPurposes)),
         field("posture", "string", "As stated, or as the plan asks"),
         needed(field("channel", "string", "Label of the scored channel")),
         one_of(field("kind", "string", "Kind of the channel"), listed(kChannelKinds)),
         one_of(field("contraction", "string", "Kind of contraction that the value is the mean of; rest: of a rest step"),
                listed(kStepKinds)),
         from_one("step", "Step of the plan; assessments only", false),
         from_one("session", "Number of the session in the phase, in order of time", true),
         needed(field("date", "date", "Day of the session; anonymous: counted from 0001-01-01, the person's first")),
         file_column(),
         one_of(field("measure", "string", "Key of the measure: 'tracehold explain KEY' defines it"), keys),
         field("value", "number", "Mean of the session, in 'unit'"),
         needed(field("unit", "string", "UCUM code of the unit")), field("reason", "string", "Why there is no value")},
        {"person", "phase", "session", "measure"});
}

Json weeks_table() {
    const auto asked = [](std::string_view name, std::string_view what) {
        return from_zero(name, "number", fmt::format("{} that the dose asks for in the days that count; empty without a dose", what));
    };
    const auto seen = [](std::string_view name, std::string_view what) {
        return constrained(field(name, "integer", what), {{"required", true}, {"minimum", 0}});
    };
    Json week = from_one("iso_week", "Week of that year, ISO 8601", true);
    week["constraints"]["maximum"] = 53;
    return table_of(
        {schema_column("tracehold.course_weeks/1"), field("person", "string", "Code of the person"),
         needed(field("iso_year", "integer", "Year of the week, ISO 8601; anonymous: of days counted from 0001-01-01")), week,
         needed(field("monday", "date", "First day of the week")), asked("planned_sessions", "Sessions"),
         seen("sessions", "Sessions of training, whatever their signal"), asked("planned_contractions", "Contractions"),
         seen("contractions", "Contractions with a place in a recording: done, missed or unusable"),
         seen("counting", "Of them those done, on a signal that could be scored"),
         from_zero("longest_gap_days", "integer",
                   "Longest time from one session to the next, of those that end in the week, in calendar days; empty where none does"),
         from_zero("sessions_after_plan", "integer", "Of the sessions those outside of the weeks of a plan, after it or between two, for which no dose asks")},
        {"person", "monday"});
}

Json share(std::string_view name, std::string_view description) {
    return constrained(field(name, "number", description), {{"minimum", 0}, {"maximum", 1}});
}

Json audit_table() {
    Words measures{"flow"};
    for (const AuditMeasure& measure : audit_measures()) measures.push_back(measure.key);
    return table_of(
        {schema_column("tracehold.audit_cells/1"),
         one_of(field("for", "string", "Who may read it"), {"team", "public"}),
         one_of(field("measure", "string", "Key of the measure; flow: what became of the recordings"), measures),
         one_of(field("counts", "string", "What numerator and denominator count"), {"people", "recordings"}),
         needed(field("table", "string", "overall, month or group; of the flow the stage")),
         field("group", "string", "The month or group; of the flow the reason's code"),
         from_zero("numerator", "integer", "How many of them"), from_zero("denominator", "integer", "Out of how many"),
         share("share", "Numerator by denominator"), share("ci95_low", "Lower end of the 95 % interval of the share"),
         share("ci95_high", "Upper end of the 95 % interval of the share"),
         field("median", "number", "Median of the people's values, in 'median_unit'"),
         field("median_unit", "string", "UCUM code of the unit"),
         from_zero("median_n", "integer", "People with a value"),
         field("suppressed", "string", "Columns that are hidden in this row, blanks between"),
         field("reason", "string", "Why the others are empty")},
        {"measure", "counts", "table", "group"});
}

Json trace_table() {
    return table_of(
        {constrained(measured("time_s", "s", "From the start of the recording"), {{"required", true}, {"minimum", 0}}),
         measured("trace_uv", "uV", "As recorded"), measured("clean_uv", "uV", "Filtered; empty where masked"),
         measured("envelope_uv", "uV", "Amplitude; empty where masked"),
         from_one("contraction", "Number of the contraction in whose work or rest this is", false),
         constrained(field("phase", "string", "Of that contraction"), {{"enum", {"work", "rest"}}})},
        {"time_s"});
}

}  // namespace

std::vector<std::string_view> table_names() { return {"session", "course", "weeks", "audit", "trace"}; }

Json table(std::string_view name) {
    if (name == "session") return session_table();
    if (name == "course") return course_table();
    if (name == "weeks") return weeks_table();
    if (name == "audit") return audit_table();
    return name == "trace" ? trace_table() : Json(nullptr);
}

Json data_package() {
    Json resources = Json::array();
    for (const std::string_view name : table_names()) {
        resources.push_back({{"name", name},
                             {"path", fmt::format("{}.csv", name)},
                             {"profile", "tabular-data-resource"},
                             {"format", "csv"},
                             {"mediatype", "text/csv"},
                             {"encoding", "utf-8"},
                             {"dialect",
                              {{"delimiter", ","},
                               {"lineTerminator", "\n"},
                               {"quoteChar", "\""},
                               {"doubleQuote", true},
                               {"header", true}}},
                             {"schema", table(name)}});
    }
    return {
        {"profile", "tabular-data-package"},
        {"name", "tracehold-tables"},
        {"title", "Scored sessions of pelvic-floor contractions as tables; leave out the resources that are not there"},
        {"resources", resources}};
}

}  // namespace tracehold::schema
