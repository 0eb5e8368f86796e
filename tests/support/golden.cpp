#include "support/golden.hpp"

#include <algorithm>
#include <cmath>
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

bool same_word(const std::string& a, const std::string& b, double tolerance) {
    char *a_end = nullptr, *b_end = nullptr;
    const double x = std::strtod(a.c_str(), &a_end), y = std::strtod(b.c_str(), &b_end);
    const bool numbers = *a_end == '\0' && *b_end == '\0';
    return a == b || (numbers && std::abs(x - y) <= tolerance * std::max(1.0, std::abs(x)));
}

bool same_line(const std::string& a, const std::string& b, double tolerance) {
    if (a == b) return true;
    std::istringstream of_a(a), of_b(b);
    for (;;) {
        std::string word, other;
        const bool more = static_cast<bool>(of_a >> word);
        if (more != static_cast<bool>(of_b >> other)) return false;
        if (!more) return true;
        if (!same_word(word, other, tolerance)) return false;
    }
}

std::string first_difference(const std::string& name, const std::string& accepted, const std::string& text, double tolerance) {
    std::istringstream old_lines(accepted), new_lines(text);
    for (int number = 1;; ++number) {
        std::string old_line, new_line;
        const bool more_old = static_cast<bool>(std::getline(old_lines, old_line));
        const bool more_new = static_cast<bool>(std::getline(new_lines, new_line));
        if (!more_old && !more_new) return {};
        if (more_old != more_new || !same_line(old_line, new_line, tolerance)) {
            return name + ":" + std::to_string(number) + ": accepted '" + old_line + "', now '" + new_line + "'";
        }
    }
}

}  // namespace

std::string difference_from_golden(const std::string& folder, const std::string& name, const std::string& text) {
    return difference_from_golden(folder, name, text, 0.0);
}

std::string difference_from_golden(const std::string& folder, const std::string& name, const std::string& text, double tolerance) {
    const std::string accepted = read(std::filesystem::path(folder) / name);
    if (accepted == text) return {};
    const std::string difference = first_difference(name, accepted, text, tolerance);
    if (difference.empty()) return tolerance > 0.0 ? "" : name + ": other ends of lines";
    if (const char* out = std::getenv("TRACEHOLD_GOLDEN_OUT")) {
        std::filesystem::create_directories(out);
        std::ofstream(std::filesystem::path(out) / name, std::ios::binary) << text;
    }
    return difference;
}

}  // namespace tracehold::test
