#pragma once
// How a refusal is told by commands that take results beside recordings.
#include "app/inputs.hpp"
#include "tracehold/core/error.hpp"

namespace tracehold {

// What is no recording is no result either, where results are wanted too.
inline Error as_wanted(const Error& error, Wanted wanted) {
    if (error.kind != ErrorKind::not_recognised || wanted == Wanted::recordings) return error;
    return Error(error.kind, error.source, error.place, "no result, and " + error.message,
                 "give recordings, or results as 'tracehold score --format ndjson' writes them");
}

}  // namespace tracehold
