#include "simulate/muscle_noise.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <numbers>

#include "simulate/plain_math.hpp"
#include "simulate/spectrum_of.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

double density_of_filter(const std::vector<double>& taps, double f_hz, double rate_hz) {
    std::complex<double> sum = 0;
    for (std::size_t n = 0; n < taps.size(); ++n) {
        sum += taps[n] * std::polar(1.0, -2 * std::numbers::pi * f_hz / rate_hz * static_cast<double>(n));
    }
    return std::norm(sum) * 2 / rate_hz;
}

}  // namespace

TEST_CASE("the spectrum has the power and the middles of its closed form") {
    // Form: Shwedyk et al. 1977, Stulen & De Luca 1981; the integral pi fh^3 / (4 (fl + fh)^2) and the middles were
    // computed from it.
    const EmgSpectrum spectrum{60, 120};
    CHECK(spectrum.power(0, 500) + spectrum.power(500, 4000) + spectrum.power(4000, 400000) ==
          doctest::Approx(41.887902).epsilon(1e-6));
    const double half = spectrum.power(20, 450) / 2;
    CHECK(spectrum.power(20, 95.674) == doctest::Approx(half).epsilon(1e-4));
}

TEST_CASE("the filter has the spectrum's shape within half a percent and power 1 in the band") {
    for (const double rate_hz : {1000.0, 2000.0, 4000.0, 10000.0}) {
        const EmgSpectrum spectrum{60, 120};
        const auto taps = emg_filter(spectrum, rate_hz);
        const double whole = spectrum.power(20, 450);
        double worst = 0;
        for (double f = 20; f <= 450; f += 5) {
            const double wanted = spectrum.density(f) / whole;
            worst = std::max(worst, std::abs(density_of_filter(taps, f, rate_hz) / wanted - 1));
        }
        CAPTURE(rate_hz);
        CHECK(worst < 0.005);
    }
}

TEST_CASE("the filter keeps its shape for the narrowest spectrum it accepts") {
    const EmgSpectrum narrow{15, 40};
    const auto taps = emg_filter(narrow, 2000);
    const double whole = narrow.power(20, 450);
    for (const double f : {20.0, 30.0, 60.0, 120.0, 200.0}) {
        CHECK(density_of_filter(taps, f, 2000) == doctest::Approx(narrow.density(f) / whole).epsilon(0.01));
    }
}

TEST_CASE("the filter has the median and mean frequency of the closed form") {
    for (const double rate_hz : {1000.0, 2000.0, 4000.0}) {
        const auto taps = emg_filter({60, 120}, rate_hz);
        std::vector<double> density;
        for (int f = 0; f <= 460; ++f) density.push_back(density_of_filter(taps, f, rate_hz));
        const Middles found = middles_of(density, 20, 450);
        // Values computed from the form of Shwedyk et al. 1977.
        CHECK(found.median_hz == doctest::Approx(95.674).epsilon(0.002));
        CHECK(found.mean_hz == doctest::Approx(115.486).epsilon(0.002));
        CHECK(found.power == doctest::Approx(1.0).epsilon(0.002));
    }
}

TEST_CASE("simulated noise has the median and mean frequency of its closed form and RMS 1 in the band") {
    const auto noise = emg_noise(RandomStream(5, Purpose::muscle_noise), {60, 120}, Hertz{2000}, 2000 * 120);
    const Middles found = middles_of(spectrum_of(noise, 2000, 460), 20, 450);
    // Values computed from the form of Shwedyk et al. 1977. Bounds: 3 to 4 standard errors of 120 s of noise
    // (0.7 % of the median, 0.5 % of the RMS); the filter's own test is exact.
    CHECK(found.median_hz == doctest::Approx(95.674).epsilon(0.022));
    CHECK(found.mean_hz == doctest::Approx(115.486).epsilon(0.015));
    CHECK(std::sqrt(found.power) == doctest::Approx(1.0).epsilon(0.015));
}

TEST_CASE("a scale moves median and mean frequency in proportion") {
    // Bounds: twice those of 120 s.
    const auto narrowed = [](double) { return 0.8; };
    const auto noise = emg_noise(RandomStream(6, Purpose::muscle_noise), {60, 120}, Hertz{2000}, 2000 * 60, narrowed);
    const EmgSpectrum wanted{48, 96};
    std::vector<double> density;
    for (int f = 0; f <= 460; ++f) density.push_back(wanted.density(f));
    const Middles found = middles_of(spectrum_of(noise, 2000, 460), 20, 450), closed = middles_of(density, 20, 450);
    CHECK(found.median_hz == doctest::Approx(closed.median_hz).epsilon(0.031));
    CHECK(found.mean_hz == doctest::Approx(closed.mean_hz).epsilon(0.02));
    CHECK(std::sqrt(found.power) == doctest::Approx(1.0).epsilon(0.02));
}

TEST_CASE("a spectrum that changes with time is the old one before and the new one after") {
    const auto scale = [](double time_s) { return time_s < 30 ? 1.0 : 0.7; };
    const auto noise = emg_noise(RandomStream(7, Purpose::muscle_noise), {60, 120}, Hertz{1000}, 60000, scale);
    const std::vector<double> before(noise.begin(), noise.begin() + 30000), after(noise.begin() + 31000, noise.end());
    const double first = middles_of(spectrum_of(before, 1000, 460), 20, 450).median_hz;
    const double second = middles_of(spectrum_of(after, 1000, 460), 20, 450).median_hz;
    CHECK(first == doctest::Approx(95.674).epsilon(0.02));
    CHECK(second < 0.78 * first);
}

TEST_CASE("white noise has RMS 1 in the band at any rate") {
    for (const int rate : {1000, 2000}) {
        const auto noise = white_noise(RandomStream(8, Purpose::floor_noise), Hertz{1.0 * rate}, rate * 60);
        CHECK(std::sqrt(middles_of(spectrum_of(noise, rate, 460), 20, 450).power) ==
              doctest::Approx(1.0).epsilon(0.01));
    }
}

TEST_CASE("no sample and one sample of noise are made") {
    CHECK(emg_noise(RandomStream(1, Purpose::muscle_noise), {}, Hertz{2000}, 0).empty());
    CHECK(emg_noise(RandomStream(1, Purpose::muscle_noise), {}, Hertz{2000}, 1).size() == 1);
}

TEST_CASE("plain functions agree with the C library") {
    for (double x = -30; x <= 30; x += 0.37) {
        CHECK(plain::exp(x) == doctest::Approx(std::exp(x)).epsilon(1e-13));
        CHECK(std::abs(plain::sin_turns(x) - std::sin(2 * std::numbers::pi * x)) < 1e-12);
        CHECK(std::abs(plain::cos_turns(x) - std::cos(2 * std::numbers::pi * x)) < 1e-12);
        CHECK(std::abs(plain::log(std::exp(x)) - x) < 1e-13 * std::max(1.0, std::abs(x)));
    }
    for (const double x : {1e-300, 0.7071, 0.7072, 1.0, 1.4142, 1.4143, 1e300}) {
        CHECK(plain::log(x) == doctest::Approx(std::log(x)).epsilon(1e-14));
    }
}

TEST_CASE("normal numbers have mean 0 and variance 1 and the right tails") {
    RandomStream stream(9, Purpose::effort, 3);
    constexpr int kCount = 200000;
    double sum = 0, squares = 0, fourth = 0;
    int beyond_two = 0;
    for (int i = 0; i < kCount; ++i) {
        const double x = stream.normal();
        sum += x;
        squares += x * x;
        fourth += x * x * x * x;
        beyond_two += std::abs(x) > 2 ? 1 : 0;
    }
    // Bounds: five standard errors of each.
    CHECK(std::abs(sum / kCount) < 5 / std::sqrt(kCount));
    CHECK(std::abs(squares / kCount - 1) < 5 * std::sqrt(2.0 / kCount));
    CHECK(std::abs(fourth / kCount - 3) < 5 * std::sqrt(96.0 / kCount));
    CHECK(std::abs(beyond_two / double{kCount} - 0.0455003) < 5 * std::sqrt(0.0455 * 0.9545 / kCount));
}

TEST_CASE("streams of different seed or purpose or number have nothing in common") {
    const auto first = [](std::uint64_t seed, Purpose purpose, std::uint32_t number) {
        return RandomStream(seed, purpose, number).uniform();
    };
    const double base = first(1, Purpose::effort, 1);
    CHECK(base == first(1, Purpose::effort, 1));
    CHECK(base != first(2, Purpose::effort, 1));
    CHECK(base != first(1, Purpose::fault, 1));
    CHECK(base != first(1, Purpose::effort, 2));
}
