#pragma once
// The commands of the program. Each returns the exit status; what stops a whole command is thrown as an Error.
#include <string>
#include <vector>

#include "app/options.hpp"
#include "app/run.hpp"

namespace tracehold {

ExitStatus inspect_command(const Options& options);
ExitStatus score_command(const Options& options);
ExitStatus course_command(const Options& options);
ExitStatus audit_command(const Options& options);
ExitStatus export_command(const Options& options);
ExitStatus verify_command(const Options& options);
ExitStatus explain_command(const Options& options);
std::vector<std::string> explained_keys();  // all that it knows, in order, each once
ExitStatus plan_check_command(const Options& options);
ExitStatus plan_threshold_command(const Options& options);
ExitStatus plan_sheet_command(const Options& options);
ExitStatus simulate_command(const Options& options);
ExitStatus key_new_command(const Options& options);
ExitStatus selfcheck_command(const Options& options);
ExitStatus schema_command(const Options& options);

}  // namespace tracehold
