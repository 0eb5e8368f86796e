#pragma once
// Runs the built program as a person or a script would.
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "support/text_parts.hpp"

namespace tracehold::test {

// status: the exit status, or 128 + signal.
struct ProgramResult {
    int status = -1;
    std::string out;
    std::string err;
};

// The path in TRACEHOLD_BINARY with these arguments.
ProgramResult run_program(const std::vector<std::string>& arguments, std::string_view standard_input = {});

// An empty folder that is gone with the object.
class TemporaryFolder {
public:
    TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    ~TemporaryFolder();
    std::string path(const std::string& name = {}) const { return (root_ / name).string(); }
    std::string write(const std::string& name, std::string_view bytes) const;  // returns the path

private:
    std::filesystem::path root_;
};

std::string file_bytes(const std::string& path);

inline const std::string kHomePlan = SOURCE_DIR "/examples/plan-home-a.jsonc";

// The recordings of the home week among the examples, made once; nobody writes there.
const TemporaryFolder& home_week();

}  // namespace tracehold::test
