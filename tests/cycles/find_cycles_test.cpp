#include "tracehold/cycles/find_cycles.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "cycles/made_session.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/statistics/summary.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

const Plan kThreeHolds = plan_of({{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 3}});  // cues at 10, 25 and 40 s
const Plan kMixed = plan_of({{StepKind::rest, 20, 0, 1},
                             {StepKind::hold, 8, 10, 5},
                             {StepKind::rapid, 1, 4, 5},
                             {StepKind::endurance, 30, 30, 1}});

Cycles found_in(const MadeSession& session, const Plan* plan, std::optional<double> start_s = std::nullopt,
                const std::vector<Mark>& marks = {}, const std::vector<Correction>& corrections = {}) {
    CycleSettings settings;
    if (start_s) settings.start = Seconds{*start_s};
    return find_cycles({session.clean, session.envelope, marks, plan, corrections}, settings);
}

std::vector<CycleStatus> statuses(const Cycles& cycles) {
    std::vector<CycleStatus> out;
    for (const Cycle& cycle : cycles.cycles) out.push_back(cycle.status);
    return out;
}

constexpr auto kDone = CycleStatus::done, kMissed = CycleStatus::missed, kExtra = CycleStatus::extra,
               kUnusable = CycleStatus::unusable;

// What always holds.
void check_invariants(const Cycles& found) {
    for (std::size_t i = 0; i < found.cycles.size(); ++i) {
        const Cycle& c = found.cycles[i];
        CHECK(c.index == static_cast<int>(i) + 1);
        CHECK(c.work.begin_s < c.work.end_s);
        CHECK(c.rest.begin_s == c.work.end_s);
        CHECK(c.rest.end_s >= c.rest.begin_s);
        if (i > 0) CHECK(c.work.begin_s >= found.cycles[i - 1].rest.end_s);
        CHECK(c.onset.has_value() == c.onset_reason.empty());
        CHECK(c.offset.has_value() == c.offset_reason.empty());
        if (c.onset) CHECK((c.status == kDone || c.status == kExtra));
    }
}

}  // namespace

TEST_CASE("cued contractions are done and uncued ones are extra and empty windows are missed") {
    const auto session = noisy_session({{10.3, 15.3, 20, 0.2}, {32, 34, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, 4);
    const Cycles found = found_in(session, &kThreeHolds, 0.0);
    CHECK(found.from == CueSource::start);
    CHECK(statuses(found) == std::vector{kDone, kMissed, kExtra, kDone});
    check_invariants(found);
    CHECK(found.cycles[1].onset_reason == "no contraction found");
    const Cycle& extra = found.cycles[2];
    CHECK(!extra.step);
    CHECK(extra.kind == StepKind::rapid);
    CHECK(extra.work.begin_s == doctest::Approx(32.0).epsilon(0.01));
    CHECK(extra.work.end_s == doctest::Approx(34.0).epsilon(0.01));
    CHECK(extra.rest.end_s == doctest::Approx(40.0));
    CHECK(found.cycles[1].rest.end_s == doctest::Approx(extra.work.begin_s));
}

TEST_CASE("an extra contraction is found in amplitudes of every rate that recorders export") {
    for (const double rate_hz : {4.0, 5.0, 8.0, 10.0, 20.0, 100.0}) {
        CAPTURE(rate_hz);
        const auto session =
            exported_session({{10.3, 15.3, 20, 0.2}, {20, 22.5, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, rate_hz);
        CHECK(statuses(found_in(session, &kThreeHolds, 0.0)) == std::vector{kDone, kExtra, kDone, kDone});
    }
}

TEST_CASE("early and late contractions belong to their cue") {
    const auto session =
        noisy_session({{8.5, 14.5, 20, 0.2}, {27.5, 32, 20, 0.2}, {39.4, 44.9, 20, 0.2}}, 2.0, 60.0, 6);
    const Cycles found = found_in(session, &kThreeHolds, 0.0);
    CHECK(statuses(found) == std::vector{kDone, kDone, kDone});
    check_invariants(found);
}

TEST_CASE("contractions that all lie the same time beside their cues belong to them") {
    for (const double apart_s : {-8.0, -3.7, -1.4, 2.2, 3.3, 8.0}) {
        CAPTURE(apart_s);
        std::vector<MadeContraction> made;
        for (const PlannedCycle& cycle : timeline(kMixed))
            made.push_back({cycle.contract_s + apart_s, cycle.relax_s + apart_s + 0.2, 20, 0.2});
        const Cycles found = found_in(noisy_session(made, 2.0, 200.0, 4), &kMixed, 0.0);
        check_invariants(found);
        CHECK(statuses(found) == std::vector(11, kDone));
        for (const Cycle& cycle : found.cycles) {
            CAPTURE(cycle.index);
            REQUIRE(cycle.onset);
            CHECK(std::abs(cycle.onset->time_s - cycle.work.begin_s - apart_s) < 0.3);
        }
    }
}

TEST_CASE("flicks that all come late belong to their cues though the holds come on time") {
    std::vector<MadeContraction> made;
    for (const PlannedCycle& cycle : timeline(kMixed)) {
        const double late_s = cycle.kind == StepKind::rapid ? 1.9 : 0.3;
        made.push_back({cycle.contract_s + late_s, cycle.relax_s + late_s, 20, 0.2});
    }
    const Cycles found = found_in(noisy_session(made, 2.0, 200.0, 4), &kMixed, 0.0);
    check_invariants(found);
    CHECK(statuses(found) == std::vector(11, kDone));
}

TEST_CASE("contractions beside their cues that do not agree by how much stay extra") {
    std::vector<MadeContraction> made;
    const double late_s[] = {0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 1.7, 2.4, -1.5, 0.3, 0.3};
    for (const PlannedCycle& cycle : timeline(kMixed)) {
        const double late = late_s[made.size()];
        made.push_back({cycle.contract_s + late, cycle.relax_s + late, 20, 0.2});
    }
    const Cycles found = found_in(noisy_session(made, 2.0, 200.0, 4), &kMixed, 0.0);
    check_invariants(found);
    const std::vector<CycleStatus> seen = statuses(found);
    CHECK(std::count(seen.begin(), seen.end(), kMissed) == 3);
    CHECK(std::count(seen.begin(), seen.end(), kExtra) == 3);
}

TEST_CASE("a long hold with a gap begins where it began and not after the gap") {
    const Plan plan =
        plan_of({{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 2}, {StepKind::endurance, 20, 20, 1}});
    const auto session = noisy_session(
        {{10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {40.3, 52.0, 20, 0.2}, {53.0, 60.3, 12, 0.2}}, 2.0, 80.0, 6);
    const Cycles found = found_in(session, &plan, 0.0);
    CHECK(statuses(found) == std::vector{kDone, kDone, kDone});
    REQUIRE(found.cycles[2].onset);
    CHECK(found.cycles[2].onset->time_s == doctest::Approx(40.3).epsilon(0.005));
}

TEST_CASE("a contraction that begins before its cue and ends well within it is no extra one") {
    const auto session =
        noisy_session({{7.0, 12.0, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, 8);
    CHECK(statuses(found_in(session, &kThreeHolds, 0.0)) == std::vector{kDone, kDone, kDone});
}

TEST_CASE("contractions before the plan starts and after it ends are counted in a note and not scored") {
    const auto session = noisy_session({{3, 6, 20, 0.2},
                                        {18, 20, 20, 0.2},
                                        {40.3, 45.3, 20, 0.2},
                                        {55.3, 60.3, 20, 0.2},
                                        {70.3, 75.3, 20, 0.2},
                                        {95, 98, 20, 0.2}},
                                       2.0, 110.0, 4);
    const Cycles found = found_in(session, &kThreeHolds, 30.0);
    CHECK(statuses(found) == std::vector{kDone, kDone, kDone});
    REQUIRE(found.notes.size() == 1);
    CHECK(found.notes[0].text ==
          "3 contractions lie outside of the plan as it was recorded, from 30.0 s to 85.0 s; they are not scored");
}

TEST_CASE("windows with too little valid signal are unusable and not missed") {
    auto session = noisy_session({{10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, 4);
    const auto mask = [&](std::size_t begin, std::size_t end) {
        for (std::size_t i = begin; i < end; ++i) {
            session.clean.uv[i] = session.envelope.uv[i] = std::numeric_limits<float>::quiet_NaN();
        }
    };
    mask(26000, 27600);  // 32 % of the second window
    mask(41000, 42400);  // 28 % of the third
    const Cycles found = found_in(session, &kThreeHolds, 0.0);
    CHECK(statuses(found) == std::vector{kDone, kUnusable, kDone});
    CHECK(found.cycles[1].onset_reason == "too little valid signal");
    check_invariants(found);
}

TEST_CASE("marks come before a start and a start before alignment") {
    const auto session =
        noisy_session({{10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, 4);
    const std::vector<Mark> marks = {{10, 0, "contract"}, {15, 0, "relax"},    {25, 0, "contract"},
                                     {30, 0, "relax"},    {40, 0, "contract"}, {45, 0, "relax"}};
    const Cycles marked = found_in(session, &kThreeHolds, 3.0, marks);
    CHECK(marked.from == CueSource::marks);
    CHECK(!marked.offset_s);
    REQUIRE(marked.notes.size() == 1);
    CHECK(marked.notes[0].code == "start_not_used");
    CHECK(found_in(session, &kThreeHolds, 3.0).from == CueSource::start);
    const Cycles aligned = found_in(session, &kThreeHolds);
    CHECK(aligned.from == CueSource::aligned);
    CHECK(std::abs(*aligned.offset_s) <= 0.5);
    CHECK(aligned.confidence.has_value());
    REQUIRE(aligned.notes.size() == 1);
    CHECK(aligned.notes[0].code == "cues_estimated");
    CHECK(aligned.notes[0].doubt);
    const Cycles alone = found_in(session, nullptr);
    CHECK(alone.from == CueSource::trace);
    CHECK(statuses(alone) == std::vector{kDone, kDone, kDone});
    check_invariants(alone);
}

TEST_CASE("rest before a recording shifts all that is found by its length") {
    const std::vector<MadeContraction> contractions = {{10.3, 15.3, 20, 0.2}, {27, 29, 20, 0.2}, {40.3, 45.3, 20, 0.2}};
    std::vector<MadeContraction> later = contractions;
    for (MadeContraction& c : later) c = {c.begin_s + 8.0, c.end_s + 8.0, c.level_uv, c.ramp_s};
    const Cycles first = found_in(exported_session(contractions, 2.0, 60.0), nullptr);
    const Cycles second = found_in(exported_session(later, 2.0, 68.0), nullptr);
    REQUIRE(first.cycles.size() == second.cycles.size());
    for (std::size_t i = 0; i < first.cycles.size(); ++i) {
        CHECK(second.cycles[i].work.begin_s - first.cycles[i].work.begin_s == doctest::Approx(8.0).epsilon(0.01));
        if (first.cycles[i].onset && second.cycles[i].onset) {
            CHECK(second.cycles[i].onset->time_s - first.cycles[i].onset->time_s == doctest::Approx(8.0).epsilon(0.01));
        }
    }
}

TEST_CASE("more marks than any session has are refused") {
    const auto session = exported_session({}, 2.0, 4000.0, 10.0);
    std::vector<Mark> marks;
    for (int i = 0; i < 10001; ++i) marks.push_back({0.3 * i, 0.25, "contract"});
    CHECK_THROWS_AS(found_in(session, nullptr, std::nullopt, marks), Error);
    marks.pop_back();
    CHECK(found_in(session, nullptr, std::nullopt, marks).cycles.size() == 10000);
}

TEST_CASE("a trace without contractions has no cycles and says so") {
    const Cycles found = found_in(noisy_session({}, 2.0, 60.0, 1), nullptr);
    CHECK(found.cycles.empty());
    REQUIRE(found.notes.size() == 1);
    CHECK(found.notes[0].code == "no_contraction_found");
}

TEST_CASE("a plan over a trace without contractions is all missed") {
    const Cycles found = found_in(noisy_session({}, 2.0, 60.0, 1), &kThreeHolds, 0.0);
    CHECK(statuses(found) == std::vector{kMissed, kMissed, kMissed});
    check_invariants(found);
}

TEST_CASE("corrections come last and a wrong number is refused") {
    const auto session = noisy_session({{10.3, 15.3, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, 4);
    const Correction onset = {"", CorrectionAction::move_onset, 2, 25.8, 0.0, "c-07", "2026-03-02", "faint"};
    const Cycles found = found_in(session, &kThreeHolds, 0.0, {}, {onset});
    CHECK(found.cycles[1].status == kDone);
    CHECK(found.cycles[1].onset->corrected);
    Correction wrong = onset;
    wrong.cycle = 9;
    CHECK_THROWS_AS(found_in(session, &kThreeHolds, 0.0, {}, {wrong}), Error);
}

TEST_CASE("the rest of a contraction ends where a rest step of the plan begins wherever the cues come from") {
    const Plan plan = plan_of({{StepKind::rest, 10, 0, 1},
                               {StepKind::hold, 5, 10, 2},
                               {StepKind::rest, 20, 0, 1},
                               {StepKind::endurance, 20, 10, 1},
                               {StepKind::rest, 15, 0, 1}});
    // Cues at 10, 25 and 60 s; one that nobody asked for in the closing rest, from 90 to 105 s.
    const auto session = noisy_session({{10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {60.3, 80.3, 20, 0.2}, {96, 99, 20, 0.2}}, 2.0, 110.0, 6);
    const std::vector<Mark> marks = {{10, 0, "contract"}, {15, 0, "relax"}, {25, 0, "contract"}, {30, 0, "relax"}, {60, 0, "contract"}, {80, 0, "relax"}};
    const auto check = [&](const Cycles& found, CueSource from) {
        CHECK(found.from == from);
        REQUIRE(statuses(found) == std::vector{kDone, kDone, kDone, kExtra});
        check_invariants(found);
        for (std::size_t i = 0; i < 3; ++i) CHECK(found.cycles[i].rest.length_s() == doctest::Approx(10.0));
    };
    check(found_in(session, &plan, std::nullopt, marks), CueSource::marks);
    check(found_in(session, &plan, 0.0), CueSource::start);
    check(found_in(session, &plan), CueSource::aligned);
    // A relax cue that is moved takes the rest with it, and an added contraction has the rest of its step.
    const Correction later = {"", CorrectionAction::move_relax_cue, 3, 82.0, 0.0, "c-07", "2026-03-02", "held on"};
    CHECK(found_in(session, &plan, 0.0, {}, {later}).cycles[2].rest == TimeSpan{82.0, 92.0});
    const Correction drop = {"", CorrectionAction::drop_cycle, 3, 0.0, 0.0, "c-07", "2026-03-02", "cough"},
                     add = {"", CorrectionAction::add_cycle, {}, 61.0, 79.0, "c-07", "2026-03-02", "seen"};
    const Cycles added = found_in(session, &plan, 0.0, {}, {drop, add});
    CHECK(added.cycles[2].step == 3);
    CHECK(added.cycles[2].rest == TimeSpan{79.0, 89.0});
    // Without a rest of its own there is none but the rest step; without a plan the next cue alone ends it.
    Plan bare = plan;
    bare.steps[3].rest_seconds = 0;
    bare.steps[4].seconds = 25;
    CHECK(found_in(session, &bare, std::nullopt, marks).cycles[2].rest.end_s > 95.0);
    CHECK(found_in(session, nullptr, std::nullopt, marks).cycles[1].rest == TimeSpan{30.0, 60.0});
}

TEST_CASE("no more contractions are done than the plan asks for and cues of another plan are named") {
    std::vector<MadeContraction> contractions;
    std::vector<Mark> marks;
    for (int i = 0; i < 12; ++i) {
        const double begin = 5.0 + 9.0 * i;
        contractions.push_back({begin + 0.3, begin + 3.3, 20, 0.2});
        marks.push_back({begin, 0.0, "contract"});
        marks.push_back({begin + 3.0, 0.0, "relax"});
    }
    const auto session = noisy_session(contractions, 2.0, 115.0, 9);
    const Cycles found = found_in(session, &kThreeHolds, std::nullopt, marks);
    check_invariants(found);
    const std::vector<CycleStatus> all = statuses(found);
    CHECK(std::count(all.begin(), all.end(), kDone) == 3);
    CHECK(std::count(all.begin(), all.end(), kExtra) == 9);
    const auto has = [](const Cycles& cycles, const std::string& code) {
        return std::any_of(cycles.notes.begin(), cycles.notes.end(),
                           [&](const Note& note) { return note.code == code; });
    };
    CHECK(has(found, "cues_off_plan"));

    // One added by hand to a session of the plan that is whole already.
    const auto whole =
        noisy_session({{10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}, {40.3, 45.3, 20, 0.2}}, 2.0, 60.0, 4);
    Correction added;
    added.action = CorrectionAction::add_cycle;
    added.from_s = 50.0;
    added.to_s = 53.0;
    const Cycles corrected = found_in(whole, &kThreeHolds, 0.0, {}, {added});
    CHECK(statuses(corrected) == std::vector{kDone, kDone, kDone, kExtra});
    CHECK(!has(corrected, "cues_off_plan"));
}

TEST_CASE("a contraction that goes on where the recording begins is cut and not extra") {
    const std::vector<MadeContraction> contractions = {{-3.0, 2.0, 20, 0.2}, {10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}};
    const auto session = noisy_session(contractions, 2.0, 45.0, 5);
    const std::vector<Mark> marks = {{1.7, 0, "relax"}, {10, 0, "contract"}, {15, 0, "relax"}, {25, 0, "contract"}, {30, 0, "relax"}};
    const auto cut = [](const Cycles& cycles) {
        return std::count_if(cycles.notes.begin(), cycles.notes.end(), [](const Note& note) { return note.code == "begins_in_contraction"; });
    };
    const Cycles found = found_in(session, nullptr, std::nullopt, marks);
    CHECK(statuses(found) == std::vector{kDone, kDone});
    CHECK(cut(found) == 1);
    // One that a cue at the beginning asks for is whole, and one that begins later is extra.
    std::vector<Mark> from_start = marks;
    from_start.insert(from_start.begin(), Mark{0, 0, "contract"});
    CHECK(statuses(found_in(session, nullptr, std::nullopt, from_start)) == std::vector{kDone, kDone, kDone});
    CHECK(cut(found_in(session, nullptr, std::nullopt, from_start)) == 0);
    // Where nothing asks it is the first of those that are there to see.
    const Cycles alone = found_in(session, nullptr);
    CHECK(alone.from == CueSource::trace);
    CHECK(statuses(alone) == std::vector{kDone, kDone, kDone});
    CHECK(cut(alone) == 0);
    const auto later = noisy_session({{2.0, 5.0, 20, 0.2}, contractions[1], contractions[2]}, 2.0, 45.0, 5);
    CHECK(statuses(found_in(later, nullptr, std::nullopt, marks)) == std::vector{kExtra, kDone, kDone});
    CHECK(cut(found_in(later, nullptr, std::nullopt, marks)) == 0);
}

TEST_CASE("a session stopped early without marks is scored as far as it goes") {
    std::vector<MadeContraction> contractions;
    for (int i = 0; i < 6; ++i) contractions.push_back({10.3 + 15.0 * i, 15.3 + 15.0 * i, 20, 0.2});
    const Plan ten = plan_of({{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 4}, {StepKind::rest, 15, 0, 1}, {StepKind::hold, 5, 10, 6}});
    for (std::size_t i = 4; i < 6; ++i) contractions[i].begin_s += 15.0, contractions[i].end_s += 15.0;
    const auto session = noisy_session(contractions, 2.0, 113.0, 6);  // the sixth begins at 100 s; the seventh, at 115 s, is not there
    const Cycles found = found_in(session, &ten, std::nullopt, {});
    check_invariants(found);
    CHECK(found.from == CueSource::aligned);
    CHECK(statuses(found) == std::vector<CycleStatus>(6, kDone));
    CHECK(std::any_of(found.notes.begin(), found.notes.end(), [](const Note& note) { return note.code == "ends_early"; }));
    // Part of a plan of equal holds is a rhythm that might be anyone's own: contractions without a plan, and a caution.
    const Plan equal = plan_of({{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 6}});
    const auto part = noisy_session({contractions.begin(), contractions.begin() + 4}, 2.0, 68.0, 6);
    const Cycles unknown = found_in(part, &equal, std::nullopt, {});
    CHECK(unknown.from == CueSource::trace);
    CHECK(std::any_of(unknown.notes.begin(), unknown.notes.end(), [](const Note& note) {
        return note.code == "plan_not_found" && note.text.find("the recording is shorter than the plan") != std::string::npos;
    }));
    // Where it cannot be told which part of the plan was recorded, nothing is claimed.
    const auto silent = noisy_session({}, 2.0, 113.0, 6);
    CHECK_THROWS_AS(found_in(silent, &ten, std::nullopt, {}), Error);
}

TEST_CASE("a plan that the contractions do not follow is not laid over them") {
    std::vector<MadeContraction> contractions;
    const double begins[] = {3, 12, 17, 33, 41, 58, 63, 79, 90, 104, 109, 127, 139, 150, 157};
    const double lengths[] = {2, 3.5, 6, 1.5, 7, 2.5, 5, 3, 8, 2, 6, 4.5, 2, 3, 7};
    for (std::size_t i = 0; i < std::size(begins); ++i)
        contractions.push_back({begins[i], begins[i] + lengths[i], 20, 0.2});
    const Cycles found = found_in(noisy_session(contractions, 2.0, 200.0, 5), &kMixed);
    CHECK(found.from == CueSource::trace);
    CHECK(!found.confidence);
    CHECK(found.notes.back().code == "plan_not_found");
    for (const Cycle& cycle : found.cycles) CHECK(!cycle.step);
}

TEST_CASE("a plan too long for the recording is refused but marks are believed") {
    const auto session = noisy_session({{10.3, 15.3, 20, 0.2}, {25.3, 30.3, 20, 0.2}}, 2.0, 38.0, 4);
    CHECK_THROWS_AS(found_in(session, &kThreeHolds, 0.0), Error);
    CHECK_THROWS_AS(found_in(session, &kThreeHolds), Error);
    const std::vector<Mark> marks = {{10, 0, "contract"}, {15, 0, "relax"}, {25, 0, "contract"}, {30, 0, "relax"}};
    const Cycles found = found_in(session, &kThreeHolds, std::nullopt, marks);
    CHECK(statuses(found) == std::vector{kDone, kDone});
    REQUIRE(found.notes.size() == 1);
    CHECK(found.notes[0].code == "planned_without_marks");
}

// 40 sessions of 11 contractions at 10 dB: a fifth missed, a fifth early or late, extra ones in a fifth of the rests.
TEST_CASE("missed and extra contractions are found with few mistakes") {
    int missed = 0, claimed_missed = 0, right_missed = 0, extra = 0, claimed_extra = 0, right_extra = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        Performance how;
        how.missed = how.strayed = how.extra = 0.2;
        how.lead_s = 5.0;
        const Performed truth = perform(kMixed, how, seed);
        const Cycles found = found_in(truth.session, &kMixed, truth.start_s);
        check_invariants(found);
        std::size_t k = 0;
        for (const Cycle& cycle : found.cycles) {
            if (cycle.status == kExtra) {
                ++claimed_extra;
                right_extra += std::any_of(truth.extras.begin(), truth.extras.end(), [&](const TimeSpan& t) {
                    return cycle.work.begin_s < t.end_s && cycle.work.end_s > t.begin_s;
                });
                continue;
            }
            missed += !truth.done[k];
            claimed_missed += cycle.status == kMissed;
            right_missed += cycle.status == kMissed && !truth.done[k];
            ++k;
        }
        extra += static_cast<int>(truth.extras.size());
    }
    CAPTURE(missed);
    CAPTURE(extra);
    CHECK(right_missed >= 0.95 * missed);
    CHECK(right_missed >= 0.95 * claimed_missed);
    CHECK(right_extra >= 0.95 * extra);
    CHECK(right_extra >= 0.95 * claimed_extra);
}

// The limits lie between the 0.08 s (SD) of steady contractions and the 0.4 s (early) and 0.5 s (late) of the least of those that
// stray.
TEST_CASE("early and late contractions are found with few mistakes") {
    int strayed = 0, unplaced = 0, claimed = 0, right = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        Performance how;
        how.missed = how.strayed = how.extra = 0.2;
        how.lead_s = 5.0;
        const Performed truth = perform(kMixed, how, seed);
        const Cycles found = found_in(truth.session, &kMixed, truth.start_s);
        std::size_t k = 0;
        for (const Cycle& cycle : found.cycles) {
            if (cycle.status == kExtra) {
                CHECK(!cycle.begins);
                continue;
            }
            const double stray = truth.done[k] ? truth.strays_s[k] : 0.0;
            ++k;
            strayed += stray != 0.0;
            unplaced += stray != 0.0 && !cycle.onset;
            CHECK(cycle.begins.has_value() == cycle.onset.has_value());
            if (!cycle.begins || *cycle.begins == Begins::as_usual) continue;
            ++claimed;
            right += *cycle.begins == Begins::early ? stray < 0.0 : stray > 0.0;
        }
    }
    CAPTURE(strayed);
    CAPTURE(claimed);
    CAPTURE(right);
    MESSAGE(right << " of " << strayed << " found, " << claimed << " claimed, " << unplaced << " without an onset");
    CHECK(right >= 0.95 * strayed);
    CHECK(right >= 0.95 * claimed);
}
