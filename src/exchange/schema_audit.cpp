#include "exchange/schema_audit.hpp"

#include "exchange/schema_parts.hpp"
#include "tracehold/audit/audit.hpp"

namespace tracehold::schema {
namespace {

constexpr std::array kAudiences = {Audience::team, Audience::others};
constexpr std::array kGroupings = {Grouping::none, Grouping::month, Grouping::site, Grouping::column};
constexpr std::array kPlaces = {FunnelPlace::within, FunnelPlace::outside_95, FunnelPlace::outside_998};
constexpr std::array kRuleSets = {XmrRules::shewhart, XmrRules::western_electric};

Json month() { return {{"type", "string"}, {"pattern", "^([0-9]{4}-[0-9]{2}|month [0-9]+)$"}}; }
Json share() { return number_within(0.0, 1.0); }
Json count() { return or_null(whole_from(0)); }

Json counted() { return object_of({{"count", count()}, {"suppressed", flag()}}); }

// The members of every cell.
Json cell_members() {
    Json hidden = list_of(words({"numerator", "denominator", "share", "ci95", "median", "median_n"}));
    hidden["uniqueItems"] = true;
    return {{"numerator", count()},
            {"denominator", count()},
            {"share", or_null(share())},
            {"ci95", or_null(refer("interval"))},
            {"median", or_null(number())},
            {"median_n", count()},
            {"suppressed", flag()},
            {"suppressed_keys", hidden},
            {"reason", or_null(filled_text())}};
}

Json cell_of(const Json& first) {
    Json members = first;
    members.update(cell_members());
    return object_of(members);
}

Json settings() {
    return object_of({{"for", words_for(kAudiences)},
                      {"min_cell", or_null(whole_from(2))},
                      {"from", or_null(date())},
                      {"to", or_null(date())},
                      {"identity", words_for(kIdentityLevels)},
                      {"adherence_at_least_pct", number_from(0.0)},
                      {"rest_below_uv", or_null(number_from(0.0))},
                      {"review_within_days", or_null(number_from(0.0))},
                      {"chart_rules", words_for(kRuleSets)},
                      {"chart_baseline_months", or_null(whole_from(2))}});
}

Json flow() {
    const Json lost = object_of({{"before", words({"readable", "scored", "in_analysis"})},
                                 {"code", code()},
                                 {"text", filled_text()},
                                 {"count", count()},
                                 {"suppressed", flag()}});
    Json scored = refer("counted");
    scored["description"] = "recordings with a result, be it that the signal cannot be scored";
    Json listed = refer("counted");
    listed["description"] = "people of the sessions list without a recording that was given a result";
    return object_of({{"found", refer("counted")},
                      {"readable", refer("counted")},
                      {"scored", scored},
                      {"in_analysis", refer("counted")},
                      {"people", refer("counted")},
                      {"lost", list_of(lost)},
                      {"people_listed_only", listed}});
}

Json measure() {
    Json members = cell_members();
    members.update({{"title", filled_text()},
                    {"counts", words({"people", "recordings"})},
                    {"definition", filled_text()},
                    {"source", filled_text()},
                    {"median_of", or_null(filled_text())},
                    {"median_unit", or_null(filled_text())},
                    {"people_without", refer("counted")}});
    return object_of(members);
}

Json run_chart() {
    return object_of({{"points", whole_from(0)},
                      {"useful_points", whole_from(0)},
                      {"median_share", or_null(share())},
                      {"longest_run", whole_from(0)},
                      {"longest_run_allowed", count()},
                      {"crossings", whole_from(0)},
                      {"fewest_crossings_allowed", count()},
                      {"long_run", or_null(flag())},
                      {"few_crossings", or_null(flag())},
                      {"reason", or_null(filled_text())}});
}

Json xmr_chart() {
    const Json signal = object_of(
        {{"month", month()},
         {"rule", words({"beyond_limit", "two_of_three", "four_of_five", "eight_in_a_row", "moving_range"})}});
    return object_of({{"rules", words_for(kRuleSets)},
                      {"rules_text", filled_text()},
                      {"points", whole_from(2)},
                      {"baseline_points", whole_from(2)},
                      {"mean", share()},
                      {"mean_range", share()},
                      {"low", number()},
                      {"high", number()},
                      {"range_limit", number_from(0.0)},
                      {"signals", list_of(signal)},
                      {"reason", or_null(filled_text())}});
}

Json series() {
    return object_of({{"month_of", filled_text()},
                      {"months", list_of(cell_of({{"month", month()}}))},
                      {"fewest_on_charts", whole_from(0)},
                      {"run_chart", run_chart()},
                      {"xmr_chart", or_null(xmr_chart())}});
}

Json groups() {
    const Json point = object_of({{"group", or_null(filled_text())},
                                  {"denominator", whole_from(1)},
                                  {"share", share()},
                                  {"low_998", share()},
                                  {"low_95", share()},
                                  {"high_95", share()},
                                  {"high_998", share()},
                                  {"place", words_for(kPlaces)}});
    Json groups = object_of({{"groups", list_of(cell_of({{"group", or_null(filled_text())}}))},
                             {"funnel", list_of(point)},
                             {"no_funnel", or_null(filled_text())}});
    const auto with = [](std::string_view key, const Json& value) { return Json{{"type", "object"}, {"properties", {{key, value}}}}; };
    groups.update({{"if", with("funnel", {{"type", "array"}, {"maxItems", 0}})},
                   {"then", with("no_funnel", {{"type", "string"}})},
                   {"else", with("no_funnel", {{"type", "null"}})}});
    return groups;
}

Json directions() {
    return object_of({{"title", filled_text()},
                      {"more", whole_from(0)},
                      {"less", whole_from(0)},
                      {"both", whole_from(0)},
                      {"no_change_shown", whole_from(0)},
                      {"not_enough", whole_from(0)}});
}

// An object with the keys of all measures of an audit.
Json by_measure(std::string_view definition) {
    Json members = Json::object();
    for (const AuditMeasure& measure : audit_measures()) members[std::string(measure.key)] = refer(definition);
    return object_of(members);
}

// Others see no small count: a program that reads the file can rely on it.
Json public_promise() {
    const auto with = [](const Json& properties) { return Json{{"type", "object"}, {"properties", properties}}; };
    const Json null{{"type", "null"}}, none{{"type", "array"}, {"maxItems", 0}};
    const Json for_others = with({{"settings", with({{"for", {{"const", "public"}}}})}});
    const Json promise = with({{"directions", {{"type", "object"}, {"maxProperties", 0}}},
                               {"settings", with({{"min_cell", whole_from(2)}})},
                               {"period", with({{"first", null}, {"last", null}})},
                               {"inputs_sha256", null},
                               {"made_with", with({{"plans_sha256", none}, {"corrections_sha256", none}, {"sessions_sha256", null}})}});
    return {{"if", for_others}, {"then", promise}};
}

}  // namespace

Json audit() {
    const Json tool = object_of({{"name", filled_text()},
                                 {"version", filled_text()},
                                 {"measures_version", {{"type", "string"}, {"pattern", "^[0-9]+$"}}}});
    const Json by = object_of(
        {{"grouping", words_for(kGroupings)}, {"column", or_null(filled_text())}, {"measures", by_measure("groups")}});
    const Json any_directions{{"type", "object"}, {"additionalProperties", refer("directions")}};
    Json body = object_of(
        {{"schema", {{"const", kAuditSchema}}},
         {"tool", tool},
         {"settings", settings()},
         {"period", object_of({{"first", or_null(date())}, {"last", or_null(date())}, {"text", filled_text()}})},
         {"inclusion", filled_text()},
         {"inputs_sha256", or_null(sha256())},
         {"flow", flow()},
         {"measures", by_measure("measure")},
         {"series", by_measure("series")},
         {"by", by},
         {"directions", any_directions},
         {"notes", list_of(note())},
         {"made_with", made_with()}});
    body.update(public_promise());
    const Json definitions{{"interval", span()}, {"counted", counted()}, {"measure", measure()},
                           {"series", series()}, {"groups", groups()},   {"directions", directions()}};
    return document("audit", 1, "A service over many people", definitions, body);
}

}  // namespace tracehold::schema
