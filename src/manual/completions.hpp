#pragma once
// Completions for three shells, made from the same commands as the help.
#include <span>
#include <string>

#include "manual/commands.hpp"

namespace tracehold {

std::string bash_completion(std::span<const ManualCommand> commands);
std::string zsh_completion(std::span<const ManualCommand> commands);
std::string fish_completion(std::span<const ManualCommand> commands);

}  // namespace tracehold
