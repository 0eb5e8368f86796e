#include "support/golden.hpp"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>

namespace tracehold::test {
namespace {

std::string read(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

std::string first_difference(const std::string& name, const std::string& accepted, const std::string& text) {
    std::istringstream old_lines(accepted), new_lines(text);
    for (int number = 1;; ++number) {
        std::string old_line, new_line;
        const bool more_old = static_cast<bool>(std::getline(old_lines, old_line));
        const bool more_new = static_cast<bool>(std::getline(new_lines, new_line));
        if (more_old != more_new || old_line != new_line || !more_old) {
            return name + ":" + std::to_string(number) + ": accepted '" + old_line + "', now '" + new_line + "'";
        }
    }
}

}  // namespace

std::string difference_from_golden(const std::string& folder, const std::string& name, const std::string& text) {
    const std::string accepted = read(std::filesystem::path(folder) / name);
    if (accepted == text) return {};
    if (const char* out = std::getenv("TRACEHOLD_GOLDEN_OUT")) {
        std::filesystem::create_directories(out);
        std::ofstream(std::filesystem::path(out) / name, std::ios::binary) << text;
    }
    return first_difference(name, accepted, text);
}

}  // namespace tracehold::test
