#include "tracehold/report/session_figures.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "report/overlay.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/measures/measure_list.hpp"

using namespace tracehold;

namespace {

// Holds of 4 s with rests of 6 s; contraction i stands at level 10 + i, rest at 1.
struct Steps {
    SessionScore score;
    Envelope envelope;
};

Steps steps(int count) {
    Steps made;
    made.score.cues = CueSource::marks;
    made.envelope.rate = Hertz{100.0};
    made.envelope.uv.assign(1000 * static_cast<std::size_t>(count) + 500, 1.0f);
    for (int i = 0; i < count; ++i) {
        ScoredCycle scored;
        scored.cycle.index = i + 1;
        scored.cycle.work = {5.0 + 10.0 * i, 9.0 + 10.0 * i};
        scored.cycle.rest = {9.0 + 10.0 * i, 15.0 + 10.0 * i};
        scored.values.assign(measure_list().size(), Estimate::none("not made up"));
        made.score.cycles.push_back(scored);
        const SampleRange work = samples_in(scored.cycle.work, made.envelope.rate, made.envelope.uv.size());
        for (std::size_t k = work.begin; k < work.end; ++k) made.envelope.uv[k] = 10.0f + static_cast<float>(i);
    }
    return made;
}

float value_at(const Overlay& overlay, const std::vector<float>& line, float time) {
    const auto place = std::lower_bound(overlay.times.begin(), overlay.times.end(), time);
    return line[static_cast<std::size_t>(place - overlay.times.begin())];
}

}  // namespace

TEST_CASE("contractions are laid over each other at their cue") {
    const Steps made = steps(5);
    const Overlay overlay = lay_over(made.score, made.envelope, StepKind::hold);
    REQUIRE(overlay.lines.size() == 5);
    CHECK(overlay.work_s == doctest::Approx(4.0));
    CHECK(overlay.times.front() == doctest::Approx(-1.0));
    const auto median = share_line(overlay, 0.5);
    CHECK(value_at(overlay, median, -0.5f) == 1.0f);
    CHECK(value_at(overlay, median, 2.0f) == 12.0f);  // the third of five levels 10 to 14
    CHECK(value_at(overlay, share_line(overlay, 0.0), 2.0f) == 10.0f);
    CHECK(value_at(overlay, share_line(overlay, 1.0), 2.0f) == 14.0f);
    CHECK(value_at(overlay, median, 5.0f) == 1.0f);
}

TEST_CASE("a peak of one sample survives being laid over") {
    Steps made = steps(3);
    made.envelope.uv[1777] = 99.0f;  // 2.77 s after the second cue
    const Overlay overlay = lay_over(made.score, made.envelope, StepKind::hold);
    CHECK(*std::max_element(overlay.lines[1].begin(), overlay.lines[1].end()) == 99.0f);
}

TEST_CASE("where most contractions are masked there is no median") {
    Steps made = steps(3);
    for (int i = 0; i < 2; ++i) {
        for (std::size_t k = 0; k < 100; ++k)
            made.envelope.uv[600 + 1000 * static_cast<std::size_t>(i) + k] = std::numeric_limits<float>::quiet_NaN();
    }
    const Overlay overlay = lay_over(made.score, made.envelope, StepKind::hold);
    CHECK(std::isnan(value_at(overlay, share_line(overlay, 0.5), 1.4f)));
    CHECK(value_at(overlay, share_line(overlay, 0.5), 3.0f) == 11.0f);
}

TEST_CASE("missed and unusable contractions are not laid over") {
    Steps made = steps(4);
    made.score.cycles[0].cycle.status = CycleStatus::missed;
    made.score.cycles[1].cycle.status = CycleStatus::unusable;
    CHECK(lay_over(made.score, made.envelope, StepKind::hold).lines.size() == 2);
    CHECK(lay_over(made.score, made.envelope, StepKind::rapid).lines.empty());
}

TEST_CASE("a median is drawn from three contractions on") {
    for (const int count : {1, 2, 3, 200}) {
        CAPTURE(count);
        const Steps made = steps(count);
        const auto figure = overlay_figure(made.score, made.envelope);
        REQUIRE(figure);
        const auto& lines = figure->charts[0].lines;
        const bool median = std::any_of(lines.begin(), lines.end(),
                                        [](const ChartLine& line) { return line.role == ChartRole::median; });
        CHECK(median == (count >= 3));
        CHECK(lines[0].x.size() >= 40);
        CHECK(!figure->table.rows.empty());
    }
    CHECK(!overlay_figure(steps(0).score, steps(0).envelope));
}

TEST_CASE("without cues contractions are laid together at their start and nothing is called a cue") {
    Steps made = steps(3);
    made.score.cues = CueSource::trace;
    const auto figure = overlay_figure(made.score, made.envelope);
    REQUIRE(figure);
    CHECK(figure->charts[0].spans.empty());
    CHECK(figure->title.find("cue") == std::string::npos);
    CHECK(figure->charts[0].x.title.find("cue") == std::string::npos);
    CHECK(figure->table.columns[1].title.find("cue") == std::string::npos);
}

TEST_CASE("each measure shows its values with intervals and a mark where there is none") {
    const SessionScore score = test::made_up_session();
    const auto figure = measures_figure(score);
    REQUIRE(figure);
    const auto release = std::find_if(figure->charts.begin(), figure->charts.end(),
                                      [](const Chart& chart) { return chart.anchor == "release_s"; });
    REQUIRE(release != figure->charts.end());
    CHECK(release->points.size() + release->moments.size() == score.cycles.size());
    CHECK(*release->points[0].high - release->points[0].y == doctest::Approx(1.959964 * 0.042));
    CHECK(release->levels[0].label == "target below 1 s");
    CHECK(release->moments[0].label == "4: not released in the rest");
    CHECK(release->y.low == 0.0);
    CHECK(figure->table.rows.size() == score.cycles.size());
    CHECK(figure->table.columns.size() == figure->charts.size() + 2);
}

TEST_CASE("what was measured in a missed contraction is drawn hollow") {
    SessionScore score = test::made_up_session();
    const std::size_t work = *measure_index("work_mean_uv");
    score.cycles[8].values[work] = Estimate::of(3.1);
    const auto figure = measures_figure(score);
    for (const Chart& chart : figure->charts) {
        if (chart.anchor != "work_mean_uv") continue;
        CHECK(chart.points[0].shape == PointShape::disc);
        CHECK(chart.points[7].shape == PointShape::diamond);
        CHECK(chart.points[8].shape == PointShape::ring);
    }
}

TEST_CASE("fading is not told of rapid contractions") {
    SessionScore score = test::made_up_session();
    const std::size_t fade = *measure_index("fade_pct");
    for (ScoredCycle& scored : score.cycles)
        scored.values[fade] = Estimate::of(scored.cycle.kind == StepKind::rapid ? 900.0 : -10.0);
    const auto figure = measures_figure(score);
    REQUIRE(figure);
    for (const Chart& chart : figure->charts) {
        if (chart.anchor == "fade_pct") CHECK(chart.y.high < 1.0);
    }
}

TEST_CASE("an interval that says nothing does not flatten the others") {
    SessionScore score = test::made_up_session();
    const std::size_t rest = *measure_index("rest_mean_uv");
    score.cycles[0].values[rest].error = 1000.0;
    const auto figure = measures_figure(score);
    for (const Chart& chart : figure->charts) {
        if (chart.anchor == "rest_mean_uv") CHECK(chart.y.high < 12.0);
    }
}

TEST_CASE("a session without contractions has no figures of them") {
    CHECK(!measures_figure(test::made_up_empty_session()));
    CHECK(!overlay_figure(test::made_up_empty_session(), Envelope{}));
}

TEST_CASE("a sine shows in the spectrum at its frequency and hum is marked") {
    Steps made = steps(3);
    CleanRecording clean;
    clean.rate = Hertz{1000.0};
    for (std::size_t i = 0; i < 35000; ++i) {
        const double t = time_of(i, clean.rate);
        clean.uv.push_back(static_cast<float>(10.0 * std::sin(2.0 * std::numbers::pi * 100.0 * t)));
    }
    made.score.quality.mains = MainsHum{50.0, 1.3, 0.012, true};
    const auto figure = spectrum_figure(made.score, clean);
    REQUIRE(figure);
    const ChartLine& work = figure->charts[0].lines[0];
    const auto peak = std::max_element(work.y.begin(), work.y.end());
    CHECK(work.x[static_cast<std::size_t>(peak - work.y.begin())] == 100.0f);
    // A sine of 10 µV holds 50 µV²; the Hann window spreads it over 1.5 bins of 2 Hz: 50 / 3 µV²/Hz at the middle one.
    CHECK(*peak == doctest::Approx(std::sqrt(50.0 / 3.0)).epsilon(0.01));
    CHECK(figure->charts[0].moments[0].label == "mains 50 Hz");
    CHECK(figure->description.find("removed before scoring") != std::string::npos);
}

TEST_CASE("there is no spectrum of an exported envelope or of nothing") {
    Steps made = steps(3);
    CleanRecording clean;
    clean.rate = Hertz{1000.0};
    clean.uv.assign(35000, 1.0f);
    clean.kind = ChannelKind::envelope;
    CHECK(!spectrum_figure(made.score, clean));
    clean.kind = ChannelKind::raw;
    std::fill(clean.uv.begin(), clean.uv.end(), std::numeric_limits<float>::quiet_NaN());
    CHECK(!spectrum_figure(made.score, clean));
}
