#include "exchange/schema_inspection.hpp"

#include "exchange/schema_parts.hpp"

namespace tracehold::schema {
namespace {

Json channel() {
    return object_of({{"label", text()},
                      {"rate_hz", number_from(0.0)},
                      {"kind", words({"raw", "envelope", "other"})},
                      {"unit", or_null(filled_text())},
                      {"samples", whole_from(0)},
                      {"valid", whole_from(0)},
                      {"low", or_null(number())},
                      {"high", or_null(number())},
                      {"quality", or_null(quality())},
                      {"quality_reason", or_null(filled_text())}});
}

Json inspected_recording() {
    return object_of({{"source", text()},
                      {"sha256", or_null(sha256())},
                      {"format", filled_text()},
                      {"person", or_null(filled_text())},
                      {"start", or_null(date_time())},
                      {"posture", or_null(filled_text())},
                      {"duration_s", number_from(0.0)}});
}

}  // namespace

Json inspection() {
    const Json mark = object_of({{"time_s", number()}, {"duration_s", number_from(0.0)}, {"text", text()}});
    return document("inspection", 1, "What a recording holds and whether it can be trusted", Json::object(),
                    object_of({{"schema", {{"const", "tracehold.inspection/1"}}},
                               {"tool", object_of({{"name", filled_text()}, {"version", filled_text()}})},
                               {"recording", inspected_recording()},
                               {"channels", list_of(channel())},
                               {"marks", list_of(mark)},
                               {"gaps_s", list_of(span())},
                               {"notes", list_of(note())}}));
}

}  // namespace tracehold::schema
