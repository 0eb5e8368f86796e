// What becomes of bursts that answer a cue, that answer none and that are hardly one.
#include "cycles/status.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <string>
#include <vector>

#include "cycles/cues.hpp"
#include "cycles/made_session.hpp"
#include "cycles/match_plan.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/cycles/find_cycles.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

constexpr float kLeftOut = std::numeric_limits<float>::quiet_NaN();

CueWindow window(double begin_s, double end_s, double rest_end_s) {
    CueWindow out;
    out.work = {begin_s, end_s};
    out.rest_end_s = rest_end_s;
    return out;
}

Burst burst(double begin_s, double end_s, bool firm = true) { return {{begin_s, end_s}, 20.0, firm}; }

std::string texts(const std::vector<Note>& notes) {
    std::string all;
    for (const Note& note : notes) all += note.code + ": " + note.text + "\n";
    return all;
}

}  // namespace

TEST_CASE("the valid share of a stretch counts its own samples") {
    Envelope envelope;
    envelope.rate = Hertz{10.0};
    envelope.uv.assign(100, 2.0F);
    for (std::size_t i = 20; i < 25; ++i) envelope.uv[i] = kLeftOut;
    CHECK(valid_share(envelope, {0.0, 10.0}) == 0.95);
    CHECK(valid_share(envelope, {2.0, 3.0}) == 0.5);
    CHECK(valid_share(envelope, {2.0, 2.5}) == 0.0);
    CHECK(valid_share(envelope, {5.0, 5.0}) == 0.0);
    CHECK(valid_share(envelope, {20.0, 30.0}) == 0.0);
}

TEST_CASE("a burst from before answers a cue that it reaches a fifth into") {
    const CueWindow cue = window(10.0, 15.0, 25.0);
    CHECK(answers(burst(5.0, 11.0), cue));  // 1 s is a fifth of the window and of the burst's 6 s less
    CHECK_FALSE(answers(burst(5.0, 10.9), cue));
    CHECK(answers(burst(9.0, 10.3), cue));  // a fifth of its own 1.3 s
    CHECK_FALSE(answers(burst(9.0, 10.2), cue));
    CHECK(answers(burst(0.0, 40.0), cue));
    CHECK_FALSE(answers(burst(5.0, 9.0), cue));
}

TEST_CASE("a burst after its cue answers it within the window or a late reaction and before the middle of the rest") {
    const CueWindow hold = window(10.0, 15.0, 25.0), flick = window(10.0, 10.5, 14.5),
                    hurried = window(10.0, 10.5, 11.0);
    CHECK(answers(burst(10.0, 11.0), hold));
    CHECK(answers(burst(14.99, 16.0), hold));
    CHECK_FALSE(answers(burst(15.0, 16.0), hold));
    CHECK(answers(burst(11.49, 12.0), flick));
    CHECK_FALSE(answers(burst(11.5, 12.0), flick));
    CHECK(answers(burst(10.74, 11.2), hurried));
    CHECK_FALSE(answers(burst(10.75, 11.2), hurried));
    CHECK(answers(burst(10.49, 11.2), window(10.0, 10.5, 0.0)));  // no rest told
    CHECK_FALSE(answers(burst(10.5, 11.2), window(10.0, 10.5, 0.0)));
}

TEST_CASE("only firm bursts that no cue asked for are extra and end where a window begins") {
    const std::vector<CueWindow> cues{window(10.0, 15.0, 25.0), window(25.0, 30.0, 40.0)};
    const std::vector<Burst> bursts{burst(4.0, 6.0),   burst(7.0, 9.0, false), burst(9.9, 10.05),
                                    burst(11.0, 15.0), burst(18.0, 21.0),      burst(24.0, 25.1)};
    const std::vector<CueWindow> extras = extra_windows(bursts, cues);
    REQUIRE(extras.size() == 3);
    CHECK(extras[0].work == TimeSpan{4.0, 6.0});
    CHECK(extras[0].kind == StepKind::rapid);
    CHECK_FALSE(extras[0].step);
    CHECK(extras[1].work == TimeSpan{18.0, 21.0});
    CHECK(extras[1].kind == StepKind::hold);
    CHECK(extras[2].work == TimeSpan{24.0, 25.0});  // what reaches into the next window is not its own
    CHECK(extra_windows(std::vector{burst(9.85, 10.0)}, cues).empty());  // too little is left
    CHECK(extra_windows(std::vector{burst(9.79, 10.0)}, cues).size() == 1);
}

TEST_CASE("without cues each firm burst is a window whose rest ends at the next") {
    const std::vector<Burst> bursts{burst(2.0, 5.0), burst(6.0, 6.2, false), burst(8.0, 9.0), burst(28.0, 61.0)};
    const std::vector<CueWindow> windows = windows_of_bursts(bursts, 60.0);
    REQUIRE(windows.size() == 3);
    CHECK(windows[0].work == TimeSpan{2.0, 5.0});
    CHECK(windows[0].rest_end_s == 8.0);
    CHECK(windows[1].rest_end_s == 28.0);
    CHECK(windows[2].work == TimeSpan{28.0, 60.0});
    CHECK(windows[2].kind == StepKind::endurance);
    CHECK(windows[2].rest_end_s == 60.0);
    CHECK(windows_of_bursts({}, 60.0).empty());
}

TEST_CASE("without cues contractions of about one length are of one kind, and clearly different lengths are not") {
    const auto kinds_of = [](std::vector<double> lengths_s) {
        std::vector<Burst> bursts;
        for (const double length_s : lengths_s) {
            const double begin_s = 10.0 * static_cast<double>(bursts.size()) + 1.0;
            bursts.push_back(burst(begin_s, begin_s + length_s));
        }
        std::vector<StepKind> kinds;
        for (const CueWindow& window : windows_of_bursts(bursts, 100.0)) kinds.push_back(window.kind);
        return kinds;
    };
    constexpr StepKind rapid = StepKind::rapid, hold = StepKind::hold;
    CHECK(kinds_of({2.4, 2.7, 2.3, 2.2}) == std::vector{rapid, rapid, rapid, rapid});
    CHECK(kinds_of({2.4, 2.7, 3.0, 3.1}) == std::vector{hold, hold, hold, hold});
    CHECK(kinds_of({1.0, 6.0, 1.1, 5.8}) == std::vector{rapid, hold, rapid, hold});
}

TEST_CASE("the kind of an unplanned contraction is told by its length at two borders") {
    CHECK(kind_by_length(0.5) == StepKind::rapid);
    CHECK(kind_by_length(2.5) == StepKind::rapid);
    CHECK(kind_by_length(2.51) == StepKind::hold);
    CHECK(kind_by_length(19.9) == StepKind::hold);
    CHECK(kind_by_length(20.0) == StepKind::endurance);
}

TEST_CASE("rests end at the next window and never before their own") {
    std::vector<Cycle> cycles(3);
    cycles[0].work = {0.0, 5.0};
    cycles[0].rest = {1.0, 30.0};
    cycles[1].work = {10.0, 15.0};
    cycles[1].rest = {15.0, 12.0};
    cycles[2].work = {20.0, 25.0};
    cycles[2].rest = {25.0, 40.0};
    end_rests_at_next(cycles);
    CHECK(cycles[0].rest == TimeSpan{5.0, 10.0});
    CHECK(cycles[1].rest == TimeSpan{15.0, 15.0});
    CHECK(cycles[2].rest == TimeSpan{25.0, 40.0});
}

TEST_CASE("marks are trimmed of every blank and a relax mark counts only after its contract mark") {
    const Cues cues = cues_from_marks(
        std::vector<Mark>{{10, 0, "\t\r\nContract \r\n\t"}, {10, 0, "relax"}, {15, 0, "relax"}, {20, 0, "relax"}},
        nullptr, 60.0);
    REQUIRE(cues.windows.size() == 1);
    CHECK(cues.windows[0].work == TimeSpan{10.0, 15.0});
    const Cues blank = cues_from_marks(std::vector<Mark>{{5, 0, "  "}, {6, 0, ""}}, nullptr, 60.0);
    CHECK(blank.windows.empty());
    CHECK(texts(blank.notes) ==
          "no_cue_marks: none of the 2 marks in the file is a contract cue; the first reads '  '\n");
}

TEST_CASE("marks outside the recording are no cues") {
    const Cues cues = cues_from_marks(
        std::vector<Mark>{{-1, 5, "contract"}, {0, 5, "contract"}, {20, 5, "contract"}, {60, 5, "contract"}}, nullptr,
        60.0);
    REQUIRE(cues.windows.size() == 2);
    CHECK(cues.windows[0].work.begin_s == 0.0);
    CHECK(cues.windows[1].work.begin_s == 20.0);
    const Cues none = cues_from_marks(std::vector<Mark>{{60, 5, "contract"}, {70, 5, "relax"}}, nullptr, 60.0);
    CHECK(none.windows.empty());
    CHECK(texts(none.notes) ==
          "no_cue_marks: all 2 marks in the file lie outside the recording: saw 'contract' at 60.0 s, expected from 0 to 60.0 s\n");
}

TEST_CASE("what is left of a contraction behind a gap is no extra") {
    auto session = exported_session({{10, 17, 20, 0.2}, {30, 35, 20, 0.2}, {44, 47, 20, 0.2}}, 2.0, 60.0);
    const std::vector<Mark> marks{{10, 6, "contract"}, {30, 5, "contract"}};
    const auto extras = [&] {
        const Cycles found = find_cycles({session.clean, session.envelope, marks, nullptr, {}}, {});
        return std::count_if(found.cycles.begin(), found.cycles.end(), [](const Cycle& c) { return c.status == CycleStatus::extra; });
    };
    CHECK(extras() == 1);  // the third
    for (std::size_t i = 10 * 50; i < 16 * 50; ++i) session.clean.uv[i] = session.envelope.uv[i] = kLeftOut;
    CHECK(extras() == 1);  // the last second of the first is none
}

TEST_CASE("a plan without contractions gives marks the length of nothing") {
    const Plan rest_only = plan_of({{StepKind::rest, 60, 0, 1}});
    const Cues cues = cues_from_marks(std::vector<Mark>{{10, 0, "contract"}, {20, 0, "contract"}}, &rest_only, 60.0);
    for (const CueWindow& cue : cues.windows) CHECK(cue.work.length_s() == 0.0);
}

TEST_CASE("lengths that differ from the plan are counted and the first is named") {
    const Plan plan = plan_of({{StepKind::hold, 5, 10, 3}});
    const std::vector<PlannedCycle> planned = timeline(plan);
    std::vector<Note> notes;
    const std::vector<TimeSpan> windows{{0, 5}, {15, 18}, {30, 38}};
    const auto pairs = match_plan(windows, planned, &plan, notes);
    CHECK(pairs == std::vector<const PlannedCycle*>{&planned[0], &planned[1], &planned[2]});
    REQUIRE(notes.size() == 1);
    CHECK(notes[0].text.find("2 of 3") != std::string::npos);
    CHECK(notes[0].text.find("3.0 s") != std::string::npos);
    notes.clear();
    match_plan(std::vector<TimeSpan>{{0, 6.25}, {15, 18.75}, {30, 35}}, planned, &plan, notes);
    CHECK(notes.empty());  // a quarter of the planned length is the same
}

TEST_CASE("more pairs than memory should hold are not matched") {
    const Plan plan = plan_of({{StepKind::rapid, 1, 1, 2000}});
    const std::vector<PlannedCycle> planned = timeline(plan);
    std::vector<TimeSpan> windows;
    for (int i = 0; i < 2001; ++i) windows.push_back({2.0 * i, 2.0 * i + 1.0});
    std::vector<Note> notes;
    const auto pairs = match_plan(windows, planned, &plan, notes);
    CHECK(pairs.size() == windows.size());
    CHECK(std::all_of(pairs.begin(), pairs.end(), [](const PlannedCycle* pair) { return pair == nullptr; }));
    CHECK_FALSE(notes.empty());
}

TEST_CASE("a start without a plan is told to say nothing") {
    const auto session = exported_session({{10, 15, 20, 0.2}}, 2.0, 40.0);
    CycleSettings settings;
    settings.start = Seconds{5.0};
    const Cycles found = find_cycles({session.clean, session.envelope, {}, nullptr, {}}, settings);
    CHECK(found.from == CueSource::trace);
    CHECK(texts(found.notes).find("start_not_used: a start was given without a plan; it says nothing on its own") !=
          std::string::npos);
}

TEST_CASE("corrections outside the recording are refused at both ends and taken at them") {
    const auto session = exported_session({{10, 15, 20, 0.2}, {25, 30, 20, 0.2}}, 2.0, 40.0);
    const auto corrected = [&](double from_s, double to_s, CorrectionAction action = CorrectionAction::add_cycle) -> std::string {
        Correction correction;
        correction.action = action;
        correction.from_s = from_s;
        correction.to_s = to_s;
        const std::vector<Correction> corrections{correction};
        try {
            find_cycles({session.clean, session.envelope, {}, nullptr, corrections}, {});
        } catch (const Error& error) {
            return error.message;
        }
        return "corrected";
    };
    CHECK(corrected(0.0, 2.0) == "corrected");
    CHECK(corrected(38.0, 40.0) == "corrected");
    CHECK(corrected(-1.0, 2.0) == "the time is outside the recording: saw -1 s, expected from 0 to 40.0 s");
    CHECK(corrected(38.0, 40.1) == "the time is outside the recording: saw 40.1 s, expected from 0 to 40.0 s");
    CHECK(corrected(38.0, 50.0, CorrectionAction::mask) == "corrected");
    CHECK(corrected(1000.0, 2000.0, CorrectionAction::mask) == "the time is outside the recording: saw 1000 s, expected from 0 to 40.0 s");
    CHECK(corrected(5.0, 5.0) == "the window ends before it begins: saw 5 s to 5 s");
}
