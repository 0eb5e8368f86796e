#pragma once
// What was found in a signal, the same wherever a result tells it.
#include <optional>
#include <vector>

#include "exchange/json_text.hpp"
#include "tracehold/clean/clean.hpp"

namespace tracehold {

Json spans_json(const std::vector<TimeSpan>& spans);
Json quality_json(const Quality& quality, std::optional<double> noise_floor_uv);

}  // namespace tracehold
