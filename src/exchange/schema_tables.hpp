#pragma once
// Frictionless Table Schemas of the CSV outputs, and a Data Package that holds them.
#include <string>
#include <string_view>
#include <vector>

#include "exchange/json_text.hpp"

namespace tracehold::schema {

// "session", "course", "audit", "trace": what 'score', 'course', 'audit' and 'export' write with --format csv.
std::vector<std::string_view> table_names();

Json table(std::string_view name);  // null if there is none of that name
Json data_package();                // all of them as resources NAME.csv

}  // namespace tracehold::schema
