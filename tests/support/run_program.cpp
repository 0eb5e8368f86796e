#include "support/run_program.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <stdexcept>

namespace tracehold::test {

TemporaryFolder::TemporaryFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "tracehold-test-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
    root_ = pattern;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(root_, ignored);
}

std::string TemporaryFolder::write(const std::string& name, std::string_view bytes) const {
    std::filesystem::create_directories((root_ / name).parent_path());
    std::ofstream(root_ / name, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    return path(name);
}

std::string file_bytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

ProgramResult run_program(const std::vector<std::string>& arguments, std::string_view standard_input) {
    const char* binary = std::getenv("TRACEHOLD_BINARY");
    if (binary == nullptr) throw std::runtime_error("TRACEHOLD_BINARY is not set");
    const TemporaryFolder folder;
    const std::string in = folder.write("in", standard_input), out = folder.write("out", ""), err = folder.write("err", "");
    std::vector<char*> words{const_cast<char*>(binary)};
    for (const std::string& argument : arguments) words.push_back(const_cast<char*>(argument.c_str()));
    words.push_back(nullptr);

    const pid_t child = fork();
    if (child == 0) {
        dup2(open(in.c_str(), O_RDONLY), STDIN_FILENO);
        dup2(open(out.c_str(), O_WRONLY), STDOUT_FILENO);
        dup2(open(err.c_str(), O_WRONLY), STDERR_FILENO);
        execv(binary, words.data());
        _exit(127);
    }
    int status = 0;
    waitpid(child, &status, 0);
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return {code, file_bytes(out), file_bytes(err)};
}

const TemporaryFolder& home_week() {
    static const TemporaryFolder folder;
    static const ProgramResult made =
        run_program({"simulate", SOURCE_DIR "/examples/scenarios/home-week.json", "--plan", kHomePlan, "--out", folder.path()});
    REQUIRE(made.status == 0);
    return folder;
}

}  // namespace tracehold::test
