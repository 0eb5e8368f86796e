// Lists, corrections and files at their edges: limits, empty names, what an operating system refuses.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <filesystem>
#include <string>

#include "support/run_program.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/read/sessions_list.hpp"
#include "tracehold/read/table.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

template <class Read>
std::string list_refusal(Read read) {
    try {
        read();
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "read";
}

// Reads standard input from a descriptor and gives the old one back.
template <class Read>
auto with_standard_input(int descriptor, Read read) {
    const int kept = ::dup(STDIN_FILENO);
    ::dup2(descriptor, STDIN_FILENO);
    ::close(descriptor);
    const auto result = read();
    if (kept >= 0) {
        ::dup2(kept, STDIN_FILENO);
        ::close(kept);
    } else {
        ::close(STDIN_FILENO);
    }
    return result;
}

std::string correction(const std::string& row) {
    return list_refusal([&] { read_corrections("file,action,cycle,from_s,to_s,who,when,why\n" + row, "c.csv"); });
}

}  // namespace

TEST_CASE("standard input is read to its end in whatever parts it comes") {
    std::array<int, 2> ends{};
    REQUIRE(::pipe(ends.data()) == 0);
    const std::string bytes(50000, 'x');  // less than a pipe holds
    REQUIRE(::write(ends[1], bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()));
    ::close(ends[1]);
    CHECK(with_standard_input(ends[0], [] { return read_bytes("-"); }) == bytes);
    const TemporaryFolder folder;
    const std::string large(300000, 'y');  // more than one block
    const int file = ::open(folder.write("large.txt", large).c_str(), O_RDONLY);
    CHECK(with_standard_input(file, [] { return read_bytes("-"); }) == large);
}

TEST_CASE("standard input that cannot be read says why") {
    const int folder = ::open("/", O_RDONLY | O_DIRECTORY);
    const auto why = with_standard_input(folder, [] { return list_refusal([] { read_bytes("-"); }); });
    CHECK(why == "cannot_open standard input: cannot be read: Is a directory");
}

TEST_CASE("paths through files and loops and NULs are refused in words") {
    const TemporaryFolder folder;
    const std::string file = folder.write("a.csv", "1");
    CHECK(list_refusal([&] { read_bytes(file + "/b.csv"); }) == "cannot_open " + file + "/b.csv: no such file");
    std::filesystem::create_symlink("loop", folder.path("loop"));
    CHECK(list_refusal([&] { read_bytes(folder.path("loop")); }) ==
          "cannot_open " + folder.path("loop") + ": cannot be read: Too many levels of symbolic links");
    CHECK(list_refusal([] { read_bytes(std::string("a\0b", 3)); }) == "cannot_open a\\x00b: no file name: saw a NUL in it");
}

TEST_CASE("a text of control characters or of zeros is no recording") {
    const auto recognised = [](const std::string& bytes) {
        return list_refusal([&] { read_recording(bytes, "x"); }).find("bytes that begin with") == std::string::npos;
    };
    const std::string text = "time_s,emg_uV\n0,1\n0.001,2\n0.002,-1\n";
    CHECK(recognised(text));
    CHECK(recognised(text + "\t\f\r\n\x1A"));
    CHECK(recognised(text + std::string(text.size(), '\0')));
    CHECK_FALSE(recognised(text + std::string(text.size() + 1, '\0')));
    CHECK_FALSE(recognised(text + "\x01"));                      // 1 of 36
    CHECK(recognised(text + std::string(100, '1') + "\x01\n"));  // 1 of 138
}

TEST_CASE("a time that jumps by more than a month is a slip") {
    const std::string head = "time_s,emg_uV\n";
    std::string text = head;
    for (int i = 0; i < 40; ++i) text += std::to_string(0.1 * i) + "," + std::to_string(i % 3 - 1) + "\n";
    text += "4000000,1\n";
    CHECK(list_refusal([&] { read_recording(text, "x.csv"); }).find("gaps of 3999996 s in the time column") != std::string::npos);
}

TEST_CASE("every kind and format has its word") {
    CHECK(to_string(ChannelKind::raw) == "raw");
    CHECK(to_string(ChannelKind::envelope) == "envelope");
    CHECK(to_string(ChannelKind::other) == "other");
    CHECK(to_string(FileFormat::csv) == "csv");
    CHECK(to_string(FileFormat::edf) == "edf");
    CHECK(to_string(FileFormat::bdf) == "bdf");
    CHECK(to_string(FileFormat::bdf_plus_c) == "bdf+c");
    CHECK(to_string(FileFormat::simulated) == "simulated");
    CHECK(Recording{}.duration_s() == 0.0);
}

TEST_CASE("a list is refused beyond its limits") {
    std::string wide = "a";
    for (std::size_t i = 1; i <= 1024; ++i) wide += ",a";
    CHECK(list_refusal([&] { read_table(wide + "\n", "l.csv"); }).find("too many columns: expected at most 1024") !=
          std::string::npos);
    CHECK(list_refusal([] { read_table("a,b\n" + std::string(2 << 20, 'x') + ",1\n", "l.csv"); }) ==
          "malformed l.csv:2:1: the line is too long: expected at most 1048576 bytes");
}

TEST_CASE("rows are placed by lines of any end and cells beyond a row at its first") {
    const Table table = read_table("a,b\r1,\"x\ry\"\r2,z\n", "l.csv");
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[1].line == 4);  // the quoted cell holds a line end
    CHECK(table.rows[1].place(0) == "4:1");
    CHECK(table.rows[1].place(9) == "4:1");
    const Table bare = read_table("a,b\n1,\"x\r\ny\"\n2,z", "l.csv");
    CHECK(bare.rows[1].line == 4);
}

TEST_CASE("a header may have a missing word and names without text are dropped") {
    const Table table = read_table("file,n/a,\na.csv,1,\n", "l.csv");
    CHECK(table.header == std::vector<std::string>{"file", "n/a"});
    const auto entries = read_sessions_list("file,,ward\na.csv,x,north\n", "l.csv").entries;
    CHECK(entries[0].others == std::vector<std::pair<std::string, std::string>>{{"ward", "north"}});
}

TEST_CASE("of entries that fit a path the longest decides and the first of equals") {
    std::vector<SessionEntry> entries(4);
    entries[0].file = "x/a.csv";
    entries[1].file = "w/x/a.csv";
    entries[2].file = "";
    entries[3].file = "a.csv";
    CHECK(find_entry(entries, "/data/w/x/a.csv") == &entries[1]);
    CHECK(find_entry(entries, "/data/v/x/a.csv") == &entries[0]);
    CHECK(find_entry(entries, "/data/vx/a.csv") == &entries[3]);
    entries[1].file = "x/a.csv";
    CHECK(find_entry(entries, "/data/x/a.csv") == &entries[0]);
    CHECK(find_entry(entries, "x/a.csv") == &entries[0]);
}

TEST_CASE("corrections take cycles from one to a million and columns that have no name") {
    CHECK(correction("a.csv,drop_cycle,1,,,C-01,2026-03-02,\n") == "read");
    CHECK(correction("a.csv,drop_cycle,1000000,,,C-01,2026-03-02,\n") == "read");
    for (const char* cycle : {"0", "-1", "1000001", "1.5", "x"}) {
        CHECK(correction("a.csv,drop_cycle," + std::string(cycle) + ",,,C-01,2026-03-02,\n") ==
              "bad_setting c.csv:2:18: not the number of a cycle: saw '" + std::string(cycle) +
                  "', expected 1, 2, 3 ...");
    }
    CHECK(read_corrections("file,action,,cycle,who,when\na.csv,drop_cycle,x,2,C-01,2026-03-02\n", "c.csv").size() == 1);
    CHECK(list_refusal([] {
              read_corrections("file,action,cicle,who,when\n", "c.csv");
          }).find("unknown column: saw 'cicle'; did you mean 'cycle'?") != std::string::npos);
}
