// Files that are read in several pieces side by side, against the same files read alone.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cstring>
#include <string>
#include <tuple>
#include <vector>

#include "read/read_support.hpp"
#include "tracehold/core/side_by_side.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr int kRows = 200'000;  // some 4 MB

// The usual rows, but for those that odd(row) gives another text.
template <class Odd>
std::string text_with(Odd odd, const char* line_end = "\n") {
    std::string text = fmt::format("time_s,EMG (uV),marker{}", line_end);
    for (int row = 0; row < kRows; ++row) {
        const std::string other = odd(row);
        text += other.empty() ? fmt::format("{:.4f},{}.{:02},{}", 0.0005 * row, row % 83 - 41, row % 97, row % 9000 < 3000 ? "work" : "") : other;
        text += line_end;
    }
    return text;
}

auto facts_of(const std::vector<Note>& notes) {
    std::vector<std::tuple<std::string, std::string, std::string, bool>> out;
    for (const Note& note : notes) out.emplace_back(note.code, note.place, note.text, note.doubt);
    return out;
}

bool alike(const Recording& a, const Recording& b) {
    bool equal = a.channels.size() == b.channels.size() && a.marks.size() == b.marks.size() && a.gaps == b.gaps && facts_of(a.notes) == facts_of(b.notes);
    for (std::size_t i = 0; equal && i < a.marks.size(); ++i)
        equal = a.marks[i].time_s == b.marks[i].time_s && a.marks[i].text == b.marks[i].text;
    for (std::size_t c = 0; equal && c < a.channels.size(); ++c) {
        const auto &x = a.channels[c].samples, &y = b.channels[c].samples;
        equal = x.size() == y.size() && std::memcmp(x.data(), y.data(), x.size() * sizeof(float)) == 0;
    }
    return equal;
}

void check_pieces(const std::string& text) {
    const Recording alone = csv(text);
    CHECK(alone.channels[0].samples.size() > kRows / 2);
    for (const std::size_t helping : {1U, 4U}) {
        const Helpers helpers(helping);
        CHECK(alike(csv(text), alone));
    }
}

}  // namespace

TEST_CASE("pieces of a file make the recording that the whole makes") {
    check_pieces(text_with([](int) { return ""; }));
    check_pieces(text_with([](int) { return ""; }, "\r\n"));
    const std::string text = text_with([](int) { return ""; });
    check_pieces(text.substr(0, text.size() - 1));
    const Recording recording = csv(text);
    CHECK(recording.channels[0].samples.size() == kRows);
    CHECK(recording.marks.size() == 23);  // of 3000 rows, every 9000
    CHECK(recording.marks[1].time_s == 4.5);
}

TEST_CASE("rows that are not plain, wherever they stand, are the same in pieces") {
    check_pieces(text_with([](int row) { return row % 70'001 == 70'000 ? fmt::format("{:.4f},NaN,", 0.0005 * row) : ""; }));
    check_pieces(text_with([](int row) { return row % 1'009 == 7 ? fmt::format("{:.4f}, 1.5 ,rest", 0.0005 * row) : ""; }));
    check_pieces(text_with([](int row) { return row % 50'000 == 49'999 ? fmt::format("{:.4f},1.5,\"a\n2,3,b\"", 0.0005 * row) : ""; }));
    check_pieces(text_with([](int row) { return row % 30'000 == 29'999 ? fmt::format("{:.4f}\n# 1,2,3\n", 0.0005 * row) : ""; }));
    check_pieces(text_with([](int row) { return row > 120'000 ? fmt::format("{:.6f},2e0,", 0.0005 * row) : ""; }));
}

TEST_CASE("what is wrong far behind is told with its line, in pieces too") {
    const std::string text = text_with([](int row) { return row == 150'000 ? "75.0,word," : ""; });
    const std::string alone = error_of(text);
    CHECK(alone.find("150002") != std::string::npos);
    const Helpers helpers(3);
    CHECK(error_of(text) == alone);
}
