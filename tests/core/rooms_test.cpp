// The direction of the house: a room includes earlier rooms and itself, never a later one, and no room's main verb but its own.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

const std::vector<std::string> kRooms = {"core",   "statistics", "plan",     "read",   "clean",    "envelope",
                                         "cycles", "measures",   "identity", "course", "audit", "report", "exchange", "simulate", "app"};

// Headers that hold the main verb of a room. Only app, and the room itself, may include them.
const std::vector<std::string> kVerbs = {"read_plan",       "read_recording", "clean_recording",        "follow_envelope",    "find_cycles",
                                         "score_session",   "chart_course", "audit_service", "compose_session_report", "overview", "write_session", "write_recording",
                                         "simulate_recording"};

struct Include {
    fs::path file;
    std::string from_room;
    std::string to_room;
    std::string header;  // without the ending
};

std::vector<Include> includes_of(const fs::path& file, const std::string& room) {
    std::vector<Include> found;
    std::ifstream in(file);
    const std::regex pattern(R"re(^\s*#include "(?:tracehold/)?([a-z_]+)/([a-z_0-9]+)\.hpp")re");
    for (std::string line; std::getline(in, line);) {
        std::smatch match;
        if (std::regex_search(line, match, pattern)) found.push_back({file, room, match[1], match[2]});
    }
    return found;
}

std::vector<Include> all_includes() {
    std::vector<Include> found;
    for (const std::string& room : kRooms) {
        for (const char* top : {"include/tracehold/", "src/"}) {
            const fs::path folder = fs::path(SOURCE_DIR) / top / room;
            if (!fs::exists(folder)) continue;
            for (const auto& entry : fs::recursive_directory_iterator(folder)) {
                if (!entry.is_regular_file()) continue;
                const auto more = includes_of(entry.path(), room);
                found.insert(found.end(), more.begin(), more.end());
            }
        }
    }
    return found;
}

long position(const std::string& room) { return std::find(kRooms.begin(), kRooms.end(), room) - kRooms.begin(); }

// Beside the line stands simulate: it may use core, plan and read, and none but app may use it.
bool direction_allowed(const Include& include) {
    if (include.to_room == include.from_room || include.from_room == "app") return true;
    if (include.from_room == "simulate") return position(include.to_room) <= position("read");
    return position(include.to_room) < position(include.from_room);
}

std::string contents(const fs::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("the check sees the includes of the house") {
    CHECK(all_includes().size() > 150);
    CHECK_FALSE(direction_allowed({"", "clean", "measures", "x"}));
    CHECK_FALSE(direction_allowed({"", "simulate", "clean", "x"}));
    CHECK(direction_allowed({"", "measures", "clean", "x"}));
}

TEST_CASE("every room includes only earlier rooms") {
    for (const Include& include : all_includes()) {
        INFO(include.file.string(), " includes ", include.to_room, "/", include.header);
        CHECK(direction_allowed(include));
    }
}

TEST_CASE("only app calls the main verb of another room") {
    for (const Include& include : all_includes()) {
        const bool verb = std::find(kVerbs.begin(), kVerbs.end(), include.header) != kVerbs.end();
        INFO(include.file.string(), " includes ", include.to_room, "/", include.header);
        CHECK((!verb || include.from_room == "app" || include.from_room == include.to_room));
    }
}

TEST_CASE("files clocks environment and printing stay in read and app") {
    const std::regex outside_world(R"(\b(fopen|ifstream|ofstream|getenv|setlocale|system_clock|steady_clock|random_device|std::cout|std::cerr|printf|fputs|time\(nullptr\)))");
    for (const std::string& room : kRooms) {
        if (room == "read" || room == "app") continue;
        for (const char* top : {"include/tracehold/", "src/"}) {
            const fs::path folder = fs::path(SOURCE_DIR) / top / room;
            if (!fs::exists(folder)) continue;
            for (const auto& entry : fs::recursive_directory_iterator(folder)) {
                if (!entry.is_regular_file()) continue;
                INFO(entry.path().string());
                CHECK_FALSE(std::regex_search(contents(entry.path()), outside_world));
            }
        }
    }
}

TEST_CASE("libraries of the edge stay in their rooms") {
    const std::map<std::string, std::vector<std::string>> allowed = {
        {"<CLI/", {"app"}}, {"<nlohmann/", {"core", "plan", "course", "exchange", "simulate"}}};
    for (const std::string& room : kRooms) {
        for (const char* top : {"include/tracehold/", "src/"}) {
            const fs::path folder = fs::path(SOURCE_DIR) / top / room;
            if (!fs::exists(folder)) continue;
            for (const auto& entry : fs::recursive_directory_iterator(folder)) {
                if (!entry.is_regular_file()) continue;
                const std::string text = contents(entry.path());
                for (const auto& [library, rooms] : allowed) {
                    const bool may = std::string(top) == "src/" && std::find(rooms.begin(), rooms.end(), room) != rooms.end();
                    INFO(entry.path().string(), " uses ", library);
                    CHECK((may || text.find(library) == std::string::npos));
                }
            }
        }
    }
}

TEST_CASE("no two headers define a type of one name") {
    // All rooms share one namespace: two types of one name would be one to the linker, and crash where it mixes them.
    const std::regex pattern(R"(^(?:struct|class|enum class) ([A-Z]\w*)(?: final)?(?: :[^:].*)? \{)");
    std::map<std::string, fs::path> homes;
    for (const char* top : {"include", "src"}) {
        for (const auto& entry : fs::recursive_directory_iterator(fs::path(SOURCE_DIR) / top)) {
            if (entry.path().extension() != ".hpp") continue;
            std::ifstream in(entry.path());
            for (std::string line; std::getline(in, line);) {
                std::smatch match;
                if (!std::regex_search(line, match, pattern)) continue;
                const auto [home, fresh] = homes.emplace(match[1], entry.path());
                CHECK_MESSAGE(fresh, match[1].str() << " in " << home->second.string() << " and " << entry.path().string());
            }
        }
    }
    CHECK(homes.size() > 100);
}
