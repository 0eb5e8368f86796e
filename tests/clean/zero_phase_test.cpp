#include "tracehold/clean/zero_phase.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "support/shaped_noise.hpp"
#include "tracehold/core/side_by_side.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

std::vector<FilterSection> band(double rate_hz) {
    const Hertz fs{rate_hz};
    auto s = butterworth_high_pass(4, high_pass_corner_for_two_passes(4, Hertz{20.0}, fs), fs);
    const auto low = butterworth_low_pass(4, low_pass_corner_for_two_passes(4, Hertz{450.0}, fs), fs);
    s.insert(s.end(), low.begin(), low.end());
    return s;
}

// The slow twin: the recurrence as it is written in the header, the whole run at once, both ends extended.
std::vector<double> one_pass(const std::vector<FilterSection>& sections, std::vector<double> x) {
    for (const FilterSection& s : sections) {
        const double g = (s.b0 + s.b1 + s.b2) / (1.0 + s.a1 + s.a2);
        double x1 = x.front(), x2 = x.front(), y1 = g * x.front(), y2 = g * x.front();
        for (double& v : x) {
            const double y = s.b0 * v + s.b1 * x1 + s.b2 * x2 - s.a1 * y1 - s.a2 * y2;
            x2 = x1;
            x1 = v;
            y2 = y1;
            y1 = y;
            v = y;
        }
    }
    return x;
}

std::vector<double> slow_zero_phase(const std::vector<FilterSection>& sections, const std::vector<float>& run) {
    const std::size_t pad = std::min(settling_samples(sections), run.size() - 1);
    std::vector<double> x;
    for (std::size_t i = pad; i > 0; --i) x.push_back(2.0 * run.front() - run[i]);
    x.insert(x.end(), run.begin(), run.end());
    for (std::size_t i = 1; i <= pad; ++i) x.push_back(2.0 * run.back() - run[run.size() - 1 - i]);
    x = one_pass(sections, x);
    std::reverse(x.begin(), x.end());
    x = one_pass(sections, x);
    std::reverse(x.begin(), x.end());
    return {x.begin() + static_cast<std::ptrdiff_t>(pad), x.begin() + static_cast<std::ptrdiff_t>(pad + run.size())};
}

double largest_difference(const std::vector<float>& a, const std::vector<double>& b) {
    double most = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) most = std::max(most, std::abs(a[i] - b[i]));
    return most;
}

}  // namespace

TEST_CASE("piece by piece equals the whole run at once") {
    // Four pieces of up to 16384 samples go side by side, and what is short behind them joins the last four; single
    // precision of the output is all that may differ.
    for (const std::size_t size : {2, 3, 10, 500, 5000, 65536, 65537, 65536 + 1000, 65536 + 1500, 2 * 65536 + 3000, 700000}) {
        const auto noise = white_noise(size, size);
        auto fast = noise;
        run_zero_phase(band(1000.0), fast);
        CHECK(largest_difference(fast, slow_zero_phase(band(1000.0), noise)) < 1e-6);
        for (const std::size_t helping : {1U, 4U}) {
            const Helpers helpers(helping);
            auto helped = noise;
            run_zero_phase(band(1000.0), helped);
            CHECK(helped == fast);
        }
    }
}

TEST_CASE("time backwards gives the result backwards") {
    auto forward = muscle_noise(8000, 2000.0, 5, 10.0);
    auto backward = forward;
    std::reverse(backward.begin(), backward.end());
    run_zero_phase(band(2000.0), forward);
    run_zero_phase(band(2000.0), backward);
    std::reverse(backward.begin(), backward.end());
    for (std::size_t i = 600; i + 600 < forward.size(); ++i) CHECK(std::abs(forward[i] - backward[i]) < 1e-4);
}

TEST_CASE("a sine in the band keeps its phase and its size by the response squared") {
    const double rate = 2000.0;
    for (const double hz : {30.0, 100.0, 400.0}) {
        std::vector<float> sine(6000);
        for (std::size_t i = 0; i < sine.size(); ++i) {
            sine[i] = static_cast<float>(10.0 * std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / rate));
        }
        auto out = sine;
        run_zero_phase(band(rate), out);
        const double gain = std::norm(response(band(rate), Hertz{hz}, Hertz{rate}));
        for (std::size_t i = 1000; i < 5000; ++i) CHECK(std::abs(out[i] - gain * sine[i]) < 1e-4);
    }
}

TEST_CASE("a low-pass leaves a constant and a ramp as they are up to the ends") {
    const auto low = butterworth_low_pass(4, Hertz{6.0}, Hertz{1000.0});
    std::vector<float> ramp(5000);
    for (std::size_t i = 0; i < ramp.size(); ++i) ramp[i] = 3.0F + 0.01F * static_cast<float>(i);
    auto out = ramp;
    run_zero_phase(low, out);
    for (std::size_t i = 0; i < ramp.size(); ++i) CHECK(std::abs(out[i] - ramp[i]) < 2e-2);
    std::vector<float> constant(300, 7.0F);
    run_zero_phase(low, constant);
    for (const float v : constant) CHECK(v == doctest::Approx(7.0).epsilon(1e-6));
}

TEST_CASE("doubling the input doubles the output to the last digit") {
    auto once = muscle_noise(4000, 2000.0, 9, 10.0);
    auto twice = once;
    for (float& v : twice) v *= 2.0F;
    run_zero_phase(band(2000.0), once);
    run_zero_phase(band(2000.0), twice);
    for (std::size_t i = 0; i < once.size(); ++i) CHECK(twice[i] == 2.0F * once[i]);
}

TEST_CASE("nothing and one sample are left alone") {
    std::vector<float> none, one{5.0F};
    run_zero_phase(band(1000.0), none);
    run_zero_phase(band(1000.0), one);
    CHECK(none.empty());
    CHECK(one[0] == 5.0F);
}

TEST_CASE("settling follows the slowest pole") {
    // y[i] = r y[i-1] + ... falls to 1e-3 after log(1e-3) / log(r) samples: 66 for r = 0.9.
    const std::vector<FilterSection> first{{0.1, 0.0, 0.0, -0.9, 0.0}};
    CHECK(settling_samples(first) == 66);
    // The response of the band-pass to an impulse is below a thousandth of its peak after twice the settling.
    const auto s = band(2000.0);
    const std::size_t settled = settling_samples(s);
    std::vector<double> impulse(6 * settled, 0.0);
    impulse[1] = 1.0;
    const auto answer = one_pass(s, impulse);
    const double peak = *std::max_element(answer.begin(), answer.end());
    for (std::size_t i = 2 * settled; i < answer.size(); ++i) CHECK(std::abs(answer[i]) < 1e-3 * peak);
}

TEST_CASE("valid runs are the stretches between masked samples") {
    const float gap = std::nanf("");
    CHECK(valid_runs(std::vector<float>{}).empty());
    CHECK(valid_runs(std::vector<float>{gap, gap}).empty());
    CHECK(valid_runs(std::vector<float>{1, 2, gap, 3, gap}) == std::vector<SampleRange>{{0, 2}, {3, 4}});
    CHECK(valid_runs(std::vector<float>{gap, 1, 2}) == std::vector<SampleRange>{{1, 3}});
}
