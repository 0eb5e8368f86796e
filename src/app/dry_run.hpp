#pragma once
// What a command would do, said on standard output instead of done. What would be refused is refused, with the status
// of the real call, as far as that can be known without scoring: whether a signal can be trusted is not.
#include <string>
#include <vector>

#include "app/inputs.hpp"
#include "app/pipeline.hpp"
#include "app/run.hpp"

namespace tracehold {

// One recording in a line: what it is, which channel would be scored, by which plan; hidden as its identity asks.
// Errors: those of choosing the channels.
std::string recording_told(const Assignment& assignment);

// "would write results/monday.csv.json", a line each; "" for none.
std::string outputs_told(const std::vector<std::string>& paths);

// Of a command that makes one thing of all its inputs: each input, then the outputs. Results are read as they would be,
// and not kept. Out: done, or refused where an input is. Errors: those of companions, and of places that cannot be
// written.
ExitStatus dry_run_of_all(const Options& options, Wanted wanted, const std::vector<std::string>& outputs);

}  // namespace tracehold
