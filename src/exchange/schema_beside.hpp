#pragma once
#include "exchange/json_text.hpp"

namespace tracehold::schema {

// Of what is written beside results: the truth of a simulated recording, the record of a self check, and what the columns of a
// BIDS events file mean.
Json truth();
Json validation();
Json events_description();

}  // namespace tracehold::schema
