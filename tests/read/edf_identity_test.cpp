#include "read/edf_identity.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace tracehold;

namespace {

constexpr const char* kNoSubfields = "";

struct Start {
    std::string text;   // "" if unknown
    std::string codes;  // of the notes, joined by blanks
    bool doubt = false;
};

Start start(std::string_view date, std::string_view time, std::string_view recording = kNoSubfields,
            bool plus = false) {
    EdfNotes notes;
    const auto civil =
        edf_start({168, "start date", date}, {176, "start time", time}, {88, "recording", recording}, plus, notes);
    Start out{civil ? to_text(*civil) : "", ""};
    for (const Note& note : notes.take()) {
        out.codes += (out.codes.empty() ? "" : " ") + note.code;
        out.doubt = out.doubt || note.doubt;
    }
    return out;
}

std::string person(std::string_view patient, std::size_t expected_notes) {
    EdfNotes notes;
    const std::string code = edf_person({8, "patient", patient}, true, notes);
    CHECK(notes.take().size() == expected_notes);
    return code;
}

}  // namespace

TEST_CASE("years 85 to 99 are of the last century and 00 to 84 of this one") {
    // EDF+ specification 2.1.3.2: 1985 is the clipping date.
    CHECK(edf_year(84) == 2084);
    CHECK(edf_year(85) == 1985);
    CHECK(edf_year(0) == 2000);
    CHECK(edf_year(99) == 1999);
    CHECK(start("02.08.84", "20.30.40").text == "2084-08-02T20:30:40");
    CHECK(start("02.08.85", "20.30.40").text == "1985-08-02T20:30:40");
}

TEST_CASE("dates and times with other separators are read and told") {
    CHECK(start("02.03.26", "09:01:17").text == "2026-03-02T09:01:17");
    CHECK(start("02.03.26", "09:01:17").codes == "start_separators");
    CHECK(start("02/03/26", "09.01.17").text == "2026-03-02T09:01:17");
    CHECK(start("02.03.26", "09.01.17").codes.empty());
}

TEST_CASE("impossible dates and times are unknown and never invented") {
    for (const char* date :
         {"00.00.00", "31.02.26", "29.02.26", "32.01.26", "01.13.26", "2.3.26  ", "", "        ", "X"}) {
        CHECK(start(date, "07.00.00").text.empty());
        CHECK(start(date, "07.00.00").codes == "start_date_unknown");
    }
    for (const char* wrong : {"31.02.26", "32.01.26", "2.3.26  "}) CHECK(start(wrong, "07.00.00").doubt);
    for (const char* removed : {"00.00.00", "        ", "X"}) CHECK_FALSE(start(removed, "07.00.00").doubt);
    for (const char* time : {"24.00.00", "23.60.00", "23.59.60", "7.0.0   ", "", "ab.cd.ef"}) {
        CHECK(start("02.03.26", time).text.empty());
        CHECK(start("02.03.26", time).codes == "start_time_unknown");
    }
    CHECK(start("29.02.24", "00.00.00").text == "2024-02-29T00:00:00");
}

TEST_CASE("the removed start of 1 January 1985 at midnight is unknown") {
    // The convention is common practice of EDF writers (stated in EDFlib's header), not part of the specification.
    CHECK(start("01.01.85", "00.00.00").text.empty());
    CHECK(start("01.01.85", "00.00.00").codes == "start_removed");
    CHECK(start("01.01.85", "00.00.01").text == "1985-01-01T00:00:01");
}

TEST_CASE("the EDF+ start date is compared and stands in where the header date is unreadable") {
    CHECK(start("02.03.26", "07.00.00", "Startdate 02-MAR-2026 X X X", true).codes.empty());
    CHECK(start("02.03.26", "07.00.00", "Startdate X X X X", true).codes.empty());
    const Start conflict = start("02.03.26", "07.00.00", "Startdate 03-MAR-2026 X X X", true);
    CHECK(conflict.text == "2026-03-02T07:00:00");
    CHECK(conflict.codes == "start_date_conflict");
    const Start instead = start("xx.yy.zz", "07.00.00", "Startdate 03-Mar-2026 X X X", true);
    CHECK(instead.text == "2026-03-03T07:00:00");
    CHECK(instead.codes == "start_date_from_recording_field");
    for (const char* broken : {"", "Startdate", "Startdate 30-FEB-2026 X X X", "Startdate 02-MAR-2026", "a b c d e"}) {
        CHECK(start("02.03.26", "07.00.00", broken, true).codes == "recording_subfields");
        CHECK(start("02.03.26", "07.00.00", broken, true).text == "2026-03-02T07:00:00");
    }
}

TEST_CASE("the person is the code of the EDF+ patient field and nothing else") {
    // Field of the EDF+ specification 2.1.3.3, with an invented code.
    CHECK(person("P-0234567 F 02-MAY-1951 X", 0) == "P-0234567");
    CHECK(person("X X X X", 0).empty());
    CHECK(person("X F 02-MAY-1951 N_N", 0).empty());
    CHECK(person("P-7 F X X more words", 0) == "P-7");
    CHECK(person("N N", 1).empty());
    CHECK(person("", 1).empty());
    CHECK(person("P-7 F X", 1).empty());
    CHECK(person("P-7 female 1951 X", 1).empty());
    CHECK(person("P\xE9 F X X", 0) == "P\xC3\xA9");
    EdfNotes notes;
    CHECK(edf_person({8, "patient", "P-7 F X X"}, false, notes).empty());
}
