// The lapped transform: orthonormal, complete, fair to reversed traces.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "cycles/mdct.hpp"
#include "support/onset_cells.hpp"

namespace tracehold::testing {
namespace {

// The transform by its definition (MDCT: Princen, Johnson & Bradley 1987, from memory): for each sample of a block of two hops
// the windowed cosines of all bins, or the sines a quarter period on.
struct LappedBasis {
    std::size_t hop = 0;
    std::vector<double> cosine, sine;  // [2 * hop][hop]

    explicit LappedBasis(std::size_t of_hop) : hop(of_hop) {
        const double m = static_cast<double>(hop);
        for (std::size_t n = 0; n < 2 * hop; ++n) {
            const double at = static_cast<double>(n) + 0.5, window = std::sqrt(2.0 / m) * std::sin(std::numbers::pi * at / (2.0 * m));
            for (std::size_t k = 0; k < hop; ++k) {
                const double phase = std::numbers::pi / m * (at + m / 2.0) * (static_cast<double>(k) + 0.5);
                cosine.push_back(window * std::cos(phase));
                sine.push_back(window * std::sin(phase));
            }
        }
    }
};

template <class Sample>
std::vector<double> analyse(const LappedBasis& basis, const std::vector<double>& waves, const std::vector<Sample>& x, std::size_t block) {
    std::vector<double> c(basis.hop, 0.0);
    for (std::size_t n = 0; n < 2 * basis.hop; ++n)
        for (std::size_t k = 0; k < basis.hop; ++k) c[k] += static_cast<double>(x[(block - 1) * basis.hop + n]) * waves[n * basis.hop + k];
    return c;
}

std::vector<double> some_signal(std::size_t size) {
    std::vector<double> x(size);
    for (std::size_t i = 0; i < size; ++i)
        x[i] = std::sin(0.7 * static_cast<double>(i * i % 97)) + 0.1 * static_cast<double>(i % 5);
    return x;
}

std::vector<float> sine(double hz, double rate, double seconds, double amplitude) {
    std::vector<float> x(static_cast<std::size_t>(seconds * rate));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = static_cast<float>(amplitude * std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate));
    return x;
}

TEST_CASE("the transform of all bins gives the trace back and keeps its energy") {
    for (const std::size_t hop : {5UL, 10UL, 20UL}) {
        const LappedBasis basis(hop);
        std::vector<double> x = some_signal(40 * hop);
        for (std::size_t i = 0; i < hop; ++i) x[i] = x[x.size() - 1 - i] = 0.0;  // no block reaches beyond the ends
        std::vector<double> back(x.size(), 0.0);
        double before = 0.0, after = 0.0;
        for (const double v : x) before += v * v;
        for (std::size_t block = 1; (block + 1) * hop <= x.size(); ++block) {
            const std::vector<double> c = analyse(basis, basis.cosine, x, block);
            for (std::size_t k = 0; k < hop; ++k) after += c[k] * c[k];
            for (std::size_t n = 0; n < 2 * hop; ++n)
                for (std::size_t k = 0; k < hop; ++k) back[(block - 1) * hop + n] += c[k] * basis.cosine[n * hop + k];
        }
        CHECK(after == doctest::Approx(before).epsilon(1e-12));
        for (std::size_t i = 0; i < x.size(); ++i) CHECK(back[i] == doctest::Approx(x[i]).epsilon(1e-9));
    }
}

TEST_CASE("energies are those of the transform by its definition, of cosines and sines") {
    for (const std::size_t hop : {5UL, 10UL, 20UL, 40UL}) {
        const LappedBasis basis(hop);
        const std::vector<double> signal = some_signal(12 * hop);
        const std::vector<float> x(signal.begin(), signal.end());
        for (const std::size_t first : {0UL, 1UL, 2UL}) {
            for (std::size_t last = first; last < hop; ++last) {  // bins of 50 Hz, the first one around 25 Hz
                const double low_hz = 50.0 * static_cast<double>(first) + 20.0, high_hz = 50.0 * static_cast<double>(last) + 30.0;
                const BlockEnergies e = block_energies(x, Hertz{100.0 * static_cast<double>(hop)}, low_hz, high_hz);
                REQUIRE(e.size() == 13);
                REQUIRE(e.bins == last - first + 1);
                for (std::size_t block = 1; block < 12; ++block) {
                    const std::vector<double> c = analyse(basis, basis.cosine, x, block), s = analyse(basis, basis.sine, x, block);
                    for (std::size_t k = 0; k < e.bins; ++k) {
                        const double cosine = c[first + k], sine = s[first + k];
                        CHECK(static_cast<double>(e.at(block)[k]) == doctest::Approx(0.5 * (cosine * cosine + sine * sine)).epsilon(1e-6));
                    }
                }
            }
        }
    }
}

TEST_CASE("energies at 2 kHz stand in nine bins of 50 Hz from 25 to 425 Hz") {
    const BlockEnergies e = block_energies(sine(175.0, 2000.0, 1.0, 10.0), Hertz{2000.0}, 20.0, 450.0);
    REQUIRE(e.bins == 9);
    CHECK(e.hop_s == doctest::Approx(0.01));
    // A sine in the middle of bin 3 has the power 50 uV^2, that is 50 * 20 samples a hop, nearly all of it in that bin
    // and the next.
    double total = 0.0;
    for (const float v : e.at(50)) total += static_cast<double>(v);
    CHECK(total == doctest::Approx(1000.0).epsilon(0.02));
    CHECK(static_cast<double>(e.at(50)[3]) > 0.7 * total);
}

TEST_CASE("the energies of a steady sine do not flutter with its phase") {
    const BlockEnergies e = block_energies(sine(163.0, 2000.0, 1.0, 10.0), Hertz{2000.0}, 20.0, 450.0);
    for (std::size_t b = 2; b + 2 < e.size(); ++b) {
        double total = 0.0;
        for (const float v : e.at(b)) total += static_cast<double>(v);
        CHECK(total == doctest::Approx(1000.0).epsilon(0.05));
    }
}

TEST_CASE("a reversed trace has the same blocks in opposite order") {
    OnsetCell cell;
    std::vector<float> uv = make_onset_session(cell, 1, 5).clean.uv;
    uv.resize(uv.size() / 20 * 20);
    const BlockEnergies forward = block_energies(uv, Hertz{2000.0}, 20.0, 450.0);
    const BlockEnergies turned = block_energies(std::vector<float>(uv.rbegin(), uv.rend()), Hertz{2000.0}, 20.0, 450.0);
    const OrderedBlocks backward(turned, Order::backward);
    REQUIRE(forward.size() == turned.size());
    for (std::size_t b = 0; b < forward.size(); ++b) {
        CHECK(backward.is_valid(b) == (forward.valid[b] != 0));
        CHECK(backward.at(b)[b % backward.bins] == doctest::Approx(static_cast<double>(forward.at(b)[b % forward.bins])).epsilon(1e-4));
    }
}

TEST_CASE("blocks that touch a masked sample or leave the trace are not valid") {
    std::vector<float> uv(400, 1.0F);
    uv[200] = std::numeric_limits<float>::quiet_NaN();
    const BlockEnergies e = block_energies(uv, Hertz{2000.0}, 20.0, 450.0);
    REQUIRE(e.size() == 21);
    for (std::size_t b = 0; b < e.size(); ++b)
        CHECK(static_cast<bool>(e.valid[b]) == (b != 0 && b != 20 && b != 10 && b != 11));
}

TEST_CASE("lower rates keep the bins that fit and very low ones none") {
    const std::vector<float> uv(2000, 0.0F);
    CHECK(block_energies(uv, Hertz{4000.0}, 20.0, 450.0).bins == 9);
    CHECK(block_energies(uv, Hertz{1000.0}, 20.0, 450.0).bins == 9);
    CHECK(block_energies(uv, Hertz{500.0}, 20.0, 225.0).bins == 5);
    CHECK(block_energies(uv, Hertz{40.0}, 20.0, 18.0).bins == 0);
    CHECK(block_energies({}, Hertz{2000.0}, 20.0, 450.0).size() == 1);
}

}  // namespace
}  // namespace tracehold::testing
