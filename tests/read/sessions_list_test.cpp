#include "tracehold/read/sessions_list.hpp"

#include <doctest/doctest.h>

#include "tracehold/core/error.hpp"

using namespace tracehold;

namespace {

std::string list_error(std::string_view text) {
    try {
        read_sessions_list(text, "list.csv");
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "read";
}

}  // namespace

TEST_CASE("a sessions list gives its known columns and keeps the others") {
    const auto entries = read_sessions_list(
        "FILE;Person;Start;posture;plan;channel;site;Ward;Week\n"
        "week1/a.edf;P07;2026-03-02T07:30;lying;plan.json;EMG PFM;S1;north;1\n"
        "b.csv;P08;;;;;;south;\n",
        "list.csv").entries;
    REQUIRE(entries.size() == 2);
    CHECK(entries[0].file == "week1/a.edf");
    CHECK(entries[0].person == "P07");
    CHECK(to_text(entries[0].start.value()) == "2026-03-02T07:30:00");
    CHECK(entries[0].posture == "lying");
    CHECK(entries[0].plan == "plan.json");
    CHECK(entries[0].channel == "EMG PFM");
    CHECK(entries[0].site == "S1");
    CHECK(entries[0].others == std::vector<std::pair<std::string, std::string>>{{"ward", "north"}, {"week", "1"}});
    CHECK_FALSE(entries[1].start.has_value());
    CHECK(entries[1].others == std::vector<std::pair<std::string, std::string>>{{"ward", "south"}, {"week", ""}});
}

TEST_CASE("a column that is nearly called as a known one is told unless that one is there too") {
    const auto notes = [](std::string_view header) {
        std::string texts;
        for (const Note& note : read_sessions_list(std::string(header) + "\na.csv,x,y\n", "list.csv").notes) texts += note.text + "\n";
        return texts;
    };
    CHECK(notes("file,preson,ward") == "the column 'preson' is none that is read; did you mean 'person'?\n");
    CHECK(notes("file,reveiwed,ward") == "the column 'reveiwed' is none that is read; did you mean 'reviewed'?\n");
    CHECK(notes("file,person,persons").empty());
    CHECK(notes("file,ward,arm").empty());
}

TEST_CASE("an entry is found by path and by the end of it and by its base name") {
    std::vector<SessionEntry> entries(4);
    entries[0].file = "a.csv";
    entries[1].file = "week1/a.csv";
    entries[2].file = "deep/week1/a.csv";
    entries[3].file = "./b.csv";
    CHECK(find_entry(entries, "a.csv") == &entries[0]);
    CHECK(find_entry(entries, "/data/a.csv") == &entries[0]);
    CHECK(find_entry(entries, "/data/week1/a.csv") == &entries[1]);
    CHECK(find_entry(entries, "/data/deep/week1/a.csv") == &entries[2]);
    CHECK(find_entry(entries, "/data/b.csv") == &entries[3]);
    CHECK(find_entry(entries, "/data/ba.csv") == nullptr);
    CHECK(find_entry(entries, "/data/aweek1/c.csv") == nullptr);
    CHECK(find_entry({}, "a.csv") == nullptr);
}

TEST_CASE("a row may name a person who has no recording, and fits none") {
    const auto entries = read_sessions_list("file,person,site,reviewed\n,P07,north,2026-03-02\n,P08,,\na.csv,P09,,\n", "list.csv").entries;
    REQUIRE(entries.size() == 3);
    CHECK(entries[0].person == "P07");
    CHECK(entries[1].file.empty());
    CHECK(find_entry(entries, "/data/a.csv") == &entries[2]);
    CHECK(find_entry(entries, "b.csv") == nullptr);
    CHECK(find_entry(entries, "") == nullptr);
}

TEST_CASE("faults of a sessions list are named with their place") {
    CHECK(list_error("person,start\nP07,2026-03-02\n") == "bad_setting list.csv: no column 'file': saw person, start\nhint: the first row of a list names its columns; is it another file?");
    CHECK(list_error("file,person,file\na,b,c\n") == "bad_setting list.csv: two columns are named 'file', expected one");
    CHECK(list_error("file,start\na.csv,2026-03-02\nb.csv,2026-02-30\n") ==
          "bad_setting list.csv:3:7: not a date and time: saw '2026-02-30', expected one like 2026-03-02T07:30");
    CHECK(list_error("file,person\na.csv,P07\na.csv,P08\n") ==
          "bad_setting list.csv:3:1: the same file twice: saw 'a.csv' in line 2 too");
    CHECK(list_error("file,person\na.csv,P07\n./a.csv,P08\n") ==
          "bad_setting list.csv:3:1: the same file twice: saw './a.csv' in line 2 too");
    CHECK(list_error("file\n./\n") == "malformed list.csv:2:1: no file name in this row");
    CHECK(list_error("file\nweek1/\n") == "malformed list.csv:2:1: no file name in this row");
    CHECK(list_error("file,site\n,north\n") == "malformed list.csv:2:1: no file name in this row");
    CHECK(list_error("file,person\n./,P07\n") == "malformed list.csv:2:1: no file name in this row");
    for (const char* column : {"start", "posture", "plan", "channel"})
        CHECK(list_error(std::string("file,person,") + column + "\n,P07,2026-03-02\n") == "malformed list.csv:2:1: no file name in this row");
    CHECK(list_error("a.csv,12\n") == "bad_setting list.csv: no column 'file': saw no header row\nhint: the first row of a list names its columns; is it another file?");
    CHECK(list_error("") == "too_short list.csv: an empty list: expected a header row");
}
