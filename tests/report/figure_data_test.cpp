#include "tracehold/report/figure_data.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

using namespace tracehold;

namespace {

const float kNan = std::numeric_limits<float>::quiet_NaN();

// The slow twin: for each value, every sample whose time lies in its stretch.
float slow_peak(const std::vector<float>& samples, double begin_s, double end_s, double rate_hz) {
    float peak = kNan;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const double t = static_cast<double>(i) / rate_hz;
        if (t > begin_s - 1e-9 && t < end_s - 1e-9 && !std::isnan(samples[i])) peak = std::fmax(peak, samples[i]);
    }
    return peak;
}

}  // namespace

TEST_CASE("a single sample of a million is not lost") {
    std::vector<float> samples(1'000'000, 1.0f);
    samples[654'321] = 50.0f;
    const PeakTrace peaks = keep_peaks(samples, Hertz{2000.0}, 500);
    REQUIRE_EQ(peaks.y.size(), 500);
    CHECK_EQ(*std::max_element(peaks.y.begin(), peaks.y.end()), 50.0f);
    const auto at = static_cast<double>(std::max_element(peaks.y.begin(), peaks.y.end()) - peaks.y.begin());
    CHECK_LE(at * peaks.step_s, 654'321 / 2000.0);
    CHECK_GT((at + 1) * peaks.step_s, 654'321 / 2000.0);
}

TEST_CASE("every value is the largest of its own stretch") {
    std::vector<float> samples;
    for (int i = 0; i < 997; ++i) samples.push_back(static_cast<float>((i * 7919) % 1009));
    for (const std::size_t most : {1u, 2u, 10u, 333u, 996u, 997u, 5000u}) {
        CAPTURE(most);
        const PeakTrace peaks = keep_peaks(samples, Hertz{100.0}, most);
        CHECK_LE(peaks.y.size(), most);
        for (std::size_t i = 0; i < peaks.y.size(); ++i) {
            const double begin_s = static_cast<double>(i) * peaks.step_s;
            REQUIRE_EQ(peaks.y[i], slow_peak(samples, begin_s, begin_s + peaks.step_s, 100.0));
        }
    }
}

TEST_CASE("few samples stay as they are") {
    const std::vector<float> samples = {1.0f, 3.0f, 2.0f};
    const PeakTrace peaks = keep_peaks(samples, Hertz{10.0}, 100);
    CHECK_EQ(peaks.y, samples);
    CHECK_EQ(peaks.step_s, doctest::Approx(0.1));
}

TEST_CASE("a masked stretch stays masked and masked samples beside valid ones do not count") {
    const std::vector<float> samples = {kNan, kNan, kNan, 2.0f, 1.0f, kNan};
    const PeakTrace peaks = keep_peaks(samples, Hertz{10.0}, 3);
    REQUIRE_EQ(peaks.y.size(), 3);
    CHECK(std::isnan(peaks.y[0]));
    CHECK_EQ(peaks.y[1], 2.0f);
    CHECK_EQ(peaks.y[2], 1.0f);
}

TEST_CASE("no samples give no values") { CHECK(keep_peaks({}, Hertz{10.0}, 3).y.empty()); }

TEST_CASE("peaks scale with the trace") {
    std::vector<float> samples, doubled;
    for (int i = 0; i < 100; ++i) samples.push_back(static_cast<float>((i * 37) % 41));
    for (const float value : samples) doubled.push_back(2.0f * value);
    const PeakTrace once = keep_peaks(samples, Hertz{50.0}, 7), twice = keep_peaks(doubled, Hertz{50.0}, 7);
    for (std::size_t i = 0; i < once.y.size(); ++i) CHECK_EQ(twice.y[i], 2.0f * once.y[i]);
}
