#include <doctest/doctest.h>

#include <optional>
#include <string>

#include "support/edf_builder.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::optional<Note> note(const Recording& recording, std::string_view code) {
    for (const Note& n : recording.notes) {
        if (n.code == code) return n;
    }
    return std::nullopt;
}

std::string header_refusal(const std::string& bytes) {
    try {
        read_edf(bytes, "f");
    } catch (const Error& error) {
        return std::string{to_string(error.kind)} + " " + error.what();
    }
    return "read";
}

Recording read_patched(std::size_t byte, std::size_t width, std::string_view text) {
    return read_edf(patched(small_edf().bytes(), byte, width, text), "f");
}

}  // namespace

TEST_CASE("a faultless file gives no notes and its facts") {
    const Recording plain = read_edf(small_edf().bytes(), "f.edf");
    CHECK(plain.notes.empty());
    CHECK(plain.source == "f.edf");
    CHECK(plain.sha256.empty());
    CHECK(plain.format == FileFormat::edf);
    CHECK(plain.person.empty());
    REQUIRE(plain.channels.size() == 1);
    CHECK(plain.channels[0].label == "EMG PFM");
    CHECK(plain.channels[0].unit == "uV");
    CHECK(plain.channels[0].rate.value == 200.0);
    CHECK(plain.channels[0].samples.size() == 400);
    CHECK(plain.channels[0].prefilter == "HP:20Hz LP:450Hz");
    CHECK(plain.duration_s() == 2.0);
    CHECK(to_text(*plain.start) == "2026-03-02T07:30:05");
    const Recording plus = read_edf(small_edf_plus().bytes(), "f.edf");
    CHECK(plus.notes.empty());
    CHECK(plus.person == "P-017");
    CHECK(plus.channels.size() == 1);
    CHECK(plus.marks.size() == 2);
}

TEST_CASE("the format comes from the version and the reserved field") {
    const std::pair<const char*, FileFormat> forms[] = {{"EDF+C", FileFormat::edf_plus_c},
                                                        {"EDF+D", FileFormat::edf_plus_d},
                                                        {"BDF+C", FileFormat::bdf_plus_c},
                                                        {"BDF+D", FileFormat::bdf_plus_d}};
    for (const auto& [mark, format] : forms) {
        const Recording recording = read_edf(small_edf_plus(mark).bytes(), "f");
        CHECK(recording.format == format);
        CHECK(recording.notes.empty());
        CHECK(recording.marks.size() == 2);
    }
    BuiltEdf bdf = small_edf();
    bdf.bdf = true;
    bdf.reserved = "24BIT";
    CHECK(read_edf(bdf.bytes(), "f").format == FileFormat::bdf);
    CHECK(to_string(FileFormat::bdf_plus_d) == "bdf+d");
    const Recording odd = read_edf(small_edf_plus("EDF+").bytes(), "f");
    CHECK(odd.format == FileFormat::edf_plus_c);
    CHECK(note(odd, "plus_mark_unusual")->place == "byte 192, reserved");
}

TEST_CASE("a record count of -1 is taken from the size") {
    const Recording recording = read_patched(236, 8, "-1");
    CHECK(recording.channels[0].samples.size() == 400);
    CHECK(*note(recording, "record_count_unknown") ==
          Note{"record_count_unknown", "byte 236, record count",
               "the recorder never wrote the count (-1): the 2 in the file are used"});
}

TEST_CASE("a wrong record count is taken from the size") {
    for (const char* count : {"1", "0", "7", "-5", "two", ""}) {
        const Recording recording = read_patched(236, 8, count);
        CHECK(recording.channels[0].samples.size() == 400);
        CHECK(note(recording, "record_count_wrong")->text ==
              "the header counts '" + std::string{count} + "' records: the 2 in the file are used");
        CHECK(note(recording, "record_count_wrong")->doubt);
    }
}

TEST_CASE("a cut last record is left out and told") {
    const std::string bytes = small_edf().bytes();
    const Recording recording = read_edf(bytes.substr(0, bytes.size() - 1), "f");
    CHECK(recording.channels[0].samples.size() == 200);
    CHECK(*note(recording, "last_record_cut") ==
          Note{"last_record_cut", "byte 912, last record", "the last record is cut: 399 bytes of 400 left out"});
    CHECK_FALSE(note(recording, "record_count_wrong"));
    const Recording bdf = [] {
        BuiltEdf file = small_edf();
        file.bdf = true;
        const std::string whole = file.bytes();
        return read_edf(whole.substr(0, whole.size() - 200), "f");
    }();
    CHECK(note(bdf, "last_record_cut")->text == "the last record is cut: 400 bytes of 600 left out");
}

TEST_CASE("bytes after the last record are left out and told") {
    const Recording recording = read_edf(small_edf().bytes() + "trailer", "f");
    CHECK(recording.channels[0].samples.size() == 400);
    CHECK(*note(recording, "extra_bytes") ==
          Note{"extra_bytes", "byte 1312, end of records", "7 bytes after the last record: left out"});
}

TEST_CASE("a wrong header length is told and not used") {
    for (const char* length : {"256", "0", "99999", "", "abc", "-1"}) {
        const Recording recording = read_patched(184, 8, length);
        CHECK(recording.channels[0].samples.size() == 400);
        CHECK(note(recording, "header_length_wrong")->place == "byte 184, header length");
    }
}

TEST_CASE("an unreadable signal count is taken from the header length") {
    CHECK(note(read_patched(252, 4, ""), "signal_count_from_header_length"));
    CHECK(note(read_patched(252, 4, "x"), "signal_count_from_header_length")->text ==
          "'x' is no count: 1 taken from the header length");
}

TEST_CASE("a damaged version field is read when the rest is consistent") {
    const Recording recording = read_patched(0, 8, "\xB5");
    CHECK(recording.format == FileFormat::edf);
    CHECK(note(recording, "version_field_damaged")->text ==
          "'\\xB5       ' is neither EDF nor BDF, the rest is consistent: read as EDF");
    const std::string bdf = patched(small_edf_plus("BDF+C").bytes(), 0, 8, "?BIOSEMI");
    CHECK(read_edf(bdf, "f").format == FileFormat::bdf_plus_c);
}

TEST_CASE("decimal commas are read and told") {
    const Recording recording = read_patched(kPhysicalMin, 8, "-500,0");
    CHECK(*note(recording, "decimal_comma") ==
          Note{"decimal_comma", "byte 360, signal 1 physical minimum", "'-500,0' has a decimal comma: read as -500"});
    CHECK(recording.channels[0].samples == read_edf(small_edf().bytes(), "f").channels[0].samples);
    CHECK(read_patched(244, 8, "0,5").channels[0].rate.value == 400.0);
    CHECK(header_refusal(patched(small_edf().bytes(), kPhysicalMin, 8, "-1.500,0")).find("no signal can be scaled") !=
          std::string::npos);
}

TEST_CASE("the rate is samples per record over the record duration") {
    // 'seconds' may be any decimal (EDF specification); 0.1 s records are common in exports.
    CHECK(read_patched(244, 8, "0.1").channels[0].rate.value == doctest::Approx(2000.0));
    CHECK(read_patched(244, 8, "30").channels[0].rate.value == doctest::Approx(200.0 / 30.0));
    CHECK(read_patched(244, 8, "1e-1").channels[0].rate.value == doctest::Approx(2000.0));
}

TEST_CASE("labels beyond ASCII are read as UTF-8 or Latin-1") {
    const Recording latin = read_patched(kLabel, 16,
                                         "M. p\xE9rin\xE9"
                                         "al");
    CHECK(latin.channels[0].label ==
          "M. p\xC3\xA9rin\xC3\xA9"
          "al");
    CHECK(note(latin, "header_not_ascii")->text ==
          "'M. p\\xE9rin\\xE9"
          "al' has letters beyond ASCII: read as Latin-1");
    const Recording utf8 = read_patched(kLabel, 16,
                                        "p\xC3\xA9rin\xC3\xA9"
                                        "e");
    CHECK(utf8.channels[0].label ==
          "p\xC3\xA9rin\xC3\xA9"
          "e");
    CHECK(note(utf8, "header_not_ascii")->text.find("read as UTF-8") != std::string::npos);
}

TEST_CASE("control characters in labels are replaced and told") {
    const Recording recording = read_patched(kLabel, 16, "\x1B[2Jx");
    CHECK(recording.channels[0].label == "\xEF\xBF\xBD[2Jx");
    CHECK(note(recording, "control_characters")->text == "'\\x1B[2Jx' holds control characters: replaced by U+FFFD");
}

TEST_CASE("fields padded with NUL bytes are read") {
    std::string bytes = small_edf().bytes();
    for (const auto& [byte, width] : {std::pair<std::size_t, std::size_t>{236, 8}, {244, 8}, {252, 4}, {kUnit, 8}}) {
        for (std::size_t i = byte; i < byte + width; ++i) bytes[i] = bytes[i] == ' ' ? '\0' : bytes[i];
    }
    const Recording recording = read_edf(bytes, "f");
    CHECK(recording.notes.empty());
    CHECK(recording.channels[0].unit == "uV");
}

TEST_CASE("signals that share a label and signals without samples are told") {
    BuiltEdf file = small_edf();
    file.signals.push_back(file.signals[0]);
    file.signals.push_back(file.signals[0]);
    file.signals[2].label = "unused";
    file.signals[2].samples = 0;
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.channels.size() == 2);
    CHECK(note(recording, "duplicate_label")->text == "more than one signal is named 'EMG PFM': choose by number");
    CHECK(note(recording, "signal_without_samples")->text == "signal 'unused' has no samples in a record: left out");
}

TEST_CASE("what cannot be read is refused with place and seen and wanted") {
    const std::string good = small_edf().bytes();
    CHECK(header_refusal("") ==
          "too_short f:byte 0, header: the file ends too early: saw 0 bytes, expected at least 256\n"
          "hint: copy or export the recording again");
    CHECK(header_refusal(good.substr(0, 300)) ==
          "too_short f:byte 300, signal headers: the file ends too early: saw 300 bytes, "
          "expected at least 512\nhint: copy or export the recording again");
    CHECK(header_refusal(good.substr(0, 600)) ==
          "too_short f:byte 600, first record: the file ends too early: saw 600 bytes, "
          "expected at least 912\nhint: copy or export the recording again");
    CHECK(header_refusal(std::string(600, 'a')) ==
          "not_recognised f:byte 0, version: neither EDF nor BDF: saw 'aaaaaaaa', expected '0' or 0xFF 'BIOSEMI'");
    CHECK(
        header_refusal(patched(patched(good, 252, 4, "x"), 184, 8, "y")) ==
        "malformed f:byte 252, number of signals: no count of signals: saw 'x', expected a whole number of 1 or more");
    CHECK(
        header_refusal(patched(good, 252, 4, "0")) ==
        "malformed f:byte 252, number of signals: no count of signals: saw '0', expected a whole number of 1 or more");
    CHECK(header_refusal(patched(good, 252, 4, "9999")) ==
          "unsupported f:byte 252, number of signals: too many signals: saw '9999', expected at most 512");
    CHECK(header_refusal(patched(good, kSamples, 8, "many")) ==
          "malformed f:byte 472, signal 1 samples per record: no count of samples: saw 'many', expected a whole number "
          "of 0 "
          "or more\nhint: without it the place of every later sample is unknown; export the recording again");
    CHECK(header_refusal(patched(good, kSamples, 8, "9e15")) ==
          "too_short f:byte 1312, first record: the file ends too early: saw 1312 bytes, expected at least "
          "18000000000000512\nhint: copy or export the recording again");
    for (const std::string duration : {"0", "-1", "nan", "inf", ""}) {
        CHECK(header_refusal(patched(good, 244, 8, duration)) ==
              "malformed f:byte 244, record duration: no sampling rate without a record duration: saw '" + duration +
                  "', expected seconds above 0\nhint: export the recording again with its sampling rate");
    }
    CHECK(header_refusal(patched(good, 244, 8, "1e21")) ==
          "unsupported f:byte 244, record duration: 2 records make more than 31 days: saw '1e21', expected a shorter "
          "recording");
    CHECK(header_refusal(patched(good, 244, 8, "1e-9")) ==
          "unsupported f:byte 244, record duration: signal 1 sampled above 1 MHz: saw '1e-9', expected a longer record "
          "duration");
}

TEST_CASE("a file of annotations alone is refused as unsupported") {
    BuiltEdf file = small_edf_plus();
    file.signals.erase(file.signals.begin());
    CHECK(
        header_refusal(file.bytes()) ==
        "unsupported f:byte 252, number of signals: no signal with samples in the file: saw '1', expected at least one "
        "signal that is not annotations\nhint: a file of annotations alone has nothing to measure; give the recording "
        "that it belongs to");
}

TEST_CASE("the format is recognised by content") {
    CHECK(looks_like_edf(small_edf().bytes()));
    CHECK(looks_like_edf(small_edf_plus("BDF+C").bytes()));
    CHECK(looks_like_edf(small_edf().bytes().substr(0, 100)));
    CHECK(looks_like_edf(patched(small_edf().bytes(), 0, 8, "1")));
    CHECK_FALSE(looks_like_edf(""));
    CHECK_FALSE(looks_like_edf("0"));
    CHECK_FALSE(looks_like_edf("0       1.25\n1       1.50\n"));
    CHECK_FALSE(looks_like_edf("time;emg\n0;1\n"));
    CHECK_FALSE(looks_like_edf(std::string(2000, '0')));
    CHECK_FALSE(looks_like_edf(std::string(2000, '\0')));
}

TEST_CASE("nothing of the patient field but the code is ever shown or kept") {
    BuiltEdf file = small_edf_plus();
    for (const char* patient : {"ZZCANARYZZ", "X F 01-JAN-1990 ZZCANARYZZ", "ZZCANARYZZ \xFF F", "P ZZCANARYZZ"}) {
        file.patient = patient;
        file.recording = "ZZCANARYZZ by ZZCANARYZZ";
        const Recording recording = read_edf(file.bytes(), "f");
        CHECK(recording.person.empty());
        for (const Note& n : recording.notes) CHECK(n.text.find("ZZCANARYZZ") == std::string::npos);
    }
}
