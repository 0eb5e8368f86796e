#pragma once
#include "core/json_fields.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// A plan inside a result: the keys of a plan file, with the name and hash of the file it came from.
Json plan_json(const Plan& plan);
Plan plan_from_json(Fields fields);

}  // namespace tracehold
