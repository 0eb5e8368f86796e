#include "clean/block_transform.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "clean/line_blocks.hpp"
#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

using Complex = std::complex<double>;

// The slow twin: the definition.
Complex slow_bin(std::span<const float> block, std::size_t k) {
    Complex sum;
    for (std::size_t i = 0; i < block.size(); ++i) {
        const double turns = static_cast<double>(k * i % block.size()) / static_cast<double>(block.size());
        sum += static_cast<double>(block[i]) * std::polar(1.0, -2.0 * std::numbers::pi * turns);
    }
    return sum;
}

struct Case {
    std::vector<std::vector<float>> blocks;
    BlockTransform transform;
};

Case transformed(std::size_t length, std::size_t blocks) {
    Case c{{}, BlockTransform(length)};
    c.transform.make_room(blocks);
    for (std::size_t b = 0; b < blocks; ++b) {
        c.blocks.push_back(white_noise(length, 100 * length + b));
        double* place = c.transform.first(b);
        for (const float v : c.blocks.back()) {
            *place = static_cast<double>(v);
            place += c.transform.stride();
        }
    }
    c.transform.run();
    return c;
}

}  // namespace

TEST_CASE("blocks transformed side by side are what the definition gives for each alone") {
    // Every factor by itself and together; 7, 11 and 13 go the general way.
    for (const std::size_t length : {1, 2, 3, 4, 5, 6, 7, 8, 9, 16, 25, 30, 49, 77, 125, 143, 250}) {
        for (const std::size_t blocks : {1, 2, 3, 8}) {
            const Case c = transformed(length, blocks);
            for (std::size_t b = 0; b < blocks; ++b) {
                for (std::size_t k = 0; k <= length / 2; ++k) {
                    CAPTURE(length);
                    CHECK(std::abs(c.transform.bin(b, k) - slow_bin(c.blocks[b], k)) < 1e-12 * static_cast<double>(length));
                }
            }
        }
    }
}

TEST_CASE("powers of all blocks together are the sum of the squares of their bins") {
    for (const std::size_t blocks : {1, 5, 8}) {
        const Case c = transformed(60, blocks);
        std::vector<double> power(31, 1.0);
        c.transform.add_powers(power);
        for (std::size_t k = 0; k < power.size(); ++k) {
            double expected = 1.0;
            for (std::size_t b = 0; b < blocks; ++b) expected += std::norm(c.transform.bin(b, k));
            CHECK(power[k] == doctest::Approx(expected).epsilon(1e-12));
        }
    }
}

TEST_CASE("a room that is used again forgets what was in it") {
    BlockTransform transform(8);
    for (const std::size_t blocks : {8, 3, 1}) {
        transform.make_room(blocks);
        for (std::size_t b = 0; b < blocks; ++b)
            for (std::size_t i = 0; i < 8; ++i) transform.first(b)[i * transform.stride()] = 1.0;
        transform.run();
        std::vector<double> power(5);
        transform.add_powers(power);
        CHECK(power[0] == doctest::Approx(64.0 * static_cast<double>(blocks)));
        for (std::size_t k = 1; k < power.size(); ++k) CHECK(power[k] < 1e-20);
    }
}

TEST_CASE("lines of two mains frequencies are looked up at once as each alone") {
    const auto uv = muscle_noise(9000, 1000.0, 3, 10.0);
    const auto both = line_blocks(uv, Hertz{1000.0}, kMains_hz, Hertz{450.0});
    REQUIRE(both.size() == 2);
    for (std::size_t i = 0; i < 2; ++i) {
        const auto alone = line_blocks(uv, Hertz{1000.0}, std::span(kMains_hz).subspan(i, 1), Hertz{450.0}).front();
        CHECK(both[i].blocks == alone.blocks);
        REQUIRE(both[i].bins.size() == alone.bins.size());
        for (std::size_t h = 0; h < alone.bins.size(); ++h) {
            REQUIRE(both[i].bins[h].size() == alone.blocks);
            for (std::size_t b = 0; b < alone.blocks; ++b) {
                CHECK(both[i].bins[h][b].bin == alone.bins[h][b].bin);
                CHECK(both[i].bins[h][b].noise == alone.bins[h][b].noise);
            }
        }
    }
}
