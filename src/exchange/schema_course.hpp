#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

// Of what course_json writes. The measures come from course_measures(): schema and result cannot drift apart.
Json course();

}  // namespace tracehold::schema
