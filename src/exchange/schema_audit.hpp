#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

Json audit();

}  // namespace tracehold::schema
