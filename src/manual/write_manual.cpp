// Writes the manual pages and the completions into a folder: write_manual FOLDER
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "manual/completions.hpp"
#include "manual/man_pages.hpp"

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fputs("usage: write_manual FOLDER\n", stderr);
        return 2;
    }
    using namespace tracehold;
    const std::vector<ManualCommand> commands = all_commands();
    const std::filesystem::path folder = argv[1];
    std::filesystem::create_directories(folder);
    const auto write = [&](const char* name, const std::string& text) {
        std::ofstream file(folder / name, std::ios::binary);
        return static_cast<bool>(file << text << std::flush);
    };
    const bool written =
        write("tracehold.1", commands_page(commands)) && write("tracehold-formats.5", formats_page()) &&
        write("tracehold-measures.7", measures_page()) && write("tracehold.bash", bash_completion(commands)) &&
        write("_tracehold", zsh_completion(commands)) && write("tracehold.fish", fish_completion(commands));
    return written ? 0 : 1;
}
