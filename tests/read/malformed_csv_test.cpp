// CSV recordings as they arrive from the wild, and what is decided about each: read with a note that programs can see, or
// refused by line and column, seen and wanted. Each kind of fault was met in public by readers of CSV.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "malformed_outcome.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

const std::string kHead = "time_s,emg_uV\n";

// Lines of time and value, one of them replaced.
std::string rows(int odd_row = -1, const std::string& odd = "", const std::string& end = "\n") {
    std::string text;
    for (int i = 0; i < 20; ++i) text += (i == odd_row ? odd : fmt::format("{:.3f},{}", 0.001 * i, 10 * (i % 7) - 30)) + end;
    return text;
}

// The same with semicolons and decimal commas.
std::string comma_rows(int odd_row = -1, const std::string& odd = "") {
    std::string text = "time_s;emg_uV\n";
    for (int i = 0; i < 20; ++i) text += i == odd_row ? odd + "\n" : fmt::format("0,{:03};{},5\n", i, 10 * (i % 7) - 30);
    return text;
}

std::string as_utf16(const std::string& ascii, bool mark) {
    std::string out = mark ? "\xFF\xFE" : "";
    for (const char c : ascii) out += std::string{c, '\0'};
    return out;
}

std::string stamps(std::initializer_list<const char*> times) {
    std::string text = "time,emg_uV\n";
    int i = 0;
    for (const char* time : times) text += fmt::format("{},{}\n", time, 10 * (i++ % 5) - 20);
    return text;
}

// Six digits at 1000 Hz, as a program that prints them so writes: from 10000 on the stamps are tenths of a second.
std::string losing_digits(double from_s, double seconds) {
    std::string text = "time_s,emg_uV\n";
    for (int i = 0; i < 1000.0 * seconds; ++i) text += fmt::format("{:.6g},{}\n", from_s + i / 1000.0, 10 * (i % 7) - 30);
    return text;
}

// Whole seconds at 4 Hz: each stamp four times.
std::string whole_seconds() {
    std::string text = "time_s,emg_uV\n";
    for (int i = 0; i < 40; ++i) text += fmt::format("{},{}\n", i / 4, 10 * (i % 7) - 30);
    return text;
}

// Whole seconds at another rate.
std::string rows_from(int second, int seconds, int rate_hz) {
    std::string text;
    for (int i = 0; i < seconds * rate_hz; ++i) text += fmt::format("{},{}\n", second + i / rate_hz, 10 * (i % 7) - 30);
    return text;
}

}  // namespace

TEST_CASE("encodings and line ends change nothing") {
    check({
        {"byte order mark", "\xEF\xBB\xBF" + kHead + rows(),
         "csv: emg raw 1000 Hz 20"},
        {"UTF-16 with mark", as_utf16(kHead + rows(), true),
         "csv: emg raw 1000 Hz 20\n"
         "text_utf16 []: the text is UTF-16; it was converted to UTF-8"},
        {"UTF-16 without mark", as_utf16(kHead + rows(), false),
         "csv: emg raw 1000 Hz 20\n"
         "text_utf16 []: the text is UTF-16; it was converted to UTF-8"},
        {"UTF-16 cut in half a letter", as_utf16(kHead + rows(), true) + "9",
         "csv: emg raw 1000 Hz 20\n"
         "text_utf16 []: the text is UTF-16; it was converted to UTF-8, its last byte is half a "
         "letter and was left out"},
        {"cp1252 in a text column", "time_s,emg_uV,phase\n0.000,-10,\"p\xE9rin\xE9" "e\"\n0.001,12,\n0.002,-7,\n",
         "csv: emg raw 1000 Hz 3; périnée@0\n"
         "text_cp1252 []: the text is not UTF-8; letters beyond ASCII were read as Latin-1 (cp1252)"},
        {"carriage returns alone", "time_s,emg_uV\r" + rows(-1, "", "\r"),
         "csv: emg raw 1000 Hz 20"},
        {"mixed line ends", "time_s,emg_uV\r\n" + rows(),
         "csv: emg raw 1000 Hz 20"},
    });
}

TEST_CASE("quotes and control characters harm one row at most") {
    check({
        {"an unclosed quote", kHead + rows(4, "0.004,\"10"),
         "malformed: f:6:7: a quote is opened here and never closed"},
        {"Ctrl-Z at the end", kHead + rows() + "\x1A",
         "csv: emg raw 1000 Hz 20"},
        {"Ctrl-Z inside", kHead + rows(4, "0.004,\x1A"),
         "malformed: f:6:7: not a number in 'emg': saw '\\x1A', expected a number with decimal point"},
        {"NUL bytes inside", kHead + rows(4, std::string("0.0\0\0,10", 8)),
         "csv: emg raw 1000 Hz 20-1\n"
         "nul_rows [6]: rows with NUL bytes (a failing memory card leaves such), read as missing: "
         "1; the first is named here"},
    });
}

TEST_CASE("decimal mark and delimiter are decided from the whole file") {
    check({
        {"decimal comma", comma_rows(),
         "csv: emg raw 1000 Hz 20\n"
         "decimal_comma []: numbers are written with a decimal comma"},
        {"one row with a thousands separator", comma_rows(7, "0,007;1.234,5"),
         "malformed: f:9:7: not a number in 'emg': saw '1.234,5', expected a number with decimal "
         "comma"},
        {"bars as delimiter", "time_s|emg_uV\n0.000|-10\n0.001|12\n0.002|-7\n",
         "csv: emg raw 1000 Hz 3\n"
         "delimiter []: columns are separated by bars"},
        {"blanks as delimiter", "time_s emg_uV\n0.000 -10\n0.001   12\n0.002 -7\n",
         "csv: emg raw 1000 Hz 3\n"
         "delimiter []: columns are separated by blanks"},
        {"a trailing delimiter", "time_s,emg_uV,\n" + rows(-1, "", ",\n"),
         "csv: emg raw 1000 Hz 20"},
        {"a trailing delimiter in the data alone", kHead + rows(-1, "", ",\n"),
         "csv: emg raw 1000 Hz 20"},
        {"a row with a cell too many", kHead + rows(4, "0.004,10,3"),
         "malformed: f:6:9: the row is too long: saw 3 cells, expected 2; a comma that separates cannot be told from one inside a number\n"
         "hint: write numbers with a decimal point and without thousands separators, or put semicolons between the columns"},
        {"a short row", kHead + rows(4, "0.004"),
         "csv: emg raw 1000 Hz 20-1\n"
         "short_rows [6]: rows with too few cells, read as missing: 1; the first is named here"},
        {"a last row without its end", kHead + rows() + "0.020",
         "csv: emg raw 1000 Hz 20\n"
         "last_row_cut [22]: the last row is cut off; it was left out"},
        {"numbers of other programs", "time_s,emg_uV\n0.000,+1.5\n0.001, -2\n0.002,1e-400\n0.003,nan\n0.004,-inf\n0.005,3\n",
         "csv: emg raw 1000 Hz 6-2\n"
         "missing_values []: empty or non-finite cells in 'emg', read as missing: 2"},
        {"a hexadecimal number", kHead + rows(4, "0.004,0x10"),
         "malformed: f:6:7: not a number in 'emg': saw '0x10', expected a number with decimal point"},
    });
}

TEST_CASE("times that do not rise evenly are named and never sorted") {
    check({
        {"time goes back once", stamps({"0.000", "0.001", "0.002", "0.001", "0.002", "0.003"}),
         "csv: emg raw 1000 Hz 7-1; gap 0.003 to 0.004\n"
         "doubt: time_goes_back []: places where time goes back: 1; what follows was put behind a gap of "
         "one step\n"
         "time_gaps []: gaps in the time column, kept as gaps: 1, 0.001 s together"},
        {"blocks of equal stamps", stamps({"0.00", "0.00", "0.00", "0.00", "0.02", "0.02", "0.02", "0.02", "0.04", "0.04", "0.04", "0.04"}),
         "csv: emg raw 200 Hz 12\n"
         "time_in_blocks []: rows that repeat the time of the row before: 9; a clock with even "
         "steps was fitted"},
        {"stamps that lose digits as they grow", losing_digits(9980, 24),
         "csv: emg raw 1000 Hz 24000\n"
         "time_in_blocks []: rows that repeat the time of the row before: 21959; a clock with even steps was fitted\n"
         "doubt: time_loses_digits []: the times lose digits as they grow, at the end they move by 0.1 s: shorter gaps may not be seen there"},
        {"another rate behind blocks of equal stamps", whole_seconds() + rows_from(10, 60, 8),
         "malformed: f:row 41: the rate changes at a time of 10: saw steps of 0.25 before and 0.125 behind it, expected one rate\n"
         "hint: split the file there; if its times are wrong, --rate HZ says the rate"},
        {"no time column", "emg_uV\n-10\n12\n-7\n",
         "bad_setting: f: no rate: saw neither a time column nor a line that says one\n"
         "hint: --rate HZ"},
        {"whole seconds", whole_seconds(),
         "csv: emg raw 4 Hz 40\n"
         "time_in_blocks []: rows that repeat the time of the row before: 30; a clock with even "
         "steps was fitted\n"
         "kind_raw []: 'emg' was read as a raw trace: 45 % of its values are negative, though a rate of 4 Hz is too low "
         "for a raw trace\n"
         "doubt: kind_doubtful []: 'emg' was read as a raw trace: 45 % of its values are negative, though a rate of 4 Hz is too low for a "
         "raw trace, as an amplitude less an offset has them; --kind raw or --kind envelope settles it"},
        {"the nominal rate is another", "# rate_hz: 500\n" + kHead + rows(),
         "csv: emg raw 1000 Hz 20\n"
         "doubt: rate_differs []: the file says 500 Hz, its time column runs at 1000 Hz; the time column "
         "was followed"},
    });
    check({{"no time column but a rate given", "emg_uV\n-10\n12\n-7\n",
         "csv: emg raw 1000 Hz 3\n"
         "rate_given []: a rate of 1000 Hz was given by the user; the file says none"}}, {.rate = Hertz{1000}, .unit = {}, .kind = {}});
}
