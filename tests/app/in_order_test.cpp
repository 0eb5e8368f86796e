#include "app/in_order.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>
#include <vector>

using tracehold::in_order;

namespace {

const auto kNoTick = [] {};

std::vector<std::size_t> taken_in_order(std::size_t count, std::size_t threads) {
    std::vector<std::size_t> taken;
    in_order(
        count, threads, [](std::size_t i) { return i * i; }, [&](std::size_t, std::size_t square) { taken.push_back(square); }, kNoTick);
    return taken;
}

}  // namespace

TEST_CASE("results are taken in order whatever the number of threads") {
    std::vector<std::size_t> squares;
    for (std::size_t i = 0; i < 100; ++i) squares.push_back(i * i);
    for (const std::size_t threads : {1, 2, 3, 8, 200}) CHECK(taken_in_order(100, threads) == squares);
    CHECK(taken_in_order(0, 4).empty());
    CHECK(taken_in_order(1, 4).size() == 1);
}

TEST_CASE("no more than twice as many results as threads are under way or waiting") {
    constexpr std::size_t kThreads = 3;
    std::atomic<std::size_t> made{0};
    std::size_t taken = 0, most = 0;
    in_order(
        200, kThreads, [&](std::size_t i) { return ++made, i; },
        [&](std::size_t, std::size_t) {
            if (taken == 0) std::this_thread::sleep_for(std::chrono::milliseconds(50));  // the others run as far as they may
            most = std::max(most, made.load() - taken);
            ++taken;
        },
        kNoTick);
    CHECK(taken == 200);
    CHECK(most <= 2 * kThreads);
    CHECK(most > 1);
}

TEST_CASE("what a maker throws stops the rest and is thrown again") {
    std::atomic<std::size_t> made{0};
    std::size_t taken = 0;
    const auto make = [&](std::size_t i) {
        ++made;
        if (i == 10) throw std::runtime_error("ten");
        return i;
    };
    CHECK_THROWS_WITH(in_order(1000, 4, make, [&](std::size_t, std::size_t) { ++taken; }, kNoTick), "ten");
    CHECK(taken <= 10);
    CHECK(made < 30);
}

TEST_CASE("what the taker or the tick throws stops the rest and is thrown again") {
    std::atomic<std::size_t> made{0};
    const auto make = [&](std::size_t i) { return ++made, i; };
    const auto take = [](std::size_t i, std::size_t) {
        if (i == 5) throw std::runtime_error("five");
    };
    CHECK_THROWS_WITH(in_order(1000, 4, make, take, kNoTick), "five");
    CHECK(made < 30);
    const auto slow = [](std::size_t i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
        return i;
    };
    CHECK_THROWS_WITH(in_order(1000, 2, slow, [](std::size_t, std::size_t) {}, [] { throw std::runtime_error("tick"); }), "tick");
}

TEST_CASE("the tick comes while a single result takes long") {
    std::size_t ticks = 0;
    const auto slow = [](std::size_t) {
        std::this_thread::sleep_for(std::chrono::milliseconds(350));
        return 0;
    };
    in_order(1, 1, slow, [](std::size_t, int) {}, [&] { ++ticks; });
    CHECK(ticks >= 2);
}
