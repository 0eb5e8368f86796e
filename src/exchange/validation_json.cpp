#include <algorithm>
#include <cmath>

#include "exchange/json_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_validation.hpp"

namespace tracehold {

bool SelfCheck::passed() const { return std::isfinite(value) && std::abs(value - expected) <= tolerance; }

std::string validation_json(std::span<const SelfCheck> checks, const Machine& machine) {
    Json list = Json::array();
    for (const SelfCheck& check : checks) {
        list.push_back({{"code", check.code},
                        {"what", check.what},
                        {"value", std::isfinite(check.value) ? Json(check.value) : Json(nullptr)},
                        {"expected", check.expected},
                        {"tolerance", check.tolerance},
                        {"unit", check.unit},
                        {"source", check.source},
                        {"passed", check.passed()}});
    }
    const bool all = std::all_of(checks.begin(), checks.end(), [](const SelfCheck& c) { return c.passed(); });
    const Json out{{"schema", "tracehold.validation/1"},
                   {"tool", {{"name", "tracehold"}, {"version", kVersion}, {"measures", kMeasuresVersion}}},
                   {"compiler", machine.compiler},
                   {"system", machine.system},
                   {"passed", all},
                   {"checks", std::move(list)}};
    return out.dump(2) + "\n";
}

}  // namespace tracehold
