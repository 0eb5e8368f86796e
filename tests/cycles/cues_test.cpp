#include "cycles/cues.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <string_view>

#include "cycles/made_session.hpp"
#include "tracehold/core/error.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

const Plan kPlan = plan_of({{StepKind::rest, 5, 0, 1}, {StepKind::hold, 8, 10, 2}, {StepKind::rapid, 1, 4, 2}});

// Marks as the plan asks for, from a start.
std::vector<Mark> marks_of(const Plan& plan, double start_s) {
    std::vector<Mark> marks;
    for (const PlannedCycle& c : timeline(plan)) {
        marks.push_back({start_s + c.contract_s, 0.0, "contract"});
        marks.push_back({start_s + c.relax_s, 0.0, "relax"});
    }
    return marks;
}

void check_as_planned(const Cues& cues, const Plan& plan, double start_s) {
    const auto planned = timeline(plan);
    REQUIRE(cues.windows.size() == planned.size());
    for (std::size_t i = 0; i < planned.size(); ++i) {
        CHECK(cues.windows[i].step == planned[i].step);
        CHECK(cues.windows[i].kind == planned[i].kind);
        CHECK(cues.windows[i].work.begin_s == doctest::Approx(start_s + planned[i].contract_s));
        CHECK(cues.windows[i].work.end_s == doctest::Approx(start_s + planned[i].relax_s));
        CHECK(cues.windows[i].rest_end_s == doctest::Approx(start_s + planned[i].end_s));
    }
}

std::string text_of(const Cues& cues, const std::string& code) {
    for (const Note& note : cues.notes) {
        if (note.code == code) return note.text;
    }
    return "";
}

}  // namespace

TEST_CASE("marks as planned give the plan at any start") {
    for (const double start : {0.0, 7.25, 31.0}) {
        const Cues cues = cues_from_marks(marks_of(kPlan, start), &kPlan, 100.0);
        CHECK(cues.from == CueSource::marks);
        CHECK(cues.notes.empty());
        check_as_planned(cues, kPlan, start);
    }
}

TEST_CASE("contract marks without relax marks take their length from the plan") {
    std::vector<Mark> marks;
    for (const Mark& mark : marks_of(kPlan, 2.0)) {
        if (mark.text == "contract") marks.push_back(mark);
    }
    const Cues cues = cues_from_marks(marks, &kPlan, 100.0);
    check_as_planned(cues, kPlan, 2.0);
    CHECK(text_of(cues, "relax_marks_missing") ==
          "4 of 4 contract marks have no relax mark after them; their length is taken from the plan");
}

TEST_CASE("marks are known by the texts of the plan without regard to case and blanks") {
    Plan plan = plan_of({{StepKind::hold, 5, 5, 1}});
    plan.contract_cues = {"Zu"};
    plan.relax_cues = {"Auf"};
    const Cues cues =
        cues_from_marks(std::vector<Mark>{{1, 0, "contract"}, {10, 0, " ZU "}, {15, 0, "auf"}}, &plan, 60.0);
    REQUIRE(cues.windows.size() == 1);
    CHECK(cues.windows[0].work == TimeSpan{10.0, 15.0});
    const Cues none = cues_from_marks(std::vector<Mark>{{1, 0, "contract"}}, &plan, 60.0);
    CHECK(none.windows.empty());
    CHECK(text_of(none, "no_cue_marks") ==
          "none of the 1 marks in the file is a contract cue; the first reads 'contract'");
}

TEST_CASE("marks that are no cue are said once") {
    std::vector<Mark> marks = marks_of(kPlan, 3.0);
    CHECK(!has_note(cues_from_marks(marks, &kPlan, 60.0), "marks_not_understood"));
    marks.insert(marks.begin() + 2, Mark{17.0, 0.0, "cough"});
    marks.push_back({58.0, 0.0, "end"});
    const Cues cues = cues_from_marks(marks, &kPlan, 60.0);
    check_as_planned(cues, kPlan, 3.0);
    CHECK(text_of(cues, "marks_not_understood") ==
          "2 of 10 marks in the file ask neither to contract nor to relax and are not used; the first reads 'cough'");
}

TEST_CASE("a mark with its own duration needs no relax mark") {
    const Cues cues = cues_from_marks(std::vector<Mark>{{10, 5, "work"}, {25, 1, "work"}}, nullptr, 60.0);
    REQUIRE(cues.windows.size() == 2);
    CHECK(cues.windows[0].work == TimeSpan{10.0, 15.0});
    CHECK(cues.windows[1].work == TimeSpan{25.0, 26.0});
}

TEST_CASE("marks too brief to contract in say when and not how long") {
    std::vector<Mark> pressed = marks_of(kPlan, 5.0);
    for (Mark& mark : pressed) mark.duration_s = 0.002;
    check_as_planned(cues_from_marks(pressed, &kPlan, 100.0), kPlan, 5.0);
    std::vector<Mark> alone;  // 'relax' right behind 'contract' closes nothing
    for (const Mark& mark : marks_of(kPlan, 5.0)) {
        if (mark.text != "contract") continue;
        alone.push_back({mark.time_s, 0.001, "contract"});
        alone.push_back({mark.time_s + 0.001, 0.0, "relax"});
    }
    check_as_planned(cues_from_marks(alone, &kPlan, 100.0), kPlan, 5.0);
}

TEST_CASE("lengths far from the plan, or too brief without one, are doubted") {
    const Plan holds = plan_of({{StepKind::rest, 5, 0, 1}, {StepKind::hold, 8, 10, 4}});
    const auto doubted = [&](double length_s, const Plan* plan, std::string_view code) {
        std::vector<Mark> marks;
        for (const Mark& mark : marks_of(holds, 5.0)) {
            if (mark.text == "contract") marks.push_back({mark.time_s, length_s, "contract"});
        }
        const Cues cues = cues_from_marks(marks, plan, 100.0);
        return std::any_of(cues.notes.begin(), cues.notes.end(), [&](const Note& note) { return note.code == code && note.doubt; });
    };
    CHECK(doubted(0.3, &holds, "marks_differ_from_plan"));
    CHECK_FALSE(doubted(6.0, &holds, "marks_differ_from_plan"));
    CHECK(doubted(0.3, nullptr, "marks_brief"));
    CHECK_FALSE(doubted(1.0, nullptr, "marks_brief"));
}

TEST_CASE("lengths far from the plan in one kind of contraction are doubted beside many of another that fit") {
    const Plan plan = plan_of({{StepKind::hold, 6, 6, 8}, {StepKind::rapid, 1, 4, 3}, {StepKind::endurance, 30, 30, 1}});
    const auto doubted = [&](StepKind kind, double share) {
        std::vector<Mark> marks;
        for (const PlannedCycle& c : timeline(plan)) {
            marks.push_back({c.contract_s, (c.kind == kind ? share : 1.0) * (c.relax_s - c.contract_s), "contract"});
        }
        const Cues cues = cues_from_marks(marks, &plan, 250.0);
        return std::any_of(cues.notes.begin(), cues.notes.end(),
                           [](const Note& note) { return note.code == "marks_differ_from_plan" && note.doubt; });
    };
    CHECK(doubted(StepKind::rapid, 2.2));
    CHECK_FALSE(doubted(StepKind::rapid, 1.8));
    CHECK_FALSE(doubted(StepKind::endurance, 0.4));  // given up early
}

TEST_CASE("repeated marks count once") {
    std::vector<Mark> marks;
    for (const Mark& mark : marks_of(kPlan, 0.0)) {
        marks.push_back(mark);
        marks.push_back({mark.time_s + 0.1, 0.0, mark.text});
    }
    check_as_planned(cues_from_marks(marks, &kPlan, 100.0), kPlan, 0.0);
    marks = marks_of(kPlan, 0.0);
    marks.insert(marks.begin() + 1, {5.5, 0.0, "contract"});  // 0.5 s after the first, before even a flick could end
    const Cues cues = cues_from_marks(marks, &kPlan, 100.0);
    check_as_planned(cues, kPlan, 0.0);
    CHECK(has_note(cues, "marks_repeated"));
}

TEST_CASE("without a plan marks give windows and their lengths the kinds") {
    const std::vector<Mark> marks = {{0, 0, "0"},  {5, 0, "1"},  {7.5, 0, "0"}, {20, 0, "1"},
                                     {28, 0, "0"}, {40, 0, "1"}, {60, 0, "0"}};
    const Cues cues = cues_from_marks(marks, nullptr, 100.0);
    REQUIRE(cues.windows.size() == 3);
    CHECK(cues.windows[0].kind == StepKind::rapid);
    CHECK(cues.windows[1].kind == StepKind::hold);
    CHECK(cues.windows[2].kind == StepKind::endurance);
    CHECK(!cues.windows[0].step);
    CHECK(cues.windows[0].rest_end_s == 20.0);
    CHECK(cues.windows[2].rest_end_s == doctest::Approx(72.25));  // the median of the other rests, 12.5 and 12 s
}

TEST_CASE("contract marks alone and no plan are not turned into windows") {
    const Cues cues = cues_from_marks(std::vector<Mark>{{5, 0, "on"}, {15, 0, "on"}}, nullptr, 60.0);
    CHECK(cues.windows.empty());
    CHECK(has_note(cues, "relax_marks_missing"));
}

TEST_CASE("a session stopped early leaves the last planned cycles over and says so") {
    std::vector<Mark> marks = marks_of(kPlan, 0.0);
    marks.resize(4);
    const Cues cues = cues_from_marks(marks, &kPlan, 60.0);
    REQUIRE(cues.windows.size() == 2);
    CHECK(cues.windows[1].step == 1);
    CHECK(text_of(cues, "planned_without_marks") ==
          "2 of 4 planned contractions have no mark in the file and are not counted as planned here");
}

TEST_CASE("a skipped mark in the middle does not shift the kinds of the others") {
    std::vector<Mark> marks = marks_of(kPlan, 0.0);
    marks.erase(marks.begin() + 2, marks.begin() + 4);  // the second hold
    const Cues cues = cues_from_marks(marks, &kPlan, 100.0);
    REQUIRE(cues.windows.size() == 3);
    CHECK(cues.windows[0].kind == StepKind::hold);
    CHECK(cues.windows[1].kind == StepKind::rapid);
    CHECK(cues.windows[2].kind == StepKind::rapid);
}

TEST_CASE("marks that go on after the plan are kept and named") {
    std::vector<Mark> marks = marks_of(kPlan, 0.0);
    marks.push_back({70, 0, "contract"});
    marks.push_back({71, 0, "relax"});
    const Cues cues = cues_from_marks(marks, &kPlan, 100.0);
    REQUIRE(cues.windows.size() == 5);
    CHECK(has_note(cues, "marks_beyond_plan"));
    std::size_t unplanned = 0;
    for (const CueWindow& window : cues.windows) unplanned += window.step ? 0 : 1;
    CHECK(unplanned == 1);
    const auto beyond = [](const Cues& c) {
        return *std::find_if(c.notes.begin(), c.notes.end(), [](const Note& note) { return note.code == "marks_beyond_plan"; });
    };
    CHECK_FALSE(beyond(cues).doubt);  // a button pressed once too often
    marks.push_back({80, 0, "contract"});
    marks.push_back({81, 0, "relax"});
    const Note other = beyond(cues_from_marks(marks, &kPlan, 100.0));
    CHECK(other.doubt);
    CHECK(other.text.find("(6 marked, 4 planned contractions): 2 fit none of the plan and are extra; was it recorded by another plan?") !=
          std::string::npos);
}

TEST_CASE("lengths that differ from the plan are said and the marks are used") {
    std::vector<Mark> marks = marks_of(kPlan, 0.0);
    marks[1].time_s -= 3.0;  // 5 s for 8
    const Cues cues = cues_from_marks(marks, &kPlan, 100.0);
    REQUIRE(cues.windows.size() == 4);
    CHECK(cues.windows[0].work == TimeSpan{5.0, 10.0});
    CHECK(text_of(cues, "marks_differ_from_plan") ==
          "1 of 4 marked contractions are not as long as planned; the first is at 5.0 s: the marks say 5.0 s, the plan "
          "8.0 s; the "
          "marks are used");
}

TEST_CASE("a pause between marks belongs to no rest") {
    std::vector<Mark> marks = marks_of(kPlan, 0.0);
    for (std::size_t i = 2; i < marks.size(); ++i) marks[i].time_s += 45.0;
    const Cues cues = cues_from_marks(marks, &kPlan, 150.0);
    REQUIRE(cues.windows.size() == 4);
    CHECK(cues.windows[0].rest_end_s == doctest::Approx(23.0));
    CHECK(cues.windows[1].work.begin_s == doctest::Approx(68.0));
}

TEST_CASE("work windows never overlap whatever the marks") {
    const std::vector<Mark> marks = {{5, 30, "on"},    {5, 30, "on"}, {8, 0, "on"},   {9, 0, "off"},  {9.3, 0, "on"},
                                     {9.31, 0, "off"}, {-3, 0, "on"}, {200, 0, "on"}, {99.9, 0, "on"}};
    for (const Plan* plan : {static_cast<const Plan*>(nullptr), &kPlan}) {
        const Cues cues = cues_from_marks(marks, plan, 100.0);
        for (std::size_t i = 0; i < cues.windows.size(); ++i) {
            CHECK(cues.windows[i].work.length_s() > 0.0);
            CHECK(cues.windows[i].work.end_s <= 100.0);
            CHECK(cues.windows[i].rest_end_s >= cues.windows[i].work.end_s);
            if (i > 0) CHECK(cues.windows[i].work.begin_s >= cues.windows[i - 1].work.end_s);
        }
    }
}

TEST_CASE("a given start lays the plan there") {
    const Cues cues = cues_from_start(kPlan, 12.5, 100.0);
    CHECK(cues.from == CueSource::start);
    CHECK(cues.offset_s == 12.5);
    check_as_planned(cues, kPlan, 12.5);
}

TEST_CASE("a last rest may be cut but no contraction") {
    // The plan: 5 + 2 * 18 + 2 * 5 = 51 s, its last relax cue at 47 s.
    CHECK(cues_from_start(kPlan, 0.0, 47.0).windows.back().rest_end_s == doctest::Approx(47.0));
    try {
        cues_from_start(kPlan, 10.0, 56.9);
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::too_short);
        CHECK(error.message ==
              "the recording ends before the plan: saw 56.9 s, expected at least 57.0 s up to the last relax cue");
    }
}

TEST_CASE("a start outside the recording is refused") {
    for (const double start : {-0.1, 100.0, 1e9}) {
        try {
            cues_from_start(kPlan, start, 100.0);
            FAIL("accepted");
        } catch (const Error& error) {
            CHECK(error.kind == ErrorKind::bad_setting);
            CHECK(error.message.find("the plan cannot start there: saw ") == 0);
        }
    }
}
