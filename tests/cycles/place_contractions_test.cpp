// Placing contractions: what must hold whatever the noise.
#include "tracehold/cycles/place_contractions.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "support/onset_cells.hpp"
#include "support/onset_referees.hpp"

namespace tracehold::testing {
namespace {

OnsetSession make_session(int contractions = 3, std::uint64_t seed = 11) {
    OnsetCell cell;
    cell.snr_db = 15.0;
    return make_onset_session(cell, contractions, seed);
}

CleanRecording raw_trace(std::vector<float> uv, double rate_hz = 2000.0) {
    CleanRecording clean;
    clean.rate = Hertz{rate_hz};
    clean.uv = std::move(uv);
    clean.low_hz = 20.0;
    clean.high_hz = std::min(450.0, 0.45 * rate_hz);
    return clean;
}

void check_answers(const std::vector<Placement>& placed) {
    for (const Placement& p : placed) {
        CHECK(p.onset.has_value() == p.onset_reason.empty());
        CHECK(p.offset.has_value() == p.offset_reason.empty());
        if (!p.detected) CHECK_FALSE(p.onset.has_value());
        for (const auto& event : {p.onset, p.offset}) {
            if (!event) continue;
            CHECK(event->low_s <= event->time_s);
            CHECK(event->time_s <= event->high_s);
            CHECK(event->error_s > 0.0);
        }
        if (p.onset && p.offset) CHECK(p.onset->time_s < p.offset->time_s);
    }
}

TEST_CASE("onset and offset and their 20 % times stand in order and near the truth") {
    const OnsetSession s = make_session();
    const std::vector<Placement> placed = place_contractions(s.clean, {}, s.windows);
    check_answers(placed);
    for (std::size_t k = 0; k < placed.size(); ++k) {
        REQUIRE(placed[k].onset);
        REQUIRE(placed[k].offset);
        CHECK(placed[k].onset->time_s == doctest::Approx(s.onset_s[k]).epsilon(0.08 / s.onset_s[k]));
        CHECK(placed[k].offset->time_s == doctest::Approx(s.offset_s[k]).epsilon(0.08 / s.offset_s[k]));
        CHECK(*placed[k].rise_20_s > placed[k].onset->time_s);
        CHECK(*placed[k].fall_20_s < placed[k].offset->time_s);
        CHECK(placed[k].evidence > 12.0);
    }
}

TEST_CASE("a trace twice as large has the same times") {
    OnsetSession s = make_session();
    const std::vector<Placement> once = place_contractions(s.clean, {}, s.windows);
    for (float& x : s.clean.uv) x *= 2.0F;
    const std::vector<Placement> twice = place_contractions(s.clean, {}, s.windows);
    for (std::size_t k = 0; k < once.size(); ++k) {
        CHECK(twice[k].onset->time_s == doctest::Approx(once[k].onset->time_s).epsilon(1e-6));
        CHECK(twice[k].offset->high_s == doctest::Approx(once[k].offset->high_s).epsilon(1e-6));
    }
}

TEST_CASE("a start that is later by whole hops moves all times by as much") {
    OnsetSession s = make_session();
    const std::vector<Placement> before = place_contractions(s.clean, {}, s.windows);
    std::vector<float> later(s.clean.uv.end() - 400, s.clean.uv.end());  // 0.2 s of rest in front
    later.insert(later.end(), s.clean.uv.begin(), s.clean.uv.end());
    std::vector<TimeSpan> windows = s.windows;
    for (TimeSpan& w : windows) w.begin_s += 0.2, w.end_s += 0.2;
    const std::vector<Placement> after = place_contractions(raw_trace(later), {}, windows);
    for (std::size_t k = 0; k < before.size(); ++k) {
        CHECK(after[k].onset->time_s - before[k].onset->time_s == doctest::Approx(0.2).epsilon(0.02));
        CHECK(after[k].offset->time_s - before[k].offset->time_s == doctest::Approx(0.2).epsilon(0.02));
    }
}

TEST_CASE("the offset of a reversed trace is the onset") {
    OnsetSession s = make_session(1);
    s.clean.uv.resize(s.clean.uv.size() / 20 * 20);
    const double length_s = static_cast<double>(s.clean.uv.size()) / 2000.0;
    const std::vector<Placement> forward = place_contractions(s.clean, {}, s.windows);
    const std::vector<float> turned(s.clean.uv.rbegin(), s.clean.uv.rend());
    const std::vector<TimeSpan> windows{{length_s - s.offset_s[0] - 0.1, length_s - s.onset_s[0] - 0.3}};
    const std::vector<Placement> backward = place_contractions(raw_trace(turned), {}, windows);
    // The cues differ, so the windows of the first pass do; the answer may by a small part of its own error.
    CHECK(std::abs(length_s - backward[0].offset->time_s - forward[0].onset->time_s) < 0.3 * forward[0].onset->error_s);
    CHECK(std::abs(length_s - backward[0].onset->time_s - forward[0].offset->time_s) <
          0.3 * forward[0].offset->error_s);
}

TEST_CASE("windows without a contraction say so and the others do not suffer") {
    OnsetCell cell;
    cell.snr_db = 10.0;
    cell.faults.missed = true;
    const OnsetSession s = make_onset_session(cell, 8, 3);
    const std::vector<Placement> placed = place_contractions(s.clean, {}, s.windows);
    check_answers(placed);
    for (std::size_t k = 0; k < placed.size(); ++k) {
        CHECK(placed[k].detected == s.performed[k]);
        if (!s.performed[k]) CHECK(placed[k].onset_reason == "no contraction found in this window");
    }
}

// What belongs to a cue begins 1.4 s before it, where the rest before is long: who begins in the last of it may have begun sooner.
TEST_CASE("an onset near the beginning of what belongs to its cue is not placed and one behind it is") {
    for (const double ahead_s : {1.0, 1.2}) {
        OnsetCell cell;
        cell.snr_db = 15.0;
        cell.rest_s = 10.0;
        cell.reaction_low_s = cell.reaction_high_s = -ahead_s;
        const OnsetSession s = make_onset_session(cell, 4, 3);
        const std::vector<Placement> placed = place_contractions(s.clean, {}, s.windows);
        CAPTURE(ahead_s);
        for (std::size_t k = 0; k < placed.size(); ++k) {
            CHECK(placed[k].detected);
            CHECK(placed[k].onset.has_value() == (ahead_s == 1.0));
            if (placed[k].onset) CHECK(std::abs(placed[k].onset->time_s - s.onset_s[k]) < 0.05);
            if (!placed[k].onset) CHECK(placed[k].onset_reason == "onset may lie outside the stretch that was searched");
        }
    }
}

TEST_CASE("rest alone holds no contraction") {
    int found = 0;
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        OnsetCell cell;
        cell.snr_db = -60.0;
        const OnsetSession s = make_onset_session(cell, 6, seed);
        for (const Placement& p : place_contractions(s.clean, {}, s.windows)) found += p.detected ? 1 : 0;
    }
    CHECK(found == 0);  // of 60 windows
}

TEST_CASE("degenerate traces give reasons and never times") {
    const std::vector<TimeSpan> windows{{1.0, 2.0}, {3.0, 4.0}};
    const float nan = std::numeric_limits<float>::quiet_NaN();
    for (const std::vector<float>& uv :
         {std::vector<float>{}, std::vector<float>{1.0F}, std::vector<float>(10000, 0.0F),
          std::vector<float>(10000, 3.0F), std::vector<float>(10000, nan)}) {
        const std::vector<Placement> placed = place_contractions(raw_trace(uv), {}, windows);
        REQUIRE(placed.size() == 2);
        check_answers(placed);
        for (const Placement& p : placed) CHECK_FALSE(p.detected);
    }
    CHECK(place_contractions(raw_trace({}), {}, {}).empty());
}

TEST_CASE("windows at and beyond the ends of the recording do no harm") {
    const OnsetSession s = make_session(2);
    const double end = static_cast<double>(s.clean.uv.size()) / 2000.0;
    check_answers(place_contractions(
        s.clean, {}, std::vector<TimeSpan>{{-1.0, 0.5}, s.windows[0], {end - 0.3, end + 2.0}, {end + 5.0, end + 6.0}}));
    // Cut in mid-contraction: the onset is not in the recording and none is told.
    const auto cut = static_cast<std::size_t>((s.onset_s[0] + 2.0) * 2000.0);
    const std::vector<float> rest_of_it(s.clean.uv.begin() + static_cast<std::ptrdiff_t>(cut), s.clean.uv.end());
    const double gone = static_cast<double>(cut) / 2000.0;
    const std::vector<Placement> placed =
        place_contractions(raw_trace(rest_of_it), {},
                           std::vector<TimeSpan>{{0.0, s.windows[0].end_s - gone},
                                                 {s.windows[1].begin_s - gone, s.windows[1].end_s - gone}});
    check_answers(placed);
    CHECK(placed[0].detected);
    CHECK_FALSE(placed[0].onset.has_value());
    REQUIRE(placed[0].offset);
    CHECK(placed[0].offset->time_s + gone == doctest::Approx(s.offset_s[0]).epsilon(0.1 / s.offset_s[0]));
}

TEST_CASE("a gap over the onset widens its interval and leaves the offset alone") {
    OnsetSession s = make_session(3);
    const std::vector<Placement> whole = place_contractions(s.clean, {}, s.windows);
    const auto from = static_cast<std::size_t>((s.onset_s[1] - 0.1) * 2000.0);
    std::fill_n(s.clean.uv.begin() + static_cast<std::ptrdiff_t>(from), 500, std::numeric_limits<float>::quiet_NaN());
    const std::vector<Placement> holed = place_contractions(s.clean, {}, s.windows);
    check_answers(holed);
    REQUIRE(holed[1].onset);
    CHECK(holed[1].onset->high_s - holed[1].onset->low_s > 1.3 * (whole[1].onset->high_s - whole[1].onset->low_s));
    CHECK(holed[1].onset->low_s < s.onset_s[1] + 0.02);
    CHECK(holed[1].onset->high_s > s.onset_s[1] - 0.02);
    CHECK(holed[1].offset->time_s == doctest::Approx(whole[1].offset->time_s).epsilon(0.02 / s.offset_s[1]));
}

TEST_CASE("the same trace gives the same answers") {
    const OnsetSession s = make_session();
    const std::vector<Placement> a = place_contractions(s.clean, {}, s.windows),
                                 b = place_contractions(s.clean, {}, s.windows);
    for (std::size_t k = 0; k < a.size(); ++k) {
        CHECK(a[k].onset == b[k].onset);
        CHECK(a[k].offset == b[k].offset);
    }
}

Envelope exported(double rate_hz, double onset_s, double offset_s, double length_s) {
    Envelope e;
    e.rate = Hertz{rate_hz};
    e.method = EnvelopeMethod::as_exported;
    for (std::size_t i = 0; static_cast<double>(i) < length_s * rate_hz; ++i) {
        const double t = static_cast<double>(i) / rate_hz;
        const double wiggle = 0.3 * std::sin(static_cast<double>(i * i % 31));
        e.uv.push_back(static_cast<float>((t >= onset_s && t < offset_s ? 20.0 : 2.0) + wiggle));
    }
    return e;
}

TEST_CASE("a step in an exported envelope is placed to a sample and its error is no finer than that") {
    for (const double rate : {4.0, 10.0, 100.0}) {
        CleanRecording clean = raw_trace({}, rate);
        clean.kind = ChannelKind::envelope;
        const Envelope e = exported(rate, 5.3, 11.2, 20.0);
        const std::vector<Placement> placed = place_contractions(clean, e, std::vector<TimeSpan>{{5.0, 11.0}});
        check_answers(placed);
        REQUIRE(placed[0].onset);
        REQUIRE(placed[0].offset);
        const auto middle_before = [&](double s) { return (std::ceil(s * rate - 1e-9) - 0.5) / rate; };  // of its two samples
        constexpr double kGrid_s = 0.0025;  // of the starts that are told apart
        CHECK(std::abs(placed[0].onset->time_s - middle_before(5.3)) <= 0.5 / rate + kGrid_s);
        CHECK(std::abs(placed[0].offset->time_s - middle_before(11.2)) <= 0.5 / rate + kGrid_s);
        CHECK(placed[0].onset->error_s >= 1.0 / rate);
        CHECK(placed[0].onset->low_s <= 5.3);
        CHECK(placed[0].onset->high_s >= 5.3);
    }
}

TEST_CASE("an envelope that stays at rest or is empty has no contraction") {
    CleanRecording clean = raw_trace({}, 10.0);
    clean.kind = ChannelKind::envelope;
    for (const Envelope& e : {exported(10.0, 50.0, 60.0, 20.0), Envelope{}}) {
        const std::vector<Placement> placed = place_contractions(clean, e, std::vector<TimeSpan>{{5.0, 11.0}});
        check_answers(placed);
        CHECK_FALSE(placed[0].detected);
    }
}

TEST_CASE("the referees find a clear step") {
    OnsetCell cell;
    cell.ramp_s = 0.0;
    cell.snr_db = 20.0;
    const OnsetSession s = make_onset_session(cell, 1, 2);
    for (const NamedReferee& r : referees()) {
        CAPTURE(r.name);
        const auto onset = r.onset({s.clean.uv, 2000.0, s.windows[0].begin_s, s.windows[0].begin_s + 2.5});
        REQUIRE(onset);
        CHECK(std::abs(*onset - s.onset_s[0]) < 0.06);
        const auto offset = referee_offset(r.onset, s.clean.uv, 2000.0, s.windows[0].end_s, s.windows[0].begin_s + 2.5);
        REQUIRE(offset);
        CHECK(std::abs(*offset - s.offset_s[0]) < 0.06);
    }
}

}  // namespace
}  // namespace tracehold::testing
