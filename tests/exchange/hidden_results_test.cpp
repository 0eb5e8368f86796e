// A word put into every text and key of a result of 'score' does not get into a message that hides identities.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "support/made_up_session.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/identity/hide.hpp"

using namespace tracehold;
using Json = nlohmann::ordered_json;

TEST_CASE("no word of a result gets into a hidden message") {
    Json result = Json::parse(session_json(test::made_up_session()));
    while (result["cycles"].size() > 1) result["cycles"].erase(1);
    int errors = 0, shown_with_keep = 0;
    const Json flat = result.flatten();
    for (const auto& [pointer, value] : flat.items()) {
        Json changed = result;
        changed[Json::json_pointer(pointer)] = "Zzcanary's";
        try {
            read_session_json(changed.dump(), "a.json");
        } catch (const Error& error) {
            ++errors;
            shown_with_keep += std::string(error.what()).find("Zzcanary") != std::string::npos;
            const std::string hidden = hide(error, "input 1", IdentityLevel::anonymous).what();
            INFO(error.what(), "\n", hidden);
            CHECK(hidden.find("Zzcanary") == std::string::npos);
        }
    }
    CHECK(errors > 100);
    CHECK(shown_with_keep > 3);
}
