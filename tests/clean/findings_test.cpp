// What was found, put into words: each text with its figures and each severity at its boundary.
#include <doctest/doctest.h>

#include <cmath>
#include <optional>
#include <string>

#include "clean/found.hpp"

using namespace tracehold;

namespace {

Channel raw_channel() {
    Channel channel;
    channel.label = "EMG PFM";
    channel.rate = Hertz{1000.0};
    channel.unit_known = true;
    return channel;
}

// 100 s of which nothing is lost, a resting level of 2 µV.
Found nothing_found() {
    Found found;
    found.rest_uv = 2.0;
    found.duration_s = found.valid_s = 100.0;
    return found;
}

std::optional<Finding> told(const Found& found, std::string_view code, const Channel& channel = raw_channel()) {
    for (const Finding& finding : put_into_words(channel, found, {})) {
        if (finding.code == code) return finding;
    }
    return std::nullopt;
}

}  // namespace

TEST_CASE("nothing found is nothing said") {
    CHECK(put_into_words(raw_channel(), nothing_found(), {}).empty());
    CHECK(to_string(Severity::note) == "note");
    CHECK(to_string(Severity::caution) == "caution");
    CHECK(to_string(Severity::reject) == "reject");
}

TEST_CASE("lost contact names its places and a recording without any other rejects") {
    Found found = nothing_found();
    found.stuck.contact_lost = {{1000, 3500}};
    auto finding = told(found, "contact_lost");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "the trace stands still in 1 place, 2.5 s together, as when an electrode loses contact; masked");
    CHECK(finding->spans == std::vector<TimeSpan>{{1.0, 3.5}});
    found.stuck.contact_lost.push_back({50000, 50500});
    CHECK(told(found, "contact_lost")->text ==
          "the trace stands still in 2 places, 3.0 s together, as when an electrode loses contact; masked");
    found.valid_s = 0.0;
    CHECK(told(found, "contact_lost")->severity == Severity::reject);
    CHECK(told(found, "contact_lost")->spans.empty());
}

TEST_CASE("a hum that is nearly all of the signal rejects and one in places is masked") {
    Found found = nothing_found();
    found.mains.hum = {50.0, 50.0, 0.9, false};
    CHECK(
        told(found, "reference_off")->text ==
        "mains hum of 50 µV makes up 90 % of the signal throughout, as with an electrode or the reference off: muscle "
        "cannot be read under it");
    CHECK(told(found, "reference_off")->severity == Severity::reject);
    found.mains.hum = {50.0, 49.9, 0.95, false};
    CHECK_FALSE(told(found, "reference_off"));
    found.mains.hum = {50.0, 80.0, 0.89, false};
    CHECK_FALSE(told(found, "reference_off"));
    found.open_hum = {{10000, 12000}};
    const auto finding = told(found, "reference_off");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "mains hum fills the trace in 1 place, 2.0 s together, as with an electrode or the reference off; masked");
    CHECK(finding->spans == std::vector<TimeSpan>{{10.0, 12.0}});
}

TEST_CASE("mains are a note where removed and a caution where strong or left in") {
    Found found = nothing_found();
    found.mains.lines_hz = {50.0, 100.0, 150.0};
    found.mains.hum = {50.0, 6.0, 0.25, true};  // three times the rest exactly
    CHECK(told(found, "mains")->severity == Severity::note);
    CHECK(told(found, "mains")->text ==
          "mains hum at 50 Hz, 3 of its multiples, 6.0 µV RMS, 25 % of the signal's power; removed line by line, which "
          "costs muscle less than 1 % of its amplitude");
    found.mains.hum.rms_uv = 6.1;
    CHECK(told(found, "mains")->severity == Severity::caution);
    found.mains.hum = {60.0, 1.0, 0.25, false};
    CHECK(told(found, "mains")->severity == Severity::caution);
    CHECK(told(found, "mains")->text ==
          "mains hum at 60 Hz, 3 of its multiples, 1.0 µV RMS, 25 % of the signal's power; left in, as asked: resting "
          "activity reads too high");
    found.rest_with_hum_uv = 8.4;
    found.mains.hum = {50.0, 8.4, 0.97, true};  // what it costs is not the question where it is all there is
    CHECK(told(found, "mains")->text ==
          "mains hum at 50 Hz, 3 of its multiples, 8.4 µV RMS, 97 % of the signal's power; fitted and removed line by line, which "
          "brings back no muscle under it");
    found.mains.hum = {50.0, 0.03, 0.0, true};  // beside a rest that reads 0, below the digits
    found.rest_uv = 0.0;
    found.least_uv = 0.1;
    CHECK(told(found, "mains")->severity == Severity::note);
    found.mains.hum.rms_uv = 0.31;
    CHECK(told(found, "mains")->severity == Severity::caution);
    found.mains.lines_hz.clear();
    CHECK_FALSE(told(found, "mains"));
}

TEST_CASE("hum that comes and goes is a caution with its places") {
    Found found = nothing_found();
    found.mains.hum = {50.0, 2.0, 0.1, false};
    found.mains.steps = {{10000, 10300}, {13000, 13200}};
    const auto finding = told(found, "mains");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text == "mains hum at 50 Hz comes and goes: it begins or ends at once in 2 places, 0.5 s together; masked");
    CHECK(finding->spans == std::vector<TimeSpan>{{10.0, 10.3}, {13.0, 13.2}});
}

TEST_CASE("hum at another frequency than was said says so") {
    Found found = nothing_found();
    found.mains.lines_hz = {60.0};
    found.mains.hum = {60.0, 1.0, 0.25, true};
    const auto text = [&](MainsRemoval how) {
        CleanSettings settings;
        settings.mains = how;
        return put_into_words(raw_channel(), found, settings).at(0).text.substr(0, 39);
    };
    CHECK(text(MainsRemoval::hz50) == "mains hum at 60 Hz though 50 Hz was sai");
    CHECK(text(MainsRemoval::hz60) == "mains hum at 60 Hz, 1 of its multiples,");
    CHECK(text(MainsRemoval::automatic) == text(MainsRemoval::hz60));
}

TEST_CASE("noise at rest is a caution from two fifths of its power on unless rounding makes it") {
    Found found = nothing_found();
    found.broadband = {{{1000, 31000}}, 2.0, 0.4};
    CHECK(told(found, "broadband")->severity == Severity::note);
    CHECK(told(found, "broadband")->text ==
          "40 % of the power at rest, 2.0 µV, is as strong at every frequency, in 1 place over 30 s: rest there may be noise of recorder or "
          "electrode rather than muscle");
    CHECK(told(found, "broadband")->spans == std::vector<TimeSpan>{{1.0, 31.0}});
    found.broadband.share = 0.41;
    CHECK(told(found, "broadband")->severity == Severity::caution);
    found.step_uv = 5.0;  // rounding noise of step^2 / 12
    CHECK_FALSE(told(found, "broadband"));
    found.only_broadband = {{5000, 35000}};
    CHECK(told(found, "contact_lost")->text ==
          "noise that is as strong at every frequency, and no muscle, fills the trace in 1 place, 30.0 s together, as when an electrode loses "
          "contact; masked");
}

TEST_CASE("loud parts flatter than muscle's are clipping unless they are clipped or a tone") {
    Found found = nothing_found();
    found.peakedness = {2.69, 0.05};
    CHECK(told(found, "clipping")->text ==
          "the loud parts are flatter than muscle's (kurtosis 2.7, of muscle 3 and more): the recorder probably bends its strongest activity, "
          "and contractions read too low");
    found.peakedness = {2.71, 0.05};
    CHECK_FALSE(told(found, "clipping"));
    found.peakedness = {1.5, 0.01};
    found.one_line = 0.7;
    CHECK_FALSE(told(found, "clipping"));
    found.one_line = 0.0;
    found.repeating.sure = 0.2;
    CHECK_FALSE(told(found, "clipping"));
}

TEST_CASE("clipping counts samples and places") {
    Found found = nothing_found();
    found.stuck.clipped = {{100, 103}, {200, 204}};
    CHECK(told(found, "clipping")->text ==
          "7 samples in 2 places stand at the recorder's limits: the strongest activity is cut off and reads too low");
    CHECK(told(found, "clipping")->severity == Severity::caution);
}

TEST_CASE("movement and spikes are a caution from more than a twentieth of the recording on") {
    Found found = nothing_found();
    found.motion = {{10000, 15000}};
    CHECK(told(found, "motion")->severity == Severity::note);
    CHECK(
        told(found, "motion")->text ==
        "slow waves far larger than muscle makes in 1 place, 5.0 s together, as when electrode or cable move; masked");
    CHECK(told(found, "motion")->spans == std::vector<TimeSpan>{{10.0, 15.0}});
    found.motion[0].end = 15001;
    CHECK(told(found, "motion")->severity == Severity::caution);
    found.spikes = {{10, 15}, {20, 25}};
    CHECK(told(found, "spikes")->severity == Severity::note);
    CHECK(told(found, "spikes")->text == "single samples far outside the trace around them in 2 places; masked");
    found.spikes = {{0, 5001}};
    CHECK(told(found, "spikes")->severity == Severity::caution);
    found.duration_s = 0.0;  // no length, no share
    CHECK(told(found, "spikes")->severity == Severity::note);
}

TEST_CASE("large waves at the pace of a heart are beats and at any other movement") {
    const auto named = [](double interval_s, double scatter, std::size_t count) {
        Found found = nothing_found();
        double t = 1.0;
        for (std::size_t i = 0; i < count; ++i) {
            const auto at = static_cast<std::size_t>(1000.0 * t);
            found.motion.push_back({at, at + 150});
            t += interval_s * (1.0 + scatter * std::sin(2.4 * static_cast<double>(i)));
        }
        if (const auto beats = told(found, "heart_beats")) {
            CHECK_FALSE(told(found, "motion"));
            return beats->text;
        }
        REQUIRE(told(found, "motion"));
        return std::string("motion");
    };
    CHECK(named(0.9, 0.1, 40) == "waves far larger than muscle makes come about 67 times a minute, as heart beats do, 6.0 s together; masked");
    CHECK(named(1.4, 0.1, 40) != "motion");
    CHECK(named(0.55, 0.1, 40) != "motion");
    CHECK(named(1.6, 0.1, 40) == "motion");
    CHECK(named(0.45, 0.0, 40) == "motion");
    CHECK(named(0.9, 0.6, 40) == "motion");
    CHECK(named(0.9, 0.1, 20) == "motion");  // too few to say
}

TEST_CASE("heart beats are counted with their pace and size and cost") {
    Found found = nothing_found();
    found.beats.times_s = {1.0, 1.8, 2.6};
    found.beats.per_minute = 74.6;
    found.beats.peak_uv = 12.34;
    found.beats.cost_share = 0.0123;
    CHECK(told(found, "heart_beats")->text ==
          "heart beats, 3 of them at about 75 a minute, 12.3 µV high; the average beat was subtracted, which costs "
          "about 1.2 % of muscle power");
    CHECK(told(found, "heart_beats")->severity == Severity::note);
}

TEST_CASE("a baseline drifts from 50 and from ten times the rest on") {
    Found found = nothing_found();
    found.drift_uv = 49.9;
    CHECK_FALSE(told(found, "drift"));
    found.drift_uv = 50.0;
    CHECK(told(found, "drift")->text == "the baseline wanders over 50 µV; the high-pass takes it away");
    CHECK(told(found, "drift")->severity == Severity::note);
    found.rest_uv = 6.0;
    CHECK_FALSE(told(found, "drift"));
    found.drift_uv = 60.0;
    CHECK(told(found, "drift"));
}

TEST_CASE("rounding is told by its share of the resting power") {
    // Step^2 / 12 over rest^2: with a rest of 1 µV a step of 0.4899 is 2 %, of 1.0954 is 10 %.
    Found found = nothing_found();
    found.rest_uv = 1.0;
    found.step_uv = 0.489;
    CHECK_FALSE(told(found, "quantised"));
    found.step_uv = 0.491;
    CHECK(told(found, "quantised")->severity == Severity::note);
    CHECK(told(found, "quantised")->text ==
          "digits of 0.49 µV at a resting level of 1 µV: rounding makes up 2 % of its power");
    found.step_uv = 1.094;
    CHECK(told(found, "quantised")->severity == Severity::note);
    found.step_uv = 1.097;
    CHECK(told(found, "quantised")->severity == Severity::caution);
    found.step_uv = 8.0;
    CHECK(told(found, "quantised")->text ==
          "digits of 8 µV at a resting level of 1 µV: rounding makes up 100 % of its power");
    found.rest_uv = 0.0;
    CHECK_FALSE(told(found, "quantised"));
    found = nothing_found();
    found.step_uv = 0.0;
    CHECK_FALSE(told(found, "quantised"));
}

TEST_CASE("a rate below 1000 Hz is a note and 1000 is enough, and one that lacks most of muscle rejects a raw trace alone") {
    Channel channel = raw_channel();
    CHECK_FALSE(told(nothing_found(), "undersampled", channel));
    channel.rate = Hertz{999.0};
    CHECK(told(nothing_found(), "undersampled", channel)->severity == Severity::note);
    channel.rate = Hertz{220.0};
    CHECK(told(nothing_found(), "undersampled", channel)->severity == Severity::note);
    channel.rate = Hertz{50.0};
    CHECK(told(nothing_found(), "undersampled", channel)->severity == Severity::reject);
    CHECK(told(nothing_found(), "undersampled", channel)->spans.empty());
    CHECK(told(nothing_found(), "undersampled", channel)->text ==
          "recorded at 50 Hz: a raw trace at that rate lacks most of what muscle gives, or has it folded over the rest, so it cannot be read as "
          "muscle; if the file holds an amplitude, --kind envelope says so");
    channel.kind = ChannelKind::envelope;
    CHECK_FALSE(told(nothing_found(), "undersampled", channel));
}

TEST_CASE("a filter of the recorder counts from 25 Hz up and 400 Hz down and any notch") {
    Channel channel = raw_channel();
    const auto says = [&](const char* header) {
        channel.prefilter = header;
        const auto finding = told(nothing_found(), "header_prefilter", channel);
        return finding ? finding->text.substr(0, finding->text.find("): ")) : "";
    };
    CHECK(says("HP:25Hz LP:400Hz") == "");
    CHECK(says("HP:26Hz LP:500Hz") == "by its header the recorder filtered already (high-pass at 26 Hz");
    CHECK(says("HP:20Hz LP:399Hz") == "by its header the recorder filtered already (low-pass at 399 Hz");
    CHECK(says("N:50Hz") == "by its header the recorder filtered already (notch at 50 Hz");
}

TEST_CASE("what is lost is a caution above a tenth and a rejection above seven tenths") {
    Found found = nothing_found();
    const auto lose = [&](double share) {
        found.lost_share = share;
        found.valid_s = found.duration_s * (1.0 - share);
        return told(found, "masked_much");
    };
    CHECK_FALSE(lose(0.1));
    CHECK(lose(0.101)->severity == Severity::caution);
    CHECK(lose(0.25)->text == "25 % of the recording is missing or masked; measures rest on what is left");
    CHECK(lose(0.7)->severity == Severity::caution);
    CHECK(lose(0.701)->severity == Severity::reject);
    CHECK(lose(0.75)->text == "only 25.0 s of 100.0 s can be believed: too little to score");
    // A gap of 300 s: it counts against 59 s beside it, not against 60 s, of which masked seconds do.
    found = nothing_found();
    found.duration_s = 400.0;
    found.missing = {{60000, 360000}};
    const auto leave = [&](double seconds) {
        found.valid_s = seconds;
        found.lost_share = 1.0 - seconds / found.duration_s;
        return told(found, "masked_much");
    };
    CHECK(leave(59.0)->text == "only 59.0 s of 400.0 s can be believed: too little to score");
    CHECK(leave(60.0)->text == "85 % of the recording is missing or masked; measures rest on what is left");
    found.missing = {{60000, 160000}};
    CHECK(leave(89.0)->text == "only 89.0 s of 300.0 s can be believed: too little to score");
    found = nothing_found();
    found.duration_s = 1.2;
    found.valid_s = 1.0;
    found.lost_share = 0.05;
    CHECK_FALSE(told(found, "masked_much"));
    found.valid_s = 0.99;  // less than a second is left
    CHECK(told(found, "masked_much")->severity == Severity::reject);
}

TEST_CASE("digits of an exported amplitude are told by their half beside the resting level") {
    Channel envelope = raw_channel();
    envelope.kind = ChannelKind::envelope;
    Found found = nothing_found();  // rest at 2 µV
    const auto severity = [&](double step_uv) {
        found.step_uv = step_uv;
        const auto finding = told(found, "quantised", envelope);
        return finding ? std::string(to_string(finding->severity)) : "nothing";
    };
    CHECK(severity(0.39) == "nothing");
    CHECK(severity(0.41) == "note");
    CHECK(severity(0.79) == "note");
    CHECK(severity(0.81) == "caution");
    CHECK(told(found, "quantised", envelope)->text ==
          "digits of 0.81 µV at a resting level of 2 µV: rest may be off by 20 %, and where a contraction begins or whether there is one may be "
          "wrong");
    found.no_rest = "finer than the recorder's digits of 5 µV can tell";
    CHECK(told(found, "rest_unreadable", envelope)->severity == Severity::caution);
}

TEST_CASE("an exported amplitude is told by what can be told of it alone") {
    Channel channel = raw_channel();
    channel.kind = ChannelKind::envelope;
    channel.unit_known = false;
    channel.prefilter = "N:50Hz";
    channel.rate = Hertz{10.0};
    Found found = nothing_found();
    found.spikes = {{1, 2}};
    std::string codes;
    for (const Finding& finding : put_into_words(channel, found, {})) codes += finding.code + " ";
    CHECK(codes == "already_envelope ");
    CHECK_FALSE(told(nothing_found(), "already_envelope"));
}

TEST_CASE("an amplitude that falls to nothing and samples that come again are told from where they matter on") {
    Channel envelope = raw_channel();
    envelope.kind = ChannelKind::envelope;
    Found found = nothing_found();
    found.near_zero = 0.064;
    REQUIRE(told(found, "not_smoothed", envelope));
    CHECK(told(found, "not_smoothed", envelope)->severity == Severity::caution);
    CHECK(told(found, "not_smoothed", envelope)->text.starts_with("6 % of the amplitude within contractions is near 0"));
    found.near_zero = 0.029;
    CHECK_FALSE(told(found, "not_smoothed", envelope));
    found.copied_s = 1.0;
    REQUIRE(told(found, "copied"));
    CHECK(told(found, "copied")->severity == Severity::caution);
    CHECK(told(found, "copied")->text.starts_with("the very same samples come again, about 1 s of them"));
    found.copied_s = 0.99;
    CHECK_FALSE(told(found, "copied"));
}
