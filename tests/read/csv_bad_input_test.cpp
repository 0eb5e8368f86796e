// What stops a CSV recording, each by its exact text, and what must not stop it.
#include <fmt/format.h>

#include <cmath>
#include <random>

#include "read_support.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string even_rows(int count, const std::string& line_end = "\n") {
    std::string text;
    for (int i = 0; i < count; ++i) text += fmt::format("{:.3f},{}{}", 0.001 * i, i % 7 - 3, line_end);
    return text;
}

std::string replaced(std::string text, const std::string& old_part, const std::string& new_part) {
    return text.replace(text.find(old_part), old_part.size(), new_part);
}

const std::string kMillivoltHead = "time_s,emg_mV\n";
const std::string kAgain = "\nhint: copy or export it again";
const std::string kTwoCommas =
    "; a comma that separates cannot be told from one inside a number\nhint: write numbers with a decimal point and without thousands "
    "separators, or put semicolons between the columns";

}  // namespace

TEST_CASE("every bad CSV is refused with path and place and what was seen and wanted") {
    CHECK(error_of("") == "x.csv: the file is empty: expected a recording" + kAgain);
    CHECK(error_of("\n\n  \n") == "x.csv: the file holds nothing but blank lines: expected a recording" + kAgain);
    CHECK(error_of("\n\x1A\n") == "x.csv: the file holds nothing but blank lines: expected a recording" + kAgain);
    CHECK(error_of("\xEF\xBB\xBF") == "x.csv: the file holds nothing but blank lines: expected a recording" + kAgain);
    CHECK(error_of(kMillivoltHead) == "x.csv: no samples: saw a header only, expected rows of numbers below it" + kAgain);
    CHECK(error_of("# rate_hz: 1000\n") == "x.csv: no samples: saw a header only, expected rows of numbers below it" + kAgain);
    CHECK(error_of("Dear team,\nthe recording follows\n") ==
          "x.csv: no rows of numbers: saw the recording follows, expected a recording\nhint: give a CSV, EDF or BDF "
          "file");
    CHECK(error_of("This is a text.\nIt has 3 lines, and 2 numbers.\nBye\n") ==
          "x.csv: no rows of numbers: saw Bye, expected a recording\nhint: give a CSV, EDF or BDF file");
    CHECK(error_of(kMillivoltHead + replaced(even_rows(50), "0.004,1", "0.004,abc")) ==
          "x.csv:6:7: not a number in 'emg': saw 'abc', expected a number with decimal point");
    CHECK(error_of(kMillivoltHead + replaced(even_rows(50), "0.000,-3", "0.000,abc")) ==
          "x.csv:2:7: not a number in 'emg': saw 'abc', expected a number with decimal point");
    CHECK(error_of(kMillivoltHead + replaced(even_rows(50), "0.004,1\n", "0.004,1,5\n")) ==
          "x.csv:6:8: the row is too long: saw 3 cells, expected 2" + kTwoCommas);
    CHECK(error_of(kMillivoltHead + replaced(even_rows(50), "0.004,1\n", "0.004,\"1\n")) ==
          "x.csv:6:7: a quote is opened here and never closed");
    CHECK(error_of(kMillivoltHead + replaced(even_rows(50), "0.004", "\x1A")) ==
          "x.csv:6:1: not a number in 'time': saw '\\x1A', expected a number with decimal point");
    CHECK(error_of("emg_mV\n1\n2\n3\n-1\n0\n") ==
          "x.csv: no rate: saw neither a time column nor a line that says one\nhint: --rate HZ");
    CHECK(error_of("n,emg_mV\n1,3\n2,-2\n3,1\n4,0\n5,2\n") ==
          "x.csv: no rate: saw neither a time column nor a line that says one\nhint: --rate HZ");
    CHECK(error_of("# rate_hz: 0\nemg_mV\n1\n2\n") ==
          "x.csv:1: not a rate: saw 0, expected a number above 0\nhint: correct the line, or give --rate HZ for a file "
          "without it");
    CHECK(error_of("emg_mV\n1\n2\n", {.rate = Hertz{0}, .unit = "", .kind = {}}) ==
          "x.csv: not a rate: saw 0, expected a number above 0\nhint: --rate HZ");
    CHECK(error_of("emg_mV\n1\n2\n", {.rate = Hertz{1000}, .unit = "kg", .kind = {}}) ==
          "x.csv: not a unit: saw 'kg', expected uV, mV or V\nhint: --unit uV|mV|V");
    CHECK(error_of("time_s,emg_mV\n1.5,2\n1.5,3\n1.5,4\n") ==
          "x.csv: time never moves on: saw 1.5 in the first row and nothing later, expected rising times\nhint: --rate "
          "HZ");
    CHECK(error_of("time_s,emg_mV\n0.0,1\n") ==
          "x.csv: too few rows to know the rate: saw 1 with a time, expected at least 2\nhint: --rate HZ");
    CHECK(error_of("time_s,emg_mV\n0.000,\n0.001,nan\n") == "x.csv: no samples: no channel holds a number");
    CHECK(error_of("time_s,phase\n0.000,work\n0.001,rest\n") ==
          "x.csv:2: no column of samples: saw 2 columns of times, marks or counters only");
    std::string back = kMillivoltHead;
    for (int i = 0; i < 220; ++i) back += fmt::format("{:.3f},{}\n", 0.001 * (i % 20), i % 5 - 2);
    back += even_rows(20);
    CHECK(error_of(back) ==
          "x.csv:row 21: time goes back too often: saw 11 times, expected at most 10; the first is named here\nhint: are the rows in another "
          "order, or the times rounded or noisy? where the rows are in order and evenly apart, take the time column out of the file and say "
          "the rate with --rate HZ");
    CHECK(error_of(kMillivoltHead + "0.000,1\n0.001,2\n0.002,1\n90000.0,2\n") ==
          "x.csv: gaps of 90000 s in the time column, far longer than the 4 rows\nhint: split the file at the gaps");
    CHECK(error_of(kMillivoltHead + "0.0,1\n0.1,2\n0.2,1\n0.3,1\n300000.0,2\n") ==
          "x.csv: gaps of 300000 s in the time column, far longer than the 5 rows\nhint: split the file at the gaps");
    std::string zeros = kMillivoltHead + even_rows(3);
    for (int i = 0; i < 4; ++i) zeros += std::string(8, '\0') + "\n";
    CHECK(error_of(zeros + "0.007,1\n") == "x.csv:5: too many unusable rows: saw 4 of 8, expected fewer than half");
    CHECK(error_of(kMillivoltHead + std::string(2 << 20, '1')) ==
          "x.csv:2:1: the line is too long: saw 2097152 bytes, expected at most 1048576");
    std::string wide;
    for (int i = 0; i < 1500; ++i) wide += "1,";
    CHECK(error_of(wide + "\n" + wide + "\n") == "x.csv: too many columns: expected at most 1024");
}

TEST_CASE("commas that separate and commas inside numbers are never guessed apart") {
    std::string marked = "time_s,emg_uV,marker\n", split = marked, all = marked, headless, often = marked;
    for (int i = 0; i < 3000; ++i) {
        const int fraction = 7 * i % 1000;
        marked += fmt::format("{:.3f},{}.5,\n", 0.001 * i, i % 9 - 4);
        split += fmt::format("{:.3f},{},{:03},\n", 0.001 * i, i % 9 - 4, fraction);
        all += fmt::format("0,{:03},{},{:03},\n", i % 1000, i % 9 - 4, fraction);
        headless += fmt::format("0,{:03},{},{:03}\n", i % 1000, i % 9 - 4, fraction);
        often += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 9 - 4, 3 + i % 2);
    }
    CHECK(error_of(marked) == "read");
    CHECK(error_of(replaced(marked, "0.030,-1.5,", "0.030,-1,5,")) == "x.csv:32:11: the row is too long: saw 4 cells, expected 3" + kTwoCommas);
    CHECK(error_of(replaced(marked, "0.030,-1.5,", "0.030,1,234.5,")) == "x.csv:32:14: the row is too long: saw 4 cells, expected 3" + kTwoCommas);
    const std::string both = "decimal commas and commas between the columns: saw ";
    CHECK(error_of(split) == "x.csv:2:10: " + both + "'0.000,-4,000,', expected one of the two" + kTwoCommas);
    CHECK(error_of(all) == "x.csv:2:3: " + both + "'0,000,-4,000,', expected one of the two" + kTwoCommas);
    CHECK(error_of(headless) == "x.csv:1:3: " + both + "'0,000,-4,000', expected one of the two" + kTwoCommas);
    CHECK(error_of(often) == "x.csv: numbers that are no marks in 'marker': saw 3000 changes in 3000 rows, expected a few" + kTwoCommas);
}

TEST_CASE("whole numbers between commas are read where the header has a name for each") {
    std::string padded = "time_s,emg_uV,marker\n", trailing = "time_s,emg_uV\n", triggers = padded;
    for (int i = 0; i < 3000; ++i) {
        padded += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 9 - 4, i / 1000 == 1 ? "01" : "00");
        trailing += fmt::format("{:.3f},{},\n", 0.001 * i, i % 9 - 4);
        triggers += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 9 - 4, i % 10 == 0 ? 1 : 0);
    }
    for (const std::string& text : {padded, trailing, triggers}) CHECK(error_of(text) == "read");
}

TEST_CASE("a number with a thousands separator is refused by its own line") {
    std::string text = "time_s;emg_uV\n";
    for (int i = 0; i < 50; ++i)
        text +=
            fmt::format("{:.3f};{}\n", 0.001 * i, i == 30 ? std::string("1,234.5") : fmt::format("{}.5", i % 9 - 4));
    CHECK(error_of(text) == "x.csv:32:7: not a number in 'emg': saw '1,234.5', expected a number with decimal point");
    text.clear();
    for (int i = 0; i < 50; ++i)
        text += fmt::format("{}\n", i == 30 ? std::string("1.5") : fmt::format("{},5", i % 9 - 4));
    CHECK(error_of(text, {.rate = Hertz{1000}, .unit = "uV", .kind = {}}) ==
          "x.csv:31:1: not a number in column 1: saw '1.5', expected a number with decimal comma");
}

TEST_CASE("a cut last row is left out and said") {
    const std::string whole = kMillivoltHead + even_rows(50);
    const auto read = [&](const std::string& tail) {
        const Recording recording = csv(whole + tail);
        CHECK(has_note(recording, "last_row_cut"));
        return recording.channels.at(0).samples.size();
    };
    CHECK(read("0.050") == 50);
    CHECK(read("0.050\n") == 50);
    CHECK(read("0.050,-") == 50);
    CHECK(read("0.050,1e") == 50);
    CHECK(csv(whole + "0.050,2").channels.at(0).samples.size() == 51);
    CHECK(error_of(whole + "0.050,end") ==
          "x.csv:52:7: not a number in 'emg': saw 'end', expected a number with decimal point");
}

TEST_CASE("rows that cannot be used keep their place in time") {
    std::string text = replaced(kMillivoltHead + even_rows(50), "0.010,0\n", "0.010\n");
    text = replaced(text, "0.020,3\n", std::string("0.0") + '\0' + "20,3\n");
    const Recording recording = csv(text);
    const auto& samples = recording.channels.at(0).samples;
    REQUIRE(samples.size() == 50);
    CHECK(recording.gaps.empty());
    CHECK(std::isnan(samples[10]));
    CHECK(std::isnan(samples[20]));
    CHECK(samples[21] == -3000.0f);
    CHECK(note_text(recording, "short_rows") == "rows with too few cells, read as missing: 1; the first is named here");
    CHECK(has_note(recording, "nul_rows"));
}

TEST_CASE("missing cells in many spellings are missing samples and counted") {
    std::string text = "time_s;a_uV;b_uV;c_uV\n";
    const char* const spelling[] = {"",   "NaN", "nan",  "-nan",    "inf", "-Infinity",
                                    "NA", "n/a", "null", "1.#QNAN", "-",   " "};
    for (int i = 0; i < 100; ++i)
        text += fmt::format("{:.3f};{};{};\n", 0.001 * i, i % 5 - 2, i < 12 ? spelling[i] : "-1");
    const Recording recording = csv(text);
    REQUIRE(recording.channels.size() == 2);
    CHECK(note_text(recording, "missing_values") == "empty or non-finite cells in 'b', read as missing: 12");
    CHECK(note_text(recording, "empty_channel") == "'c' holds no value and was left out");
    for (std::size_t i = 0; i < 100; ++i) CHECK(std::isnan(recording.channels[1].samples[i]) == (i < 12));
}

TEST_CASE("numbers too large for any sample are missing and doubted with their first line") {
    std::string text = kMillivoltHead + even_rows(50);
    text = replaced(replaced(text, "0.010,0\n", "0.010,1e300\n"), "0.020,3\n", "0.020,-1e300\n");
    const Recording recording = csv(text);
    CHECK(std::isnan(recording.channels.at(0).samples.at(10)));
    CHECK(has_doubt(recording, "numbers_too_large"));
    CHECK(note_text(recording, "numbers_too_large") ==
          "numbers in 'emg' that are too large for any sample, read as missing: 2; the first stands in line 12");
}

TEST_CASE("end marks and trailing delimiters and blank and comment lines do no harm") {
    const auto size = [](const std::string& text) { return csv(text).channels.at(0).samples.size(); };
    CHECK(size(kMillivoltHead + even_rows(50) + "\x1A") == 50);
    CHECK(size(kMillivoltHead + even_rows(50) + "\r\n\x1A\r\n") == 50);
    CHECK(size(kMillivoltHead + even_rows(50, ",\n")) == 50);
    CHECK(size("time_s,emg_mV,\n" + even_rows(50, ",\n")) == 50);
    CHECK(size(kMillivoltHead + even_rows(25) + "\n\n" + even_rows(0) + "0.025,1\n0.026,2\n\n") == 27);
    CHECK(size(kMillivoltHead + even_rows(25) + "# paused\n0.025,1\n") == 26);
    CHECK(size(kMillivoltHead + even_rows(25) + ",\n,\n") == 25);
    CHECK(size(kMillivoltHead + even_rows(25) + kMillivoltHead + even_rows(25)) == 51);  // started again: a gap of one step between
}

TEST_CASE("blank lines in a file of one column are missing samples unless they are everywhere") {
    const ReadSettings settings{.rate = Hertz{1000}, .unit = "uV", .kind = {}};
    const Recording some = csv("1\n-2\n\n3\n\n\n-4\n5\n6\n7\n\n\n", settings);
    REQUIRE(some.channels.at(0).samples.size() == 10);
    CHECK(std::isnan(some.channels[0].samples[2]));
    CHECK(some.channels[0].samples[6] == -4.0f);
    CHECK(note_text(some, "blank_lines_missing") ==
          "blank lines between the numbers, read as missing: 3; the first is named here");
    const Recording every = csv("1\r\r\n-2\r\r\n3\r\r\n-4\r\r\n", settings);
    CHECK(every.channels.at(0).samples == std::vector<float>{1.0f, -2.0f, 3.0f, -4.0f});
    CHECK(note_text(every, "blank_lines_skipped") == "3 blank lines between the numbers were skipped");
}

TEST_CASE("rates of 10 and 100 Hz and a constant channel are fine") {
    for (const double step : {0.1, 0.01}) {
        std::string text = kMillivoltHead;
        for (int i = 0; i < 100; ++i) text += fmt::format("{:.2f},0.5\n", step * i);
        const Recording recording = csv(text);
        CHECK(recording.channels.at(0).rate.value == doctest::Approx(1 / step));
        CHECK(recording.channels.at(0).samples.at(7) == 500.0f);
    }
}

TEST_CASE("no prefix of a file and no flipped byte crashes the reader") {
    std::string whole = "# person: P07\n# rate_hz: 500\nclock;EMG [\xC2\xB5V];angle_deg;phase\n";
    for (int i = 0; i < 40; ++i) {
        whole += fmt::format("07:30:{:02},{:03};{},5;{};{}\n", 5 + i / 30, (2 * i) % 60, i % 9 - 4, 40 + i % 3,
                             i < 20 ? "work" : "\"rest; now\"");
    }
    int read = 0, refused = 0;
    const auto attempt = [&](std::string_view bytes) {
        try {
            const Recording recording = read_csv(bytes, "x");
            REQUIRE_FALSE(recording.channels.empty());
            for (const Channel& channel : recording.channels)
                REQUIRE(channel.samples.size() == recording.channels[0].samples.size());
            ++read;
        } catch (const Error& error) {
            REQUIRE_FALSE(error.message.empty());
            ++refused;
        }
    };
    for (std::size_t size = 0; size <= whole.size(); ++size) attempt(std::string_view(whole).substr(0, size));
    std::mt19937 random(11);
    for (int i = 0; i < 3000; ++i) {
        std::string bytes = whole;
        for (auto flips = 1 + random() % 4; flips > 0; --flips)
            bytes[random() % bytes.size()] = static_cast<char>(random());
        attempt(bytes);
    }
    CHECK(read > 1000);
    CHECK(refused > 1000);
}

TEST_CASE("no crossing of the pieces that CSV files are made of crashes the reader") {
    const std::string piece[] = {
        "0.001", "0.002", "1,5",  "-2", ";", ";",  ",", ",",    "\t",         " ",          "\n",
        "\n",    "\r\n",  "\"",   "#",  "t", "uV", "-", "|",    "07:30:05",   "2026-03-02", "nan",
        "1e9",   "\xFF",  "[mV]", ":",  "=", "0",  "1", "\x1A", "rate: 10\n", "work",       std::string(1, '\0')};
    std::mt19937 random(13);
    int read = 0;
    for (int i = 0; i < 5000; ++i) {
        std::string text;
        for (auto n = random() % 60; n > 0; --n) text += piece[random() % std::size(piece)];
        try {
            const Recording recording = csv(text, {.rate = Hertz{500}, .unit = "", .kind = {}});
            ++read;
            REQUIRE_FALSE(recording.channels.at(0).samples.empty());
            for (const Mark& mark : recording.marks) REQUIRE((mark.time_s >= 0.0 && mark.duration_s >= 0.0));
        } catch (const Error& error) {
            REQUIRE_FALSE(error.message.empty());
        }
    }
    CHECK(read > 100);
}
