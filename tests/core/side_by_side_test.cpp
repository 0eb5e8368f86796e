#include "tracehold/core/side_by_side.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "tracehold/core/memory.hpp"

using tracehold::has_second_core;
using tracehold::side_by_side;

namespace {

// What is thrown where the first, the second or both throw.
std::string thrown(bool second_core, bool first_throws, bool second_throws) {
    const auto throw_if = [](bool wanted, const char* what) {
        if (wanted) throw std::runtime_error(what);
    };
    has_second_core = second_core;
    std::string what;
    try {
        side_by_side([&] { throw_if(first_throws, "first"); }, [&] { throw_if(second_throws, "second"); });
    } catch (const std::runtime_error& error) {
        what = error.what();
    }
    has_second_core = false;
    return what;
}

}  // namespace

TEST_CASE("both are done, on two threads only where there is a second core") {
    for (const bool second_core : {false, true}) {
        has_second_core = second_core;
        std::thread::id first, second, within;
        side_by_side([&] { side_by_side([&] { first = std::this_thread::get_id(); }, [&] { within = std::this_thread::get_id(); }); },
                     [&] { second = std::this_thread::get_id(); });
        CHECK(first == std::this_thread::get_id());
        CHECK(within == first);
        CHECK((second != first) == second_core);
        CHECK(has_second_core == second_core);
        has_second_core = false;
    }
}

TEST_CASE("what the first throws comes first, on one thread or two") {
    for (const bool second_core : {false, true}) {
        CHECK(thrown(second_core, true, true) == "first");
        CHECK(thrown(second_core, true, false) == "first");
        CHECK(thrown(second_core, false, true) == "second");
        CHECK(thrown(second_core, false, false).empty());
    }
}

TEST_CASE("memory in large pages is memory like any other") {
    for (int round = 0; round < 3; ++round) {
        tracehold::take_large_pages();
        std::vector<std::vector<char>> blocks;
        for (std::size_t size = 1; size < (std::size_t{1} << 22); size *= 4) blocks.emplace_back(size, static_cast<char>(size % 251));
        tracehold::take_large_pages(blocks.back().data(), blocks.back().size());
        for (const auto& block : blocks)
            for (const char c : block) REQUIRE(c == static_cast<char>(block.size() % 251));
    }
}
