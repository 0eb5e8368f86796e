#include "exchange/fhir_codes.hpp"

#include <fmt/format.h>

#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_fhir.hpp"

namespace tracehold {
namespace fhir {
namespace {

Json entry(const Code& code, std::string_view definition, std::string_view ucum) {
    Json json{{"code", code.code}, {"display", code.display}, {"definition", definition}};
    if (!ucum.empty()) json["property"] = Json::array({{{"code", "ucum"}, {"valueString", ucum}}});
    return json;
}

void add_measure(Json& list, const Measure& measure) {
    list.push_back(entry(mean_of(measure),
                         fmt::format("Mean over the done contractions of the kind named by measures_over: {} {}",
                                     measure.definition, measure.edges),
                         measure.ucum));
    list.push_back(entry(
        sd_of(measure),
        fmt::format("Standard deviation of {} between these contractions, n - 1 in the denominator.", measure.key),
        measure.ucum));
    list.push_back(entry(count_of(measure), fmt::format("How many contractions have a value of {}.", measure.key), ""));
}

Json concepts() {
    Json list = Json::array();
    list.push_back(entry(
        kSession,
        "One recording of pelvic-floor contractions, measured by this program; one component for each number.", ""));
    list.push_back(entry(kSessionReport, "What a session came to, for a clinician to read and sign.", ""));
    list.push_back(entry(kUsable, "False where the signal was rejected: then no number is given.", ""));
    list.push_back(
        entry(kPlanned, "Contractions that the plan asks for; without a plan the cues in the recording.", ""));
    list.push_back(entry(kDone, "Planned contractions in which a contraction was found.", ""));
    list.push_back(entry(kMissed, "Planned contractions in which none was found.", ""));
    list.push_back(entry(kExtra, "Contractions found outside every work window.", ""));
    list.push_back(entry(kUnusable, "Planned contractions whose signal holds too little that can be measured.", ""));
    list.push_back(
        entry(kOver, "hold, rapid or endurance: holds where there are any, else rapid, else endurance.", ""));
    list.push_back(entry(kNoiseFloor,
                         "Amplitude that the recorder gives without muscle activity, as far as the recording shows it.",
                         "uV"));
    list.push_back(entry(kReference, "Highest best second of the done contractions.", "uV"));
    list.push_back(entry(kThreshold, "Amplitude above which a contraction counts as reached, by the plan.", "uV"));
    list.push_back(
        entry(kLocalTime, "Wall clock at the start of the recording; its offset from UTC is not known.", ""));
    list.push_back(entry(kDayOffset,
                         "Whole days from that person's first recording to this one, which stand for the date where "
                         "identities are hidden.",
                         "d"));
    for (const Measure& measure : measure_list()) add_measure(list, measure);
    return list;
}

}  // namespace

Code mean_of(const Measure& measure) { return {std::string(measure.key), std::string(measure.title)}; }
Code sd_of(const Measure& measure) {
    return {fmt::format("{}.sd", measure.key), fmt::format("{}, standard deviation", measure.title)};
}
Code count_of(const Measure& measure) {
    return {fmt::format("{}.n", measure.key), fmt::format("{}, number of contractions", measure.title)};
}

}  // namespace fhir

std::string fhir_code_system_json() {
    const Json concepts = fhir::concepts();
    const Json json{
        {"resourceType", "CodeSystem"},
        {"id", fhir::uuid_of("CodeSystem", kMeasuresVersion)},
        {"url", fhir::kCodes},
        {"version", kMeasuresVersion},
        {"name", "TraceholdCodes"},
        {"title", "Numbers of a session of pelvic-floor contractions"},
        {"status", "active"},
        {"experimental", false},
        {"description",
         "Codes of the numbers that tracehold writes. Its version is that of the definitions: it is raised whenever a "
         "definition changes what a number means."},
        {"caseSensitive", true},
        {"content", "complete"},
        {"count", concepts.size()},
        {"property",
         Json::array({{{"code", "ucum"}, {"description", "Unit of the value, as a UCUM code"}, {"type", "string"}}})},
        {"concept", concepts}};
    return written(json, 2);
}

}  // namespace tracehold
