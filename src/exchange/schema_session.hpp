#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

// Of what session_json writes. The measures come from measure_list(): schema and result cannot drift apart.
Json session();

}  // namespace tracehold::schema
