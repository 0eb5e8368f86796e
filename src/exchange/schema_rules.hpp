#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

// Of a table of questions, as read_rules takes it.
Json rules();

}  // namespace tracehold::schema
