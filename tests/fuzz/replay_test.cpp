// What a search ever found stays found: each file below finds/TARGET/ is given to its target, and each seed.
// A find is kept as text: bytes as hex digits, blanks and line ends as you like, '#' to the end of a line a remark.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>

#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "support/plain_readers.hpp"
#include "support/run_program.hpp"

using namespace tracehold;

namespace {

namespace fs = std::filesystem;

int digit_of(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

std::string bytes_of_hex(const std::string& text) {
    std::string bytes;
    int high = -1;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '#') i = std::min(text.find('\n', i), text.size());
        const int digit = i < text.size() ? digit_of(text[i]) : -1;
        if (digit < 0) continue;
        if (high >= 0) bytes += static_cast<char>(16 * high + digit);
        high = high >= 0 ? -1 : digit;
    }
    return bytes;
}

std::string broken_promise(const fuzz::Target& target, std::string_view bytes) {
    try {
        target.run(bytes);
    } catch (const fuzz::BrokenPromise& broken) {
        return broken.what();
    }
    return "";
}

}  // namespace

TEST_CASE("hex text becomes its bytes") { CHECK(bytes_of_hex("00 ff # c\n0a\n") == std::string("\0\xFF\n", 3)); }

TEST_CASE("whatever a search found keeps every promise now") {
    std::size_t finds = 0;
    for (const fuzz::Target& target : fuzz::targets()) {
        const fs::path folder = fs::path(SOURCE_DIR) / "tests/fuzz/finds" / target.name;
        if (!fs::exists(folder)) continue;
        for (const auto& file : fs::directory_iterator(folder)) {
            CAPTURE(file.path().string());
            CHECK_EQ(broken_promise(target, bytes_of_hex(test::file_bytes(file.path().string()))), "");
            ++finds;
        }
    }
    CHECK(finds > 0);
}

TEST_CASE("made-up hostile texts are harmless in every kind of output") {
    for (const std::string& text : test::made_hostile_texts(5000, 20260302)) {
        CAPTURE(text);
        CHECK_NOTHROW(fuzz::run_text(text));
    }
}

TEST_CASE("every seed is read and keeps every promise and so does what a few changes make of it") {
    std::mt19937 random(7);
    for (const fuzz::Target& target : fuzz::targets()) {
        CAPTURE(target.name);
        const auto seeds = target.seeds();
        REQUIRE_FALSE(seeds.empty());
        for (const std::string& seed : seeds) {
            CHECK_EQ(broken_promise(target, seed), "");
            if (seed.size() > 8000) continue;  // long ones have their own search
            for (int round = 0; round < 40; ++round) {
                std::string bytes = seed;
                for (auto changes = 1 + random() % 4; changes > 0; --changes) bytes[random() % bytes.size()] = static_cast<char>(random());
                bytes.resize(bytes.size() - random() % std::min<std::size_t>(bytes.size(), 9));
                CHECK_EQ(broken_promise(target, bytes), "");
            }
        }
    }
}
