// Fields of EDF and BDF headers at the edges of what can be made sense of.
#include <doctest/doctest.h>

#include <string>
#include <utility>

#include "support/edf_builder.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string text_of(const Recording& recording, std::string_view code) {
    for (const Note& note : recording.notes) {
        if (note.code == code) return note.text;
    }
    return "no such note";
}

std::string refusal(const std::string& bytes, const ReadSettings& settings = {}) {
    try {
        read_edf(bytes, "f", settings);
    } catch (const Error& error) {
        return error.message;
    }
    return "read";
}

std::string person_of(const std::string& patient) {
    BuiltEdf file = small_edf_plus();
    file.patient = patient;
    return read_edf(file.bytes(), "f").person;
}

std::string start_in_header(const std::string& recording) {
    BuiltEdf file = small_edf_plus();
    file.recording = recording;
    const auto start = read_edf(file.bytes(), "f").start;
    return start ? to_text(*start) : "none";
}

}  // namespace

TEST_CASE("a plus mark in other letters or of the other family is read and told") {
    const Recording small = read_edf(small_edf_plus("edf+d").bytes(), "f");
    CHECK(small.format == FileFormat::edf_plus_d);
    CHECK(text_of(small, "plus_mark_unusual") == "'edf+d' is not exactly EDF+C or EDF+D: read as discontinuous");
    const Recording other = read_edf(patched(small_edf_plus("EDF+C").bytes(), kReserved, 44, "BDF+C"), "f");
    CHECK(other.format == FileFormat::edf_plus_c);
    CHECK(text_of(other, "plus_mark_unusual") == "'BDF+C' is not exactly EDF+C or EDF+D: read as continuous");
    const Recording kind = read_edf(small_edf_plus("EDF+X").bytes(), "f");
    CHECK(kind.format == FileFormat::edf_plus_c);
    CHECK(text_of(kind, "plus_mark_unusual") == "'EDF+X' is not exactly EDF+C or EDF+D: read as continuous");
    CHECK(read_edf(patched(small_edf().bytes(), kReserved, 44, "made by hand"), "f").format == FileFormat::edf);
}

TEST_CASE("a damaged version is settled by the reserved field and then by the digital limits") {
    BuiltEdf bdf = small_edf();
    bdf.bdf = true;
    bdf.reserved = "24BIT";
    CHECK(read_edf(patched(bdf.bytes(), 0, 8, "?"), "f").format == FileFormat::bdf);
    bdf.reserved = "";
    bdf.signals[0].digital_min = "-8388608";
    bdf.signals[0].digital_max = "8388607";
    CHECK(read_edf(patched(bdf.bytes(), 0, 8, "?"), "f").format == FileFormat::bdf);
    bdf.signals[0].digital_max = "x";  // no number: nothing speaks for 24 bits
    CHECK(refusal(patched(bdf.bytes(), 0, 8, "?")).find("no signal can be scaled") != std::string::npos);
}

TEST_CASE("without version and with another field unreadable a file is no EDF") {
    const std::string damaged = patched(small_edf().bytes(), 0, 8, "?");
    CHECK(refusal(damaged) == "read");
    constexpr std::pair<std::size_t, std::size_t> kFields[] = {{kRecords, 8}, {244, 8}, {252, 4}};
    for (const auto& [byte, width] : kFields) {
        try {
            read_recording(patched(damaged, byte, width, "x"), "f");
            FAIL("was read");
        } catch (const Error& error) {
            CHECK(error.kind != ErrorKind::bad_setting);
        }
    }
}

TEST_CASE("counts must be whole and not negative and not beyond what a double tells apart") {
    const std::string whole = small_edf().bytes();
    for (const char* count : {"-5", "1.5", "1e300", "many"}) {
        CHECK(refusal(patched(whole, kSamples, 8, count)) ==
              "no count of samples: saw '" + std::string(count) + "', expected a whole number of 0 or more");
    }
    CHECK(refusal(patched(whole, kSamples, 8, "200.0")) == "read");
    CHECK(refusal(patched(whole, 252, 4, "0")) == "no count of signals: saw '0', expected a whole number of 1 or more");
    CHECK(refusal(patched(whole, 252, 4, "513")) == "too many signals: saw '513', expected at most 512");
}

TEST_CASE("more than a million annotations are cut there and told") {
    BuiltEdf file = small_edf_plus();
    std::string texts = stamp("+0") + "+0\x14";
    for (int i = 0; i < 1'000'001; ++i) texts += "a\x14";
    texts += '\0';
    file.signals[1] = annotation_signal({texts, stamp("+1")}, texts.size() / 2 + 1);
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.marks.size() == 1'000'000);
    CHECK(text_of(recording, "too_many_annotations") == "more than 1000000 annotations: the rest is left out");
}

TEST_CASE("a person is taken from four subfields only and an X is nobody") {
    CHECK(person_of("P-017 F X X") == "P-017");
    CHECK(person_of("P-017 M 02-MAR-1980 C-9") == "P-017");
    CHECK(person_of("  P-017   X  X   X  more ") == "P-017");
    CHECK(person_of("X F X X") == "");
    for (const char* patient : {"P-017", "P-017 F X", "P-017 Q X X", "P-017 F 31-FEB-1980 X", "P-017 F 2-MAR-1980 X"}) {
        CAPTURE(std::string(patient));
        CHECK(person_of(patient) == "");
    }
}

TEST_CASE("a start date has an English month and exists") {
    CHECK(start_in_header("Startdate 02-MAR-2026 X X X") == "2026-03-02T07:30:05");
    CHECK(start_in_header("Startdate 02-mar-2026 X X X") == "2026-03-02T07:30:05");
    for (const char* date :
         {"02-ANF-2026", "00-MAR-2026", "02-MAR-0000", "31-FEB-2026", "0x-MAR-2026", "02/MAR/2026"}) {
        CAPTURE(std::string(date));
        // The date of the main header stands in.
        CHECK(start_in_header("Startdate " + std::string(date) + " X X X") == "2026-03-02T07:30:05");
    }
}

TEST_CASE("a kind that the user gives is told beside what the signal looks like") {
    const std::string bytes = small_edf().bytes();
    const Recording asked = read_edf(bytes, "f", {.rate = {}, .unit = "", .kind = ChannelKind::envelope});
    CHECK(asked.channels[0].kind == ChannelKind::envelope);
    CHECK(text_of(asked, "kind_set") == "signal 'EMG PFM': envelope as asked, it looks like raw");
    const Recording other = read_edf(bytes, "f", {.rate = {}, .unit = "", .kind = ChannelKind::other});
    CHECK(other.channels[0].kind == ChannelKind::raw);
}

TEST_CASE("a user's unit goes to the voltages and to all signals only where there is none") {
    BuiltEdf file = small_edf();
    file.signals.push_back(file.signals[0]);
    file.signals[0].unit = "deg";
    const ReadSettings milli{.rate = {}, .unit = "mV", .kind = {}};
    const Recording one = read_edf(file.bytes(), "f", milli);
    CHECK(one.channels[0].kind == ChannelKind::other);
    CHECK(*one.channels[1].high_limit == doctest::Approx(500e3));
    file.signals[1].unit = "deg";
    const Recording all = read_edf(file.bytes(), "f", milli);
    CHECK(*all.channels[0].high_limit == doctest::Approx(500e3));
    CHECK(text_of(all, "unit_set") == "signal 'EMG PFM': unit mV as asked, the file says 'deg'");
    CHECK(refusal(file.bytes(), {.rate = {}, .unit = "kg", .kind = {}}) ==
          "no unit of voltage: saw 'kg', expected uV, mV or V");
}

TEST_CASE("labels lose control characters of one and of two bytes") {
    BuiltEdf file = small_edf();
    file.signals[0].label = "E\x01M\x7FG\xC2\x85 \xC2\xB5";
    CHECK(read_edf(file.bytes(), "f").channels[0].label.find("\xC2\xB5") != std::string::npos);
    CHECK(read_edf(file.bytes(), "f").channels[0].label.find("\xC2\x85") == std::string::npos);
}

TEST_CASE("a signal that cannot be scaled is no recording and its limits are shown") {
    BuiltEdf file = small_edf_plus();
    std::swap(file.signals[0], file.signals[1]);  // the annotations come first
    file.signals[1].physical_max = file.signals[1].physical_min;
    CHECK(refusal(file.bytes()) ==
          "no signal can be scaled: saw physical limits '-500' and '-500' and digital limits '-2048' and '2047', "
          "expected two different numbers each that float32 can hold");
}
