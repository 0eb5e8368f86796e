#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

Json plan_file();       // a plan as people write it
Json plan_in_result();  // a plan inside a result: every key there, null where nothing was said

}  // namespace tracehold::schema
