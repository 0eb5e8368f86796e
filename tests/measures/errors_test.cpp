// Are the standard errors right? 500 made sessions: noise of known spectrum, a rise and a fall, a moving RMS, and how
// often the value lies within 1.96 of its own errors of the truth. The truth of an amplitude is the mean envelope over
// many such sessions, in closed form: the root of the moving mean square of the true level, less its share 1 / (8 B W)
// (a root of an average reads low by an eighth of the average's variance 1 / (B W)).
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "measures/bandwidth.hpp"
#include "measures/emg_noise.hpp"
#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr double kRate = 1000.0;
constexpr double kLength_s = 28.0;
constexpr std::size_t kWindow = 101;
constexpr int kSessions = 500;

struct Course {
    double work_uv = 20.0;
    double rise_s = 0.3;
    double slope_per_s = 0.0;  // of the plateau
    double work_s = 8.0;
};

// Rest 2 µV from 0 to 10 s, contraction, rest.
double level_at(const Course& course, double t) {
    const double rise = std::clamp((t - 10.2) / course.rise_s, 0.0, 1.0);
    const double fall = 1.0 - std::clamp((t - 10.0 - course.work_s - 0.2) / 0.3, 0.0, 1.0);
    return 2.0 + (course.work_uv - 2.0) * std::min(rise, fall) * (1.0 + course.slope_per_s * (t - 11.0));
}

std::vector<double> levels(const Course& course) {
    std::vector<double> level;
    for (int i = 0; i < static_cast<int>(kLength_s * kRate); ++i) level.push_back(level_at(course, i / kRate));
    return level;
}

MadeSession frame(const Course& course) {
    MadeSession made;
    made.clean.rate = made.envelope.rate = Hertz{kRate};
    made.envelope.window = Seconds{kWindow / kRate};
    made.cycles.from = CueSource::marks;
    add_cycle(made, made_cycle(10, 10 + course.work_s, kLength_s));
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, course.work_s, 18 - course.work_s, 1}};
    made.with_plan = true;
    return made;
}

MadeSession simulated(const Course& course, const EmgNoise& shape, NormalStream& stream) {
    MadeSession made = frame(course);
    std::vector<double> x = unit_noise(shape, static_cast<std::size_t>(kLength_s * kRate), stream);
    const std::vector<double> level = levels(course);
    for (std::size_t i = 0; i < x.size(); ++i) x[i] *= level[i];
    made.clean.uv.assign(x.begin(), x.end());
    made.envelope.uv = rms_over(x, kWindow);
    return made;
}

// The same session with the expected envelope in place of a random one.
MadeSession expected(const Course& course, const EmgNoise& shape) {
    MadeSession made = frame(course);
    made.envelope.uv = rms_over(levels(course), kWindow);
    const double low = 1.0 - 1.0 / (8.0 * shape.bandwidth_hz() * kWindow / kRate);
    for (float& e : made.envelope.uv) e *= static_cast<float>(low);
    made.clean.uv.assign(made.envelope.uv.size(), 0.0f);
    return made;
}

struct Coverage {
    int covered = 0;
    double mean = 0.0, mean_square = 0.0, mean_error = 0.0;
    double sd() const { return std::sqrt(std::max(0.0, mean_square - mean * mean)); }
    double pct() const { return 100.0 * covered / kSessions; }
};

// truth: by key; a key without one is held against the mean of the simulated values.
std::map<std::string, Coverage> covered(const Course& course, const EmgNoise& shape, std::uint64_t seed,
                                        const std::vector<std::string>& keys,
                                        const std::map<std::string, double>& truth) {
    NormalStream stream(seed);
    std::map<std::string, std::vector<Estimate>> estimates;
    for (int session = 0; session < kSessions; ++session) {
        const auto values = measure_cycle(simulated(course, shape, stream).view());
        for (const std::string& key : keys) estimates[key].push_back(values[*measure_index(key)]);
    }
    std::map<std::string, Coverage> result;
    for (const std::string& key : keys) {
        Coverage& c = result[key];
        for (const Estimate& e : estimates[key]) {
            c.mean += *e.value / kSessions;
            c.mean_square += *e.value * *e.value / kSessions;
            c.mean_error += *e.error / kSessions;
        }
        const double true_value = truth.count(key) ? truth.at(key) : c.mean;
        for (const Estimate& e : estimates[key]) c.covered += std::abs(*e.value - true_value) <= 1.96 * *e.error;
        MESSAGE(key << ": covers " << c.pct() << " %, truth " << true_value << ", mean " << c.mean << ", SD " << c.sd()
                    << ", mean error " << c.mean_error);
    }
    return result;
}

}  // namespace

TEST_CASE("the bandwidth of a trace of known spectrum is found") {
    const EmgNoise shape;
    NormalStream stream(5);
    double mean = 0.0;
    for (int trial = 0; trial < 50; ++trial) {
        MadeSession made = simulated({}, shape, stream);
        mean += *bandwidth_hz(made.clean, made.envelope, {11, 18}) / 50;
    }
    CHECK(mean == doctest::Approx(shape.bandwidth_hz()).epsilon(0.03));
}

TEST_CASE("stated intervals of amplitudes cover the expected value 93 to 97 times in 100") {
    const std::vector<std::string> keys{"work_mean_uv", "hold_mean_uv", "rest_mean_uv", "lift_uv"};
    std::map<std::string, double> pooled;
    std::uint64_t seed = 100;
    for (const EmgNoise shape : {EmgNoise{}, EmgNoise{1000, 60, 0.9}}) {
        for (const Course course : {Course{}, Course{.work_uv = 6.0, .rise_s = 0.8, .work_s = 4.0}}) {
            const MadeSession truth = expected(course, shape);
            std::map<std::string, double> values;
            for (const auto& key : keys) values[key] = *truth.value(key).value;
            for (const auto& [key, c] : covered(course, shape, ++seed, keys, values)) {
                CAPTURE(key);
                CHECK(c.mean == doctest::Approx(values[key]).epsilon(0.003));
                CHECK(c.pct() >= 92.0);  // 500 sessions are uncertain by 1 %
                CHECK(c.pct() <= 98.0);
                pooled[key] += c.pct() / 4;
            }
        }
    }
    for (const auto& [key, pct] : pooled) {
        CAPTURE(key);
        CHECK(pct >= 93.5);
        CHECK(pct <= 96.5);
    }
}

TEST_CASE("stated errors of fade unsteadiness and spectrum are the spread over sessions") {
    const std::vector<std::string> keys{"fade_pct", "steadiness_cv_pct", "median_frequency_hz",
                                        "median_frequency_slope_pct_per_s"};
    const EmgNoise shape;
    for (const Course course : {Course{}, Course{.slope_per_s = -0.05}}) {
        const auto result = covered(course, shape, 300, keys, {});
        for (const auto& [key, c] : result) {
            CAPTURE(key);
            CHECK(c.mean_error == doctest::Approx(c.sd()).epsilon(0.12));
            CHECK(c.pct() >= 92.0);
            CHECK(c.pct() <= 98.0);
        }
        CHECK(result.at("median_frequency_hz").mean == doctest::Approx(shape.median_hz(20, 450)).epsilon(0.01));
        // An even contraction does not read 0: the randomness of the signal is left.
        CHECK(result.at("steadiness_cv_pct").mean ==
              doctest::Approx(100.0 / (2.0 * std::sqrt(shape.bandwidth_hz() * kWindow / kRate))).epsilon(0.05));
    }
}

TEST_CASE("the error of an exported envelope follows from its own scatter") {
    // The envelope of the same noise, kept at 20 Hz as a recorder might, with no trace behind it.
    const EmgNoise shape;
    NormalStream stream(99);
    int work = 0, rest = 0;
    const MadeSession truth = expected({}, shape);
    for (int session = 0; session < kSessions; ++session) {
        const MadeSession full = simulated({}, shape, stream);
        MadeSession made = frame({});
        made.clean.kind = ChannelKind::envelope;
        made.envelope.method = EnvelopeMethod::as_exported;
        made.clean.rate = made.envelope.rate = Hertz{20.0};
        for (std::size_t i = 0; i < full.envelope.uv.size(); i += 50) made.envelope.uv.push_back(full.envelope.uv[i]);
        made.clean.uv = made.envelope.uv;
        const auto values = measure_cycle(made.view());
        const auto covers = [&](const char* key) {
            const Estimate& e = values[*measure_index(key)];
            return std::abs(*e.value - *truth.value(key).value) <= 1.96 * *e.error;
        };
        work += covers("hold_mean_uv");
        rest += covers("rest_mean_uv");
    }
    MESSAGE("hold " << 100.0 * work / kSessions << " %, rest " << 100.0 * rest / kSessions << " %");
    // Wider than for traces: the correlation time is itself estimated from some 140 samples.
    CHECK(100.0 * work / kSessions >= 90.0);
    CHECK(100.0 * rest / kSessions >= 90.0);
    CHECK(100.0 * work / kSessions <= 99.0);
    CHECK(100.0 * rest / kSessions <= 99.0);
}
