// Names, units, cells and sayings of CSV files, word by word.
#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <vector>

#include "read_support.hpp"
#include "read/csv_columns.hpp"
#include "read/csv_sayings.hpp"
#include "read/decimal.hpp"
#include "read/text_encoding.hpp"
#include "read/time_stamp.hpp"
#include "read/voltage_unit.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

SaidLine said(const std::string& key, const std::string& value, std::size_t number = 1) {
    return {.number = number, .key = key, .value = value, .whole = key + ": " + value};
}

CsvSayings heard(const std::vector<SaidLine>& lines) { return hear(lines, "x.csv"); }

std::string notes_of(const CsvSayings& sayings) {
    std::string all;
    for (const Note& note : sayings.notes) all += note.code + "@" + note.place + ": " + note.text + "\n";
    return all;
}

std::string prose_rate(const std::string& line) {
    SaidLine whole{.number = 1, .key = "", .value = "", .whole = line};
    const auto rate = heard({whole}).rate_hz;
    return rate ? std::to_string(static_cast<int>(*rate)) : "none";
}

}  // namespace

TEST_CASE("voltages are known by every spelling of their unit") {
    for (const char* unit : {"uV", "UV", "\xC2\xB5V", "\xCE\xBCV", "microvolt", "Microvolts", "uvolt", "uVolts",
                             "\xC2\xB5volts", " uV "}) {
        CAPTURE(std::string(unit));
        CHECK(microvolts_per(unit) == 1.0);
    }
    for (const char* unit : {"nV", "nanovolts"}) CHECK(microvolts_per(unit) == 1e-3);
    for (const char* unit : {"mV", "MV", "millivolt", "millivolts"}) CHECK(microvolts_per(unit) == 1e3);
    for (const char* unit : {"V", "v", "Volt", "volts"}) CHECK(microvolts_per(unit) == 1e6);
    for (const char* unit : {"", "kV", "pV", "A", "uVV", "\xC2\xB5"}) {
        CAPTURE(std::string(unit));
        CHECK_FALSE(microvolts_per(unit));
    }
}

TEST_CASE("times are known by every spelling of their unit") {
    for (const char* unit : {"s", "sec", "secs", "second", "Seconds"}) CHECK(seconds_per(unit) == 1.0);
    for (const char* unit : {"ms", "msec", "millisecond", "milliseconds"}) CHECK(seconds_per(unit) == 1e-3);
    for (const char* unit : {"us", "\xC2\xB5s", "\xCE\xBCs", "usec", "microsecond", "microseconds"})
        CHECK(seconds_per(unit) == 1e-6);
    for (const char* unit : {"min", "minute", "minutes"}) CHECK(seconds_per(unit) == 60.0);
    for (const char* unit : {"", "h", "hz", "uV"}) CHECK(seconds_per(unit) == 0.0);
}

TEST_CASE("a unit stands alone or in brackets of one kind") {
    CHECK(bare_unit("[uV]") == "uV");
    CHECK(bare_unit(" ( s ) ") == "s");
    CHECK(bare_unit("(s]") == "(s]");
    CHECK(bare_unit("[s)") == "[s)");
    CHECK(bare_unit("[s") == "[s");
    CHECK(bare_unit("(s") == "(s");
    CHECK(bare_unit("s") == "s");
    CHECK(bare_unit("[") == "[");
    CHECK(is_unit_text("[mV]"));
    CHECK_FALSE(is_unit_text("[x]"));
    CHECK(is_time_name("[ms]"));
    CHECK(is_time_name("Time_(s)"));
    CHECK_FALSE(is_time_name("[uV]"));
    CHECK(names_a_voltage("force [mV]"));
    CHECK(names_a_voltage("EMG 1"));
    CHECK_FALSE(names_a_voltage("angle"));
}

TEST_CASE("channels are named by lines of their own or by one list") {
    const CsvSayings lines =
        heard({said("channel 1", "'RF', 29220 values, engineering units: mV, no filters."),
               said("channel 2", "\"VL, left\", units: uV;"), said("channel 3", "BF; 3 values"), said("channel 4", ""),
               said("channel x", "no number"), said("channels 5", "none"), said("channel 12", "GM")});
    CHECK(lines.channels == std::vector<std::string>{"RF [mV]", "VL, left [uV]", "BF", "GM"});
    CHECK(heard({said("labels", "a, b;c\td")}).channels == std::vector<std::string>{"a", "b", "c", "d"});
    CHECK(heard({said("columns", "a")}).channels == std::vector<std::string>{"a"});
    CHECK(heard({said("channels", "")}).channels.empty());
    CHECK(heard({said("channel 1", "'never closed")}).channels == std::vector<std::string>{"never closed"});
}

TEST_CASE("a rate is said once and what cannot be read as one is noted") {
    CHECK(heard({said("rate_hz", "2,5 kHz")}).rate_hz == 2500.0);
    CHECK(heard({said("fs", "500 samples/s")}).rate_hz == 500.0);
    CHECK(heard({said("rate", "1000"), said("sample rate", "1000 Hz", 2)}).notes.empty());
    const CsvSayings twice = heard({said("rate", "1000"), said("fs", "500", 2)});
    CHECK(twice.rate_hz == 1000.0);
    CHECK(notes_of(twice) == "rate_said_twice@2: the file says 1000 Hz and 500 Hz; the first was taken\n");
    CHECK(notes_of(heard({said("rate", "fast", 3)})) == "rate_unreadable@3: the rate was not understood: 'fast'\n");
    CHECK(notes_of(heard({said("rate", "10 MHz", 3)})) == "rate_unreadable@3: the rate was not understood: '10 MHz'\n");
    CHECK_FALSE(heard({said("rate", "fast")}).rate_hz);
}

TEST_CASE("a rate in prose is the number before the words") {
    CHECK(prose_rate("recorded at 1000 samples per second") == "1000");
    CHECK(prose_rate("1000 samples per second") == "1000");
    CHECK(prose_rate("resampled from 50 to 250 Samples Per Second.") == "250");
    CHECK(prose_rate("many samples per second") == "none");
    CHECK(prose_rate(" samples per second") == "none");
    CHECK(prose_rate("samples a second: 1000") == "none");
}

TEST_CASE("kind and start that cannot be read are noted with what was expected") {
    CHECK(heard({said("kind", "RAW")}).kind == ChannelKind::raw);
    CHECK(heard({said("kind", "Envelope")}).kind == ChannelKind::envelope);
    const CsvSayings kind = heard({said("kind", "smooth", 4)});
    CHECK_FALSE(kind.kind);
    CHECK(notes_of(kind) == "kind_unreadable@4: the kind was not understood: saw 'smooth', expected raw or envelope\n");
    CHECK(heard({said("start", "2026-03-02T07:30")}).start);
    const CsvSayings start = heard({said("start", "yesterday", 5)});
    CHECK_FALSE(start.start);
    CHECK(notes_of(start) ==
          "start_unreadable@5: the start was not understood: saw 'yesterday', expected a time like 2026-03-02T07:30\n");
}

TEST_CASE("numbers beyond a double are none and those beneath are zero") {
    CHECK_FALSE(decimal_value("1e999", '.'));
    CHECK(decimal_value("1e-999", '.') == 0.0);
    CHECK(decimal_value("-1e-999", '.') == 0.0);
    CHECK_FALSE(decimal_value(std::string(400, '9'), '.'));
    CHECK(decimal_value("0." + std::string(400, '0') + "1", '.') == 0.0);
    CHECK(decimal_value("+1,5", ',') == 1.5);
    CHECK_FALSE(decimal_value("1.5", ','));
    CHECK(decimals_of("1.25e3") == 0);
    CHECK(decimals_of("1.25E3") == 0);
    CHECK(decimals_of("1,250") == 3);
    CHECK(decimals_of("07:30:05.25Z") == 2);
    CHECK(decimals_of("17") == 0);
    CHECK(decimals_of("1." + std::string(30, '1')) == 18);
}

TEST_CASE("clocks take blanks before the time and offsets within the day") {
    CHECK(parse_stamp("2026-03-02   07:30:05")->clock_s == 27005.0);
    CHECK(parse_stamp("07:30:60")->clock_s == 27060.0);  // a leap second
    CHECK_FALSE(parse_stamp("07:30:61"));
    CHECK(parse_stamp("07:30:05+14:00")->utc_offset == std::chrono::minutes{840});
    CHECK(parse_stamp("07:30:05-0130")->utc_offset == std::chrono::minutes{-90});
    CHECK(parse_stamp("07:30:05+02")->utc_offset == std::chrono::minutes{120});
    CHECK(parse_stamp("07:30:05z")->utc_offset == std::chrono::minutes{0});
    for (const char* wrong : {"07:30:05+15:00", "07:30:05+01:60", "07:30:05+01:000", "07:30:05+x", "07:30:05 ",
                              "24:00:00", "07:60:00", "7:3:005", "07:30:", "2026-13-02 07:30:05", "07.30.05"}) {
        CAPTURE(std::string(wrong));
        CHECK_FALSE(parse_stamp(wrong));
    }
    CHECK_FALSE(parse_stamp("03/02/2026 07:30:05")->day);  // nobody can know which is the month
}

TEST_CASE("pairs of UTF-16 are one letter and broken ones a replacement") {
    const auto from = [](std::u16string_view units, bool big) {
        std::string bytes = big ? "\xFE\xFF" : "\xFF\xFE";
        for (const char16_t u : units) {
            const char high = static_cast<char>(u >> 8), low = static_cast<char>(u & 0xFF);
            bytes += big ? std::string{high, low} : std::string{low, high};
        }
        std::string storage;
        std::vector<Note> notes;
        return std::string(utf8_view(bytes, storage, notes));
    };
    for (const bool big : {false, true}) {
        CHECK(from(u"aé€", big) == "a\xC3\xA9\xE2\x82\xAC");
        CHECK(from(u"\xD83D\xDCAA!", big) == "\xF0\x9F\x92\xAA!");  // U+1F4AA, RFC 2781's way of writing it
        CHECK(from(u"\xD83Dx", big) == "\xEF\xBF\xBDx");            // the first half of a pair alone
        CHECK(from(u"\xDCAAx", big) == "\xEF\xBF\xBDx");            // the second half first
        CHECK(from(u"x\xD83D", big) == "x\xEF\xBF\xBD");            // cut at the end
        CHECK(from(u"\xD83D\xE000", big) == "\xEF\xBF\xBD\xEE\x80\x80");
    }
}
