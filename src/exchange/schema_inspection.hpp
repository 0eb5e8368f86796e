#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

Json inspection();

}  // namespace tracehold::schema
