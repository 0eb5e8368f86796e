#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "audit/made_service.hpp"
#include "exchange/csv_rows.hpp"
#include "support/golden.hpp"
#include "tracehold/exchange/write_audit.hpp"
#include "tracehold/exchange/write_session.hpp"

using namespace tracehold;
using namespace tracehold::test;
using Json = nlohmann::ordered_json;

namespace {

void check_cells(const Json& json) {
    if (json.is_array() || json.is_object()) {
        for (const Json& each : json) check_cells(each);
    }
    if (!json.is_object() || !json.contains("suppressed_keys")) return;
    CHECK(json["suppressed"] == !json["suppressed_keys"].empty());
    for (const Json& key : json["suppressed_keys"]) CHECK(json[key.get<std::string>()].is_null());
}

}  // namespace

TEST_CASE("golden: the JSON of an audit for the team") {
    CHECK_GOLDEN("audit.json", audit_json(made_audit(Audience::team)));
}

TEST_CASE("golden: the JSON of an audit for others") {
    CHECK_GOLDEN("audit_public.json", audit_json(made_audit(Audience::others)));
}

TEST_CASE("golden: the JSON of an audit of nothing") {
    CHECK_GOLDEN("audit_empty.json", audit_json(audit_service({}, {}, chart_person)));
}

TEST_CASE("golden: the CSV of an audit for others") {
    CHECK_GOLDEN("audit_public.csv", audit_csv(made_audit(Audience::others)));
}

TEST_CASE("golden: the schema of an audit") { CHECK_GOLDEN("audit.schema.json", std::string(schema_text("audit"))); }

TEST_CASE("what is hidden is null and named and nobody is") {
    const std::string text = audit_json(made_audit(Audience::others));
    const Json json = Json::parse(text);
    check_cells(json);
    CHECK(text.find("CANARY") == std::string::npos);
    CHECK(audit_csv(made_audit(Audience::others)).find("CANARY") == std::string::npos);
    CHECK(json["period"]["first"].is_null());
    CHECK(json["directions"].empty());
    CHECK(json["by"]["measures"]["adherence"]["groups"][2]["suppressed"] == true);
    CHECK(json["by"]["measures"]["adherence"]["groups"][2]["numerator"].is_null());
    check_cells(Json::parse(audit_json(made_audit(Audience::team))));
}

TEST_CASE("the CSV of an audit says the same as its JSON") {
    const Audit audit = made_audit(Audience::team);
    const auto rows = rows_of(audit_csv(audit));
    REQUIRE(rows.size() > 60);
    const auto column = [&](std::string_view name) {
        return static_cast<std::size_t>(std::find(rows[0].begin(), rows[0].end(), name) - rows[0].begin());
    };
    std::size_t found = 0;
    for (const auto& row : rows) {
        REQUIRE(row.size() == rows[0].size());
        if (row[column("measure")] != "adherence" || row[column("table")] != "overall") continue;
        ++found;
        const AuditCell& cell = audit.measures[1].overall;
        CHECK(row[column("numerator")] == std::to_string(*cell.numerator.value));
        CHECK(row[column("denominator")] == std::to_string(*cell.denominator.value));
        CHECK(std::stoul(row[column("median_n")]) == *cell.median_n.value);
        CHECK(row[column("suppressed")].empty());
    }
    CHECK(found == 1);
}
