#pragma once
// Runs the built program as a person or a script would.
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

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

inline bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace tracehold::test
