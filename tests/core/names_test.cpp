// All rooms share one namespace, so a type of one name in two of them would be two types to the compiler and one to the
// linker: the functions that compilers write for it (copy, move, destroy) would be mixed up without a word.
#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "support/run_program.hpp"

namespace {

namespace fs = std::filesystem;

// Types defined at the left margin of a text, what lies in anonymous namespaces left out.
std::vector<std::string> types_in(const std::string& text) {
    static const std::regex kType(R"(^(?:struct|class|enum class) ((?:\w+::)*\w+)[^;{]*\{.*)");
    std::vector<std::string> names;
    bool hidden = false;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        if (line == "namespace {") hidden = true;
        if (line == "}  // namespace") hidden = false;
        std::smatch found;
        if (!hidden && std::regex_match(line, found, kType)) names.push_back(found[1]);
    }
    return names;
}

}  // namespace

TEST_CASE("types are found where others could see them") {
    const std::string text = "\nnamespace tracehold {\nnamespace {\nstruct Hidden {};\n}  // namespace\nstruct Seen {};\nclass Later;\nenum class Kind { a };\nclass Seen::Part {};\n}\n";
    CHECK(types_in(text) == std::vector<std::string>{"Seen", "Kind", "Seen::Part"});
}

TEST_CASE("no type has its name in two files") {
    std::map<std::string, std::string> file_of;
    for (const char* root : {"/src", "/include"}) {
        for (const auto& entry : fs::recursive_directory_iterator(std::string(SOURCE_DIR) + root)) {
            const std::string ending = entry.path().extension().string();
            if (ending != ".cpp" && ending != ".hpp") continue;
            for (const std::string& name : types_in(tracehold::test::file_bytes(entry.path().string()))) {
                const auto [first, is_new] = file_of.emplace(name, entry.path().string());
                CAPTURE(name);
                CAPTURE(first->second);
                CAPTURE(entry.path().string());
                CHECK(is_new);
            }
        }
    }
    CHECK(file_of.size() > 100);
}
