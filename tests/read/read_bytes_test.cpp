#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "read_support.hpp"
#include "support/run_program.hpp"
#include "tracehold/core/sha256.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string bytes_refusal(const std::string& path) {
    try {
        read_bytes(path);
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.message;
    }
    return "read";
}

std::string refusal_of_bytes(std::string_view bytes) {
    try {
        read_recording(bytes, "x");
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "read";
}

}  // namespace

TEST_CASE("all bytes of a file come back") {
    const TemporaryFolder folder;
    const std::string bytes("a\0b\r\n\xFF", 6);
    CHECK(read_bytes(folder.write("x.bin", bytes)) == bytes);
    CHECK(read_bytes(folder.write("empty.bin", "")).empty());
    CHECK(read_bytes("/proc/self/stat").size() > 10);  // a file whose size says 0
}

TEST_CASE("what cannot be opened says why") {
    const TemporaryFolder folder;
    CHECK(bytes_refusal("") == "cannot_open no file name: saw an empty one");
    CHECK(bytes_refusal(folder.path("none.csv")) == "cannot_open no such file");
    CHECK(bytes_refusal(folder.path()) == "cannot_open is a folder, expected a file");
    CHECK(bytes_refusal("/dev/null") == "cannot_open is a device or pipe, expected a regular file");
    REQUIRE(::mkfifo(folder.path("fifo").c_str(), 0600) == 0);
    CHECK(bytes_refusal(folder.path("fifo")) == "cannot_open is a device or pipe, expected a regular file");
    if (::geteuid() != 0) {
        const std::string secret = folder.write("secret.csv", "1");
        std::filesystem::permissions(secret, std::filesystem::perms::none);
        CHECK(bytes_refusal(secret) == "cannot_open no permission to read it");
    }
    const std::string large = folder.write("large.csv", "");
    std::filesystem::resize_file(large, (std::uintmax_t{1} << 31) + 1);  // sparse: takes no room
    CHECK(bytes_refusal(large) == "unsupported too large: saw 2147483649 bytes, expected at most 2147483648 (2 GiB)");
}

TEST_CASE("a recording is recognised by its bytes and carries their hash") {
    std::string text = "time_s,emg_mV\n";
    for (int i = 0; i < 50; ++i) text += std::to_string(0.001 * i) + "," + std::to_string(i % 5 - 2) + "\n";
    const Recording recording = read_recording(text, "no-ending");
    CHECK(recording.format == FileFormat::csv);
    CHECK(recording.source == "no-ending");
    CHECK(recording.sha256 == sha256_hex(text));
}

TEST_CASE("what is no recording is refused with what it looks like") {
    CHECK(refusal_of_bytes("") == "too_short x: the file is empty: expected a recording\nhint: copy or export it again");
    CHECK(refusal_of_bytes("PK\x03\x04 and so on") ==
          "not_recognised x: not a recording: saw a ZIP archive or a spreadsheet, expected CSV, EDF or BDF\nhint: save "
          "the sheet as CSV, or "
          "unpack the archive");
    CHECK(refusal_of_bytes("%PDF-1.7") ==
          "not_recognised x: not a recording: saw a PDF document, expected CSV, EDF or BDF\nhint: give a CSV, EDF or "
          "BDF file");
    CHECK(refusal_of_bytes("{\"schema\": \"tracehold.plan/1\"}") ==
          "not_recognised x: not a recording: saw JSON, expected CSV, EDF or BDF\nhint: a plan or a result is no "
          "recording; give a CSV, EDF or "
          "BDF file");
    CHECK(refusal_of_bytes("onset\tduration\ttrial_type\n0.0\t5.0\thold\n") ==
          "not_recognised x: not a recording: saw a table of events, expected CSV, EDF or BDF\nhint: give the recording that the events are of");
    CHECK(refusal_of_bytes("schema,file,person,start\n") ==
          "not_recognised x: not a recording: saw a table of what was measured, expected CSV, EDF or BDF\nhint: give the recording that it was made from");
    CHECK(refusal_of_bytes("\x01\x02\x03\x04\x05") ==
          "not_recognised x: not a recording: saw bytes that begin with '\\x01\\x02\\x03\\x04\\x05', expected CSV, EDF "
          "or BDF\nhint: give a "
          "CSV, EDF or BDF file");
}
