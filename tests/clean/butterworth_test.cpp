#include "tracehold/clean/butterworth.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>

#include "tracehold/core/error.hpp"

using namespace tracehold;
using doctest::Approx;

namespace {

double decibels(std::complex<double> gain) { return 20.0 * std::log10(std::abs(gain)); }

// Coefficients of prod (s - pole), highest power first.
std::vector<double> polynomial(const std::vector<std::complex<double>>& roots) {
    std::vector<std::complex<double>> c{1.0};
    for (const auto& root : roots) {
        c.push_back(0.0);
        for (std::size_t i = c.size() - 1; i > 0; --i) c[i] -= root * c[i - 1];
    }
    std::vector<double> out;
    for (const auto& v : c) {
        CHECK(std::abs(v.imag()) < 1e-12);
        out.push_back(v.real());
    }
    return out;
}

}  // namespace

TEST_CASE("the poles of order 4 make the polynomial of the tables") {
    // Pole tables (Winder 1998); coefficients computed.
    const std::vector<double> expected{1.0, 2.6131259, 3.4142136, 2.6131259, 1.0};
    const auto found = polynomial(butterworth_poles(4));
    REQUIRE(found.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) CHECK(found[i] == Approx(expected[i]).epsilon(1e-7));
}

TEST_CASE("poles of any order lie on the left half of the unit circle") {
    for (int order = 1; order <= 12; ++order) {
        const auto poles = butterworth_poles(order);
        CHECK(poles.size() == static_cast<std::size_t>(order));
        for (const auto& p : poles) {
            CHECK(std::abs(p) == Approx(1.0).epsilon(1e-14));
            CHECK(p.real() < 0.0);
        }
    }
}

TEST_CASE("a second-order low-pass at a tenth of the rate has the coefficients of the worked example") {
    // Worked example in Winter, Biomechanics and Motor Control of Human Movement (from memory), recomputed.
    const auto s = butterworth_low_pass(2, Hertz{100.0}, Hertz{1000.0});
    REQUIRE(s.size() == 1);
    CHECK(std::abs(s[0].b0 - 0.0674553) < 1e-6);
    CHECK(std::abs(s[0].b1 - 0.1349105) < 1e-6);
    CHECK(std::abs(s[0].b2 - 0.0674553) < 1e-6);
    CHECK(std::abs(s[0].a1 + 1.1429805) < 1e-6);
    CHECK(std::abs(s[0].a2 - 0.4128016) < 1e-6);
}

TEST_CASE("at the corner one pass has half the power and two uncorrected passes a quarter") {
    // By definition: -3.0103 and -6.0206 dB.
    for (const int order : {1, 2, 3, 4, 7}) {
        const auto low = butterworth_low_pass(order, Hertz{450.0}, Hertz{2000.0});
        const auto high = butterworth_high_pass(order, Hertz{20.0}, Hertz{2000.0});
        CHECK(std::abs(decibels(response(low, Hertz{450.0}, Hertz{2000.0})) + 3.0103) < 1e-3);
        CHECK(std::abs(2 * decibels(response(low, Hertz{450.0}, Hertz{2000.0})) + 6.0206) < 1e-3);
        CHECK(std::abs(decibels(response(high, Hertz{20.0}, Hertz{2000.0})) + 3.0103) < 1e-3);
    }
}

TEST_CASE("gain is 1 in the middle of the pass band and 0 at the far end") {
    const auto low = butterworth_low_pass(4, Hertz{450.0}, Hertz{2000.0});
    const auto high = butterworth_high_pass(4, Hertz{20.0}, Hertz{2000.0});
    CHECK(std::abs(response(low, Hertz{0.0}, Hertz{2000.0})) == Approx(1.0).epsilon(1e-12));
    CHECK(std::abs(response(low, Hertz{1000.0}, Hertz{2000.0})) < 1e-12);
    CHECK(std::abs(response(high, Hertz{1000.0}, Hertz{2000.0})) == Approx(1.0).epsilon(1e-12));
    CHECK(std::abs(response(high, Hertz{0.0}, Hertz{2000.0})) < 1e-12);
}

TEST_CASE("the factor for two passes is that of the formula") {
    // Winter, 4th ed. (n = 2), recomputed; n = 4 by the same formula.
    CHECK(std::abs(pass_factor(2, 2) - 0.8022433) < 1e-6);
    CHECK(std::abs(pass_factor(4, 2) - 0.8956803) < 1e-6);
    CHECK(pass_factor(4, 1) == Approx(1.0).epsilon(1e-14));
}

TEST_CASE("without the correction two passes at 6 Hz have their half power at 4.81366 Hz") {
    // Winter, 4th ed. formula, recomputed, 1 kHz. Found here by bisection on the response of two passes.
    const auto s = butterworth_low_pass(2, Hertz{6.0}, Hertz{1000.0});
    double below = 1.0, above = 6.0;
    while (above - below > 1e-9) {
        const double middle = (below + above) / 2;
        (2 * decibels(response(s, Hertz{middle}, Hertz{1000.0})) > -3.01029995664 ? below : above) = middle;
    }
    CHECK(std::abs(below - 4.81366) < 1e-4);
}

TEST_CASE("with the correction the stated corner is the half power point of the double pass") {
    for (const double rate : {1000.0, 2000.0, 4000.0, 1926.0}) {
        const Hertz fs{rate}, high{20.0}, low{450.0};
        const auto hp = butterworth_high_pass(4, high_pass_corner_for_two_passes(4, high, fs), fs);
        const auto lp = butterworth_low_pass(4, low_pass_corner_for_two_passes(4, low, fs), fs);
        CHECK(std::abs(2 * decibels(response(hp, high, fs)) + 3.0103) < 1e-4);
        CHECK(std::abs(2 * decibels(response(lp, low, fs)) + 3.0103) < 1e-4);
    }
}

TEST_CASE("impossible designs are refused with what was seen and expected") {
    CHECK_THROWS_WITH_AS(butterworth_low_pass(0, Hertz{10.0}, Hertz{100.0}),
                         "filter order: order out of range: saw 0, expected 1 to 12", Error);
    CHECK_THROWS_AS(butterworth_low_pass(4, Hertz{50.0}, Hertz{100.0}), Error);
    CHECK_THROWS_AS(butterworth_high_pass(4, Hertz{0.0}, Hertz{100.0}), Error);
    CHECK_THROWS_AS(butterworth_high_pass(4, Hertz{std::nan("")}, Hertz{100.0}), Error);
    CHECK_THROWS_AS(low_pass_corner_for_two_passes(4, Hertz{60.0}, Hertz{100.0}), Error);
}
