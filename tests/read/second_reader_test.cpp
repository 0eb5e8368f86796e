// The readers against strict, slow and plain twins: whatever a twin accepts, of files made at random and of files that a few
// changed bytes made of them, must be read as the same numbers.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <random>

#include "read_support.hpp"
#include "support/edf_builder.hpp"
#include "support/slow_csv.hpp"
#include "support/strict_edf.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

using Random = std::mt19937;

std::string pick(Random& random, std::initializer_list<const char*> of) { return *(of.begin() + random() % of.size()); }

BuiltSignal any_signal(Random& random, bool bdf) {
    BuiltSignal signal;
    signal.label = pick(random, {"EMG PFM", "EMG Abd", "angle", "x"});
    signal.unit = pick(random, {"uV", "mV", "V", "deg", ""});
    signal.physical_min = pick(random, {"-500", "500", "-0.5", "0", "-3276.8", "-1e3"});
    signal.physical_max = pick(random, {"499.98", "-250", "1", "3276.7", "12345678"});
    signal.digital_min = pick(random, {"-2048", "-32768", "0", "-100"});
    signal.digital_max = bdf ? "8388607" : pick(random, {"2047", "32767", "1", "4095"});
    signal.samples = 1 + random() % 40;
    return signal;
}

std::string any_edf(Random& random) {
    BuiltEdf file;
    file.bdf = random() % 2 == 0;
    file.records = 1 + random() % 4;
    file.duration = pick(random, {"1", "0.1", "2", "0.02", "1.5"});
    for (auto signals = 1 + random() % 3; signals > 0; --signals) file.signals.push_back(any_signal(random, file.bdf));
    return file.bytes();
}

double microvolts(const std::string& unit) { return unit == "mV" ? 1e3 : unit == "V" ? 1e6 : 1.0; }

// "" or what differs.
std::string difference(const std::vector<StrictSignal>& expected, const Recording& got) {
    if (got.channels.size() != expected.size()) return "another number of channels";
    for (std::size_t s = 0; s < expected.size(); ++s) {
        const Channel& channel = got.channels[s];
        if (channel.label != expected[s].label) return "another label";
        if (std::abs(channel.rate.value - expected[s].rate_hz) > 1e-9 * expected[s].rate_hz) return "another rate";
        if (channel.samples.size() != expected[s].samples.size()) return "another number of samples";
        double size = 0.0;
        for (const double x : expected[s].samples) size = std::max(size, std::abs(x));
        for (std::size_t i = 0; i < channel.samples.size(); ++i) {
            const double wanted = expected[s].samples[i] * microvolts(expected[s].unit);
            const double slack = 1e-6 * (std::abs(wanted) + size * microvolts(expected[s].unit)) + 1e-30;
            if (!(std::abs(double{channel.samples[i]} - wanted) <= slack)) return fmt::format("sample {} of signal {}", i, s + 1);
        }
    }
    return "";
}

void change_some(std::string& bytes, Random& random, std::string_view letters) {
    for (auto changes = 1 + random() % 3; changes > 0; --changes) {
        const std::size_t at = random() % bytes.size();
        bytes[at] = random() % 2 == 0 ? letters[random() % letters.size()] : static_cast<char>(random());
    }
}

// Columns and rows of the plainest CSV.
std::string any_csv(Random& random, int rows) {
    std::string text = "time_s,a_uV,b_uV\n";
    for (int i = 0; i < rows; ++i) {
        text += fmt::format("{:.3f},{:.{}f},{}\n", 0.001 * i, 0.01 * static_cast<double>(random() % 20000) - 100.0, random() % 5,
                            static_cast<int>(random() % 200) - 100);
    }
    return text;
}

bool is_plain_decimal(const std::string& cell) {
    const std::size_t begin = cell.starts_with('-') ? 1 : 0;
    std::size_t points = 0;
    for (std::size_t i = begin; i < cell.size(); ++i) {
        const bool point = cell[i] == '.' && i > begin && i + 1 < cell.size();
        if (!point && (cell[i] < '0' || cell[i] > '9')) return false;
        points += point;
    }
    return cell.size() > begin && points <= 1;
}

// Whether the text is faultless: three plain decimals in each row, and times as they were made.
bool is_plain_csv(const std::string& text) {
    const auto lines = cut(text, '\n');
    if (lines.size() < 4 || lines[0] != "time_s,a_uV,b_uV" || !lines.back().empty()) return false;
    for (std::size_t row = 1; row + 1 < lines.size(); ++row) {
        const auto cells = cut(lines[row], ',');
        if (cells.size() != 3 || cells[0] != fmt::format("{:.3f}", 0.001 * static_cast<double>(row - 1))) return false;
        if (!is_plain_decimal(cells[1]) || !is_plain_decimal(cells[2])) return false;
    }
    return true;
}

}  // namespace

TEST_CASE("EDF and BDF made at random read as the strict twin reads them") {
    Random random(1);
    int accepted = 0;
    for (int round = 0; round < 1000; ++round) {
        const std::string bytes = any_edf(random);
        const auto expected = read_strict_edf(bytes);
        if (!expected) continue;  // a limit in a form that only tolerant readers know
        CAPTURE(round);
        CHECK_EQ(difference(*expected, read_edf(bytes, "f")), "");
        ++accepted;
    }
    CHECK(accepted > 500);
}

TEST_CASE("changed EDF and BDF that the strict twin still accepts read the same") {
    Random random(2);
    int accepted = 0;
    for (int round = 0; round < 6000; ++round) {
        std::string bytes = any_edf(random);
        change_some(bytes, random, "0123456789.- ");
        const auto expected = read_strict_edf(bytes);
        if (!expected) continue;
        CAPTURE(round);
        CHECK_EQ(difference(*expected, read_edf(bytes, "f")), "");
        ++accepted;
    }
    CHECK(accepted > 1000);
}

TEST_CASE("changed CSV that is still plain reads as the slow twin reads it") {
    Random random(3);
    int accepted = 0;
    for (int round = 0; round < 9000; ++round) {
        std::string text = any_csv(random, 12);
        change_some(text, random, "0123456789.-,\n");
        if (!is_plain_csv(text)) continue;
        CAPTURE(text);
        const auto columns = slow_csv(text, {});
        const Recording got = csv(text);
        REQUIRE(got.channels.size() == 2);
        for (std::size_t c = 0; c < 2; ++c) {
            REQUIRE(got.channels[c].samples.size() == columns[c + 1].size());
            for (std::size_t i = 0; i < columns[c + 1].size(); ++i)
                CHECK(got.channels[c].samples[i] == static_cast<float>(columns[c + 1][i]));
        }
        ++accepted;
    }
    CHECK(accepted > 500);
}
