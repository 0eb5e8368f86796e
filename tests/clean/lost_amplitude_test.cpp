// Contact lost in exported amplitudes, which have rest in them wherever there is contact.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "clean/made_trace.hpp"
#include "tracehold/clean/clean_recording.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

// Rest of 2.3 µV that moves by a fifth, and 15 µV for 5 s of every 12 s; digits of step_uv.
Recording amplitude(double rate_hz, double step_uv = 0.001, double rest_uv = 2.3) {
    Recording recording;
    recording.channels.resize(1);
    Channel& channel = recording.channels[0];
    channel.rate = Hertz{rate_hz};
    channel.kind = ChannelKind::envelope;
    channel.unit_known = true;
    for (std::size_t i = 0; time_of(i, channel.rate) < 96.0; ++i) {
        const double t = time_of(i, channel.rate), level = std::fmod(t, 12.0) < 7.0 ? rest_uv : 15.0;
        channel.samples.push_back(static_cast<float>(step_uv * std::round(level * (1.0 + 0.2 * std::sin(9.1 * t) * std::cos(2.3 * t)) / step_uv)));
    }
    return recording;
}

void fall_to(Recording& recording, float value, double from_s, double length_s) {
    Channel& channel = recording.channels[0];
    for (std::size_t i = 0; i < channel.samples.size(); ++i) {
        const double t = time_of(i, channel.rate);
        if (t >= from_s && t < from_s + length_s) channel.samples[i] = value;
    }
}

}  // namespace

TEST_CASE("an amplitude that falls to nothing has lost contact and is masked there") {
    for (const double rate : {4.0, 8.0, 20.0, 50.0}) {
        CAPTURE(rate);
        for (const float value : {0.0F, 0.2F}) {
            Recording recording = amplitude(rate);
            fall_to(recording, value, 33.8, 1.2);
            const CleanRecording clean = clean_recording(recording, 0);
            const Finding* found = find_finding(clean, "contact_lost");
            REQUIRE(found);
            CHECK(found->severity == Severity::caution);
            CHECK(found->text.starts_with("the amplitude falls to nothing, which rest does not, in 1 place"));
            REQUIRE(found->spans.size() == 1);
            CHECK(found->spans[0].begin_s <= 33.8);
            CHECK(found->spans[0].end_s >= 35.0 - 1e-9);
            CHECK(clean.quality.masked_s < 1.2 + 2 * 0.1 + 3.0 / rate);
            CHECK(clean.quality.usable);
        }
    }
}

TEST_CASE("an amplitude that is low but not nothing, or for too short, is kept") {
    const auto masked = [](double rate, float value, double length_s) {
        Recording recording = amplitude(rate);
        fall_to(recording, value, 33.8, length_s);
        return clean_recording(recording, 0).quality.masked_s;
    };
    CHECK(masked(20.0, 0.4F, 1.2) == 0.0);
    CHECK(masked(20.0, 0.0F, 0.2) == 0.0);
    CHECK(masked(20.0, 0.0F, 0.35) > 0.3);
    CHECK(masked(4.0, 0.0F, 0.25) == 0.0);  // one value
}

TEST_CASE("where rest itself is at nothing no contact is lost by it") {
    Recording none = amplitude(20.0);
    for (float& v : none.channels[0].samples) v = v < 5.0F ? 0.0F : v;
    CHECK_FALSE(find_finding(clean_recording(none, 0), "contact_lost"));
    // Rest is subtracted: what is left comes and goes.
    Recording subtracted = amplitude(20.0);
    for (float& v : subtracted.channels[0].samples) v = std::max(0.0F, v - 2.3F);
    CHECK_FALSE(find_finding(clean_recording(subtracted, 0), "contact_lost"));
    // Rest within the first digits, which are often 0.
    CHECK_FALSE(find_finding(clean_recording(amplitude(20.0, 1.0, 0.55), 0), "contact_lost"));
}
