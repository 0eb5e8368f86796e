#include "read/edf_annotations.hpp"

#include <doctest/doctest.h>

#include <string>

#include "read/read_support.hpp"
#include "support/edf_builder.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

struct Parsed {
    std::optional<EdfTal> tal;
    std::string codes;
};

Parsed parse(std::string_view bytes) {
    EdfNotes notes;
    Parsed out{parse_edf_tal(bytes, "byte 0, annotation", notes), ""};
    for (const Note& note : notes.take()) out.codes += (out.codes.empty() ? "" : " ") + note.code;
    return out;
}

Recording with_records(std::vector<std::string> records, std::string_view kind = "EDF+C") {
    BuiltEdf file = small_edf_plus(kind);
    file.records = records.size();
    file.signals[1] = annotation_signal(std::move(records), 60);
    return read_edf(file.bytes(), "f");
}

}  // namespace

TEST_CASE("the list of two texts at 180 s takes 28 bytes and is read whole") {
    // EDF+ specification 2.2.2: example of a TAL, with its closing NUL.
    const std::string bytes =
        std::string{
            "+180\x14Lights off\x14"
            "Close door\x14"} +
        '\0';
    CHECK(bytes.size() == 28);
    const Parsed parsed = parse(std::string_view{bytes}.substr(0, 27));
    REQUIRE(parsed.tal);
    CHECK(parsed.tal->onset_s == 180.0);
    CHECK(parsed.tal->duration_s == 0.0);
    CHECK(parsed.tal->texts == std::vector<std::string>{"Lights off", "Close door"});
    CHECK(parsed.codes.empty());
    const Recording recording = with_records({stamp("+0") + bytes, stamp("+1")});
    CHECK(recording.marks == std::vector<Mark>{{180.0, 0.0, "Lights off"}, {180.0, 0.0, "Close door"}});
}

TEST_CASE("onsets and durations of the specification are read") {
    // EDF+ specification 2.2.2 and 2.2.4: the other written examples.
    CHECK(parse("+1800.2\x15"
                "25.5\x14"
                "Apnea\x14")
              .tal->onset_s == 1800.2);
    CHECK(parse("+1800.2\x15"
                "25.5\x14"
                "Apnea\x14")
              .tal->duration_s == 25.5);
    CHECK(parse("-0.065\x14Pre-stimulus beep 1000Hz\x14").tal->onset_s == -0.065);
    CHECK(parse("+567\x14\x14").tal->texts == std::vector<std::string>{""});
    CHECK(parse("+3.14\x14\xE4\xB8\xAD\xE6\x96\x87\x14").tal->texts[0] == "\xE4\xB8\xAD\xE6\x96\x87");
}

TEST_CASE("lists beyond the specification are read with a note") {
    CHECK(parse("+0,5\x14x\x14").tal->onset_s == 0.5);
    CHECK(parse("+0,5\x14x\x14").codes == "decimal_comma");
    CHECK(parse("2.5\x14x\x14").tal->onset_s == 2.5);
    CHECK(parse("2.5\x14x\x14").codes == "annotation_sign_missing");
    CHECK(parse("+2\x15zz\x14x\x14").tal->duration_s == 0.0);
    CHECK(parse("+2\x15zz\x14x\x14").codes == "annotation_duration_unreadable");
    CHECK(parse("+2\x15-3\x14x\x14").codes == "annotation_duration_unreadable");
    CHECK(parse("+2\x14x").tal->texts[0] == "x");
    CHECK(parse("+2\x14x").codes == "annotation_unterminated");
    CHECK(parse("+2\x14"
                "caf\xE9\x14")
              .tal->texts[0] == "caf\xC3\xA9");
    CHECK(parse("+2\x14"
                "caf\xE9\x14")
              .codes == "annotation_not_utf8");
    CHECK(parse("+2\x14line\tone\r\ntwo\x14").tal->texts[0] == "line\tone\r\ntwo");
    CHECK(parse("+2\x14line\tone\r\ntwo\x14").codes.empty());
    CHECK(parse("+2\x14"
                "a\x1B[2J\x14")
              .tal->texts[0] == "a\xEF\xBF\xBD[2J");
    CHECK(parse("+2\x14"
                "a\x1B[2J\x14")
              .codes == "control_characters");
}

TEST_CASE("lists without a time are no lists") {
    for (const char* bytes : {"", "+", "+1", "XX\x14x\x14", "\x14x\x14",
                              "+1\x15"
                              "2",
                              "+nan\x14x\x14", "+inf\x14x\x14", "+1e300\x14x\x14", "++1\x14x\x14", "+1.2.3\x14x\x14",
                              "+1.000,5\x14x\x14"}) {
        CHECK_FALSE(parse(bytes).tal);
    }
}

TEST_CASE("a damaged list is passed over with its bytes and the others stay") {
    const Recording recording =
        with_records({stamp("+0") + "??\x14lost\x14" + '\0' + tal("+0.6", "", "kept"), stamp("+1")});
    CHECK(recording.marks == std::vector<Mark>{{0.6, 0.0, "kept"}});
    CHECK(codes(recording) == "annotation_unreadable");
    // 256 * 3 bytes of header, 400 bytes of samples, 5 bytes of the record's own list.
    CHECK(recording.notes[0].place == "byte 1173, annotation");
    CHECK(recording.notes[0].text ==
          "8 bytes '??\\x14lost\\x14' are no annotation list with a usable time: passed over");
}

TEST_CASE("marks come in order of time from the first sample and from every annotation signal") {
    BuiltEdf file = small_edf_plus();
    file.signals[1] =
        annotation_signal({stamp("+0.5") + tal("+2.25", "1", "late"), stamp("+1.5") + tal("+0.75", "", "early")});
    file.signals.push_back(annotation_signal({tal("+1", "", "second signal")}));
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.marks == std::vector<Mark>{{0.25, 0.0, "early"}, {0.5, 0.0, "second signal"}, {1.75, 1.0, "late"}});
    CHECK(to_text(*recording.start) == "2026-03-02T07:30:05.500");
    CHECK(codes(recording).empty());
}

TEST_CASE("marks outside the recording are kept and told") {
    const Recording recording = with_records(
        {stamp("+0") + tal("-1", "", "before") + tal("+2", "", "at the end"), stamp("+1") + tal("+9", "", "after")});
    CHECK(recording.marks.size() == 3);
    CHECK(codes(recording) == "marks_outside");
    CHECK(recording.notes[0].text == "2 of 3 marks lie before the start or after the end at 2.000 s: kept");
}

TEST_CASE("a text in the list that stamps a record is a mark too") {
    const Recording recording = with_records({std::string{"+0\x14\x14trigger\x14"} + '\0', stamp("+1")});
    CHECK(recording.marks == std::vector<Mark>{{0.0, 0.0, "trigger"}});
    CHECK(codes(recording).empty());
}

TEST_CASE("a plain file's signal named like annotations stays an ordinary signal") {
    // EDF specification: only the reserved field makes a file EDF+.
    BuiltEdf file = small_edf_plus();
    file.reserved.clear();
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.format == FileFormat::edf);
    REQUIRE(recording.channels.size() == 2);
    CHECK(recording.channels[1].kind == ChannelKind::other);
    CHECK(recording.marks.empty());
    CHECK(codes(recording) == "annotations_in_plain_file");
}

TEST_CASE("a plus file without an annotation signal is read as continuous") {
    BuiltEdf file = small_edf();
    file.reserved = "EDF+D";
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.channels[0].samples.size() == 400);
    CHECK(codes(recording) == "record_times_missing");
}

TEST_CASE("a repeated fault is told four times and then counted") {
    std::vector<std::string> records;
    for (int i = 0; i < 10; ++i) records.push_back(stamp(std::to_string(i).insert(0, 1, '+')) + "bad\x14" + '\0');
    const Recording recording = with_records(records);
    REQUIRE(recording.notes.size() == 4);
    CHECK(recording.notes[3].text.ends_with("; and 6 more of this kind"));
    CHECK_FALSE(recording.notes[2].text.ends_with("of this kind"));
}
