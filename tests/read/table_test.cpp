#include "tracehold/read/table.hpp"

#include <doctest/doctest.h>

#include <random>

#include "tracehold/core/error.hpp"

using namespace tracehold;

namespace {

std::string table_error(std::string_view text) {
    try {
        read_table(text, "list.csv");
    } catch (const Error& error) {
        return error.what();
    }
    return "read";
}

// Header, then rows: cells with '/', rows with '|'.
std::string flat(const Table& table) {
    std::string text;
    for (const auto& name : table.header) text += name + "/";
    for (const TableRow& row : table.rows) {
        text += "|";
        for (const auto& cell : row.cells) text += cell + "/";
    }
    return text;
}

}  // namespace

TEST_CASE("the same list in every delimiter and line end and encoding reads the same") {
    const std::string expected = "file/person/posture/|a.csv/P07/lying/|b.csv/P08//";
    for (const char delimiter : {',', ';', '\t', '|'}) {
        for (const std::string line_end : {"\n", "\r\n", "\r"}) {
            for (const bool bom : {false, true}) {
                std::string text = bom ? "\xEF\xBB\xBF" : "";
                for (const std::string line :
                     {"# made: by hand", "File,Person, Posture", "a.csv,P07,lying", "", "b.csv,P08,"}) {
                    std::string row = line;
                    for (char& c : row) c = c == ',' ? delimiter : c;
                    text += row + line_end;
                }
                const Table table = read_table(text, "list.csv");
                CHECK(flat(table) == expected);
                REQUIRE(table.comments.size() == 1);
                CHECK(table.comments[0] == std::pair<std::string, std::string>{"made", "by hand"});
                CHECK(table.rows.at(1).line == 5);
                CHECK(table.rows.at(1).place(1) == "5:7");
            }
        }
    }
    CHECK(flat(read_table("file person\na.csv P07\nb.csv  P08\n", "list.csv")) == "file/person/|a.csv/P07/|b.csv/P08/");
}

TEST_CASE("quotes hold delimiters and line ends and quotes") {
    const Table table = read_table("file,why\n\"a,b.csv\",\"said \"\"no\"\"\nand left\"\nc.csv,x\n", "list.csv");
    CHECK(flat(table) == "file/why/|a,b.csv/said \"no\"\nand left/|c.csv/x/");
    CHECK(table.rows.at(1).line == 4);
}

TEST_CASE("a quoted cell may end with what separates cells elsewhere") {
    for (const char other : {';', '\t', '|'}) {
        const std::string cell = std::string("north") + other;
        CHECK(flat(read_table("file,site\na.csv,\"" + cell + "\"\n", "list.csv")) == "file/site/|a.csv/" + cell + "/");
    }
    CHECK(flat(read_table("file;site\na.csv;\"b,\"\n", "list.csv")) == "file/site/|a.csv/b,/");
}

TEST_CASE("a list of one column may hold blanks") {
    CHECK(flat(read_table("file\nmorning one.csv\nnoon.csv\n", "list.csv")) == "file/|morning one.csv/|noon.csv/");
}

TEST_CASE("a first row with a number or a date is no header") {
    CHECK(read_table("a.csv,12\nb.csv,13\n", "list.csv").header.empty());
    CHECK(read_table("a.csv,12\nb.csv,13\n", "list.csv").rows.size() == 2);
}

TEST_CASE("empty cells behind the last column and empty rows are left out") {
    CHECK(flat(read_table("file,person,,\na.csv,P07,,\n,,,\nb.csv,P08\n", "list.csv")) ==
          "file/person/|a.csv/P07/|b.csv/P08/");
}

TEST_CASE("Latin-1 and cp1252 letters become UTF-8 with a note") {
    std::vector<Note> notes;
    CHECK(to_utf8("M\xFCller \x80", notes) == "M\xC3\xBCller \xE2\x82\xAC");
    REQUIRE(notes.size() == 1);
    CHECK(notes[0].code == "text_cp1252");
    notes.clear();
    CHECK(to_utf8("\xFF\xFE\xB5\x00V\x00\x3D\xD8\x00\xDE", notes) == "");  // ends at the first NUL of the literal
    notes.clear();
    CHECK(to_utf8(std::string_view("\xFF\xFE\xB5\x00V\x00\x3D\xD8\x00\xDE", 10), notes) == "\xC2\xB5V\xF0\x9F\x98\x80");
    CHECK(notes.at(0).code == "text_utf16");
    notes.clear();
    CHECK(to_utf8("\xEF\xBB\xBFplain \xC2\xB5", notes) == "plain \xC2\xB5");
    CHECK(notes.empty());
}

TEST_CASE("faults of a list are named with line and column") {
    CHECK(table_error("") == "list.csv: an empty list: expected a header row");
    CHECK(table_error("file,person\na.csv,P07,x\n") == "list.csv:2:11: a row of another width: saw 3 cells, expected 2");
    CHECK(table_error("file,person\na.csv,P07\nb.csv\n") ==
          "list.csv:3:1: a row of another width: saw 1 cells, expected 2");
    CHECK(table_error("file,person\na.csv,\"P07\n") == "list.csv:2:7: a quote is opened here and never closed");
}

TEST_CASE("random bytes never crash the table reader") {
    std::mt19937 random(5);
    const std::string pieces[] = {
        "a", "\"", ",", ";", "\n", "\r", "\t", " ", "\xB5", "\xFF\xFE", "#", std::string(1, '\0'), "1.5"};
    for (int i = 0; i < 5000; ++i) {
        std::string text;
        for (auto n = random() % 40; n > 0; --n) text += pieces[random() % std::size(pieces)];
        const std::string error = table_error(text);
        REQUIRE_FALSE(error.empty());
    }
}
