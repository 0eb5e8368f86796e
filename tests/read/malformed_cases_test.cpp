// The list of malformed recordings names tests that exist.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

#include "tracehold/read/read_recording.hpp"

namespace {

namespace fs = std::filesystem;

std::string sources_of_tests() {
    std::string all;
    for (const char* room : {"read", "clean", "app"}) {
        for (const auto& entry : fs::directory_iterator(fs::path(SOURCE_DIR "/tests") / room)) {
            if (entry.path().extension() == ".cpp" && entry.path().filename() != "malformed_cases_test.cpp") all += tracehold::read_bytes(entry.path().string());
        }
    }
    return all;
}

// What stands between backquotes.
std::vector<std::string> named_in(std::string_view line) {
    std::vector<std::string> names;
    for (std::size_t open = line.find('`'); open != std::string_view::npos;) {
        const std::size_t close = line.find('`', open + 1);
        names.emplace_back(line.substr(open + 1, close - open - 1));
        open = line.find('`', close + 1);
    }
    return names;
}

}  // namespace

TEST_CASE("every malformed recording of the list has the tests that it names") {
    const std::string tests = sources_of_tests();
    std::istringstream list(tracehold::read_bytes(SOURCE_DIR "/tests/read/malformed_cases.md"));
    std::size_t rows = 0;
    for (std::string line; std::getline(list, line);) {
        if (!line.starts_with("| ") || line.starts_with("| Fault")) continue;
        ++rows;
        CAPTURE(line);
        const auto names = named_in(line);
        CHECK(!names.empty());
        for (const std::string& name : names) {
            CAPTURE(name);
            CHECK(tests.find(fmt::format("\"{}\"", name)) != std::string::npos);
        }
    }
    CHECK(rows == 46);
}
