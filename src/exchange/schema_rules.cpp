#include "exchange/schema_rules.hpp"

#include "exchange/schema_parts.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold::schema {
namespace {

Json with_description(Json schema, std::string_view text) {
    schema["description"] = text;
    return schema;
}

Json filled(std::string_view text) {
    return with_description({{"type", "string"}, {"pattern", "[^ \\t\\r\\n]"}}, text);
}

// What the reader refuses beyond this: more sessions wanted than looked at, codes twice, a rule to wait for that does
// not stand before, sessions looked at by the 'unless' of a rule of the whole course.
Json measure_keys() {
    std::vector<std::string_view> keys;
    for (const CourseMeasure& measure : course_measures()) keys.push_back(measure.key);
    return words(keys);
}

Json of_sessions() {
    const Json count{{"type", "integer"}, {"minimum", 1}, {"maximum", 1000}};
    return object_of({{"measure", measure_keys()},
                      {"statistic", with_description(words({"mean", "min", "max", "none_pct"}),
                                                     "Of the session's contractions; mean without it")},
                      {"none_reason", filled("none_pct: the reason for which contractions have no value")},
                      {"compare", words({"above", "below", "misses_target", "meets_target"})},
                      {"limit", with_description(number(), "above and below only")},
                      {"in_at_least", with_description(count, "So many sessions must compare so")},
                      {"of_last", with_description(count, "Of so many, the latest that have the measure")}},
                     {"statistic", "none_reason", "limit"});
}

Json of_change() {
    return object_of({{"measure", measure_keys()},
                      {"statistic", words({"mean"})},
                      {"compare", with_description(words({"rose", "fell"}), "The statement of the measure in the phase is 'more' (rose) or 'less' (fell); never of a measure that is described only. In 'unless' sooner: the last days differ from the first by more than the measurement error")}},
                     {"statistic"});
}

Json of_course() {
    return object_of({{"measure", words({"adherence_pct", "step_done_pct", "silent_days"})},
                      {"statistic", words({"mean"})},
                      {"compare", words({"above", "below"})},
                      {"limit", number()}},
                     {"statistic"});
}

Json rule() {
    const Json unless = list_of(Json{{"oneOf", Json::array({of_sessions(), of_change(), of_course()})}});
    Json when = unless;
    when["minItems"] = 1;
    return object_of(
        {{"code", filled("A name for programs, once in the table")},
         {"posture", with_description(text(), "Only sessions in this posture")},
         {"contraction", with_description(words({"rest", "hold", "rapid", "endurance"}), "Only contractions of this kind")},
         {"not_yet_posture", with_description(text(), "Only while no session is in this posture")},
         {"waits_for",
          with_description(list_of(text()), "Codes of rules before it; while one is asked, this one is named with it")},
         {"when", with_description(when, "All must hold")},
         {"unless", with_description(unless, "While one of them holds in the same phase, this one is left for later")},
         {"any_of", with_description(flag(), "True: one of them is enough")},
         {"text", filled("The question")},
         {"reason", filled("Why one might ask")},
         {"source", filled("A publication, or 'common practice, no source'")}},
        {"posture", "contraction", "not_yet_posture", "waits_for", "unless", "any_of"});
}

}  // namespace

Json rules() {
    const Json body = object_of({{"schema", {{"const", "tracehold.rules/1"}}}, {"rules", list_of(rule())}});
    return document("rules", 1, "A table of rules: when to ask the clinician what", {}, body);
}

}  // namespace tracehold::schema
