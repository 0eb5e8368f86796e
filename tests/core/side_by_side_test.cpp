#include "tracehold/core/side_by_side.hpp"

#include <algorithm>
#include <doctest/doctest.h>

#include <atomic>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "tracehold/core/memory.hpp"

using tracehold::each_side_by_side;
using tracehold::side_by_side;
using tracehold::Helpers;
using tracehold::threads_here;

namespace {

// What is thrown where the first, the second or both throw.
std::string thrown(std::size_t helping, bool first_throws, bool second_throws) {
    const auto throw_if = [](bool wanted, const char* what) {
        if (wanted) throw std::runtime_error(what);
    };
    const Helpers helpers(helping);
    std::string what;
    try {
        side_by_side([&] { throw_if(first_throws, "first"); }, [&] { throw_if(second_throws, "second"); });
    } catch (const std::runtime_error& error) {
        what = error.what();
    }
    return what;
}

}  // namespace

TEST_CASE("the first is done here, the others elsewhere only where there is help") {
    for (const std::size_t count : {0U, 1U, 3U}) {
        const Helpers helpers(count);
        CHECK(threads_here() == 1 + count);
        std::thread::id first, second;
        std::size_t there = 0;
        std::atomic<bool> begun = count == 0;
        side_by_side(
            [&] {
                first = std::this_thread::get_id();
                while (!begun) std::this_thread::yield();
            },
            [&] {
                second = std::this_thread::get_id();
                there = threads_here();
                begun = true;
            });
        CHECK(first == std::this_thread::get_id());
        CHECK((second == first) == (count == 0));
        CHECK(there == 1);
    }
    CHECK(threads_here() == 1);
}

TEST_CASE("many are done once each, and those within each, by any number of threads") {
    for (const std::size_t helping : {0U, 1U, 3U, 40U}) {
        const Helpers helpers(helping);
        for (const std::size_t count : {0U, 1U, 2U, 1000U}) {
            std::vector<std::vector<int>> done(count, std::vector<int>(7, 0));
            each_side_by_side(count, [&](std::size_t i) { each_side_by_side(7, [&](std::size_t k) { ++done[i][k]; }); });
            CHECK(done == std::vector<std::vector<int>>(count, std::vector<int>(7, 1)));
        }
    }
}

TEST_CASE("what the first throws comes first, on one thread or two") {
    for (const std::size_t helping : {0U, 1U}) {
        CHECK(thrown(helping, true, true) == "first");
        CHECK(thrown(helping, true, false) == "first");
        CHECK(thrown(helping, false, true) == "second");
        CHECK(thrown(helping, false, false).empty());
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
        std::vector<float> large;
        tracehold::reserve_large(large, std::size_t{12} << 20);
        const float* const reserved = large.data();
        large.assign(std::size_t{12} << 20, 2.5F);
        CHECK(large.data() == reserved);
        CHECK(std::all_of(large.begin(), large.end(), [](float v) { return v == 2.5F; }));
    }
}
