#include <functional>
#include <map>

#include "exchange/schema_audit.hpp"
#include "exchange/schema_beside.hpp"
#include "exchange/schema_course.hpp"
#include "exchange/schema_inspection.hpp"
#include "exchange/schema_plan.hpp"
#include "exchange/schema_rules.hpp"
#include "exchange/schema_session.hpp"
#include "exchange/schema_tables.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold {
namespace {

using Texts = std::map<std::string, std::string, std::less<>>;

Texts all_texts() {
    Texts texts{{"audit", written(schema::audit(), 2)},           {"course", written(schema::course(), 2)},
                {"inspection", written(schema::inspection(), 2)}, {"plan", written(schema::plan_file(), 2)},
                {"session", written(schema::session(), 2)},       {"datapackage", written(schema::data_package(), 2)},
                {"fhir-codes", fhir_code_system_json()},          {"rules", written(schema::rules(), 2)},
                {"truth", written(schema::truth(), 2)},           {"validation", written(schema::validation(), 2)},
                {"events-description", written(schema::events_description(), 2)}};
    for (const std::string_view name : schema::table_names())
        texts["table-" + std::string(name)] = written(schema::table(name), 2);
    return texts;
}

const Texts& texts() {
    static const Texts all = all_texts();
    return all;
}

}  // namespace

std::vector<std::string_view> schema_names() {
    std::vector<std::string_view> names;
    for (const auto& [name, text] : texts()) names.push_back(name);
    return names;
}

std::string_view schema_text(std::string_view name) {
    const auto found = texts().find(name);
    return found != texts().end() ? std::string_view(found->second) : std::string_view();
}

}  // namespace tracehold
