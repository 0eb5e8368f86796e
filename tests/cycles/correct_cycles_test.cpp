#include "cycles/correct_cycles.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "tracehold/core/error.hpp"

using namespace tracehold;

namespace {

using Action = CorrectionAction;

Cycle cycle_at(int index, double begin_s, CycleStatus status = CycleStatus::done) {
    Cycle cycle;
    cycle.index = index;
    cycle.work = {begin_s, begin_s + 5.0};
    cycle.rest = {begin_s + 5.0, begin_s + 15.0};
    cycle.status = status;
    if (status != CycleStatus::missed)
        cycle.onset = EventTime{begin_s + 0.3, 0.01, begin_s + 0.28, begin_s + 0.32, false};
    if (status != CycleStatus::missed)
        cycle.offset = EventTime{begin_s + 5.2, 0.01, begin_s + 5.18, begin_s + 5.22, false};
    if (status == CycleStatus::missed) cycle.onset_reason = cycle.offset_reason = "no contraction found";
    return cycle;
}

std::vector<Cycle> three() { return {cycle_at(1, 10), cycle_at(2, 25, CycleStatus::missed), cycle_at(3, 40)}; }

Correction correction(Action action, std::optional<int> cycle, double from_s, double to_s = 0.0) {
    return {"", action, cycle, from_s, to_s, "c-07", "2026-03-02", "seen in the trace"};
}

std::vector<Cycle> corrected(std::vector<Cycle> cycles, const std::vector<Correction>& corrections) {
    correct_cycles(cycles, corrections, 60.0);
    return cycles;
}

std::string refusal(const std::vector<Correction>& corrections) {
    try {
        corrected(three(), corrections);
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        return error.place + ": " + error.message;
    }
    return "accepted";
}

}  // namespace

TEST_CASE("a moved onset and offset are taken as they are and named") {
    const auto cycles =
        corrected(three(), {correction(Action::move_onset, 1, 10.7), correction(Action::move_offset, 1, 15.9)});
    CHECK(cycles[0].onset == EventTime{10.7, 0.0, 10.7, 10.7, true});
    CHECK(cycles[0].offset == EventTime{15.9, 0.0, 15.9, 15.9, true});
    CHECK(!cycles[0].rise_20_s);
    CHECK(cycles[0].corrected == std::vector<std::string>{"onset", "offset"});
    CHECK(cycles[1].corrected.empty());
}

TEST_CASE("an onset given to a missed cycle makes it done") {
    const auto cycles = corrected(three(), {correction(Action::move_onset, 2, 26.0)});
    CHECK(cycles[1].status == CycleStatus::done);
    CHECK(cycles[1].onset_reason.empty());
    CHECK(cycles[1].offset_reason == "no contraction found");
    CHECK(cycles[1].corrected == std::vector<std::string>{"onset", "status"});
}

TEST_CASE("a moved cue moves its window and the rests beside it") {
    const auto cycles = corrected(
        three(), {correction(Action::move_contract_cue, 2, 23.0), correction(Action::move_relax_cue, 2, 29.0)});
    CHECK(cycles[0].rest == TimeSpan{15.0, 23.0});
    CHECK(cycles[1].work == TimeSpan{23.0, 29.0});
    CHECK(cycles[1].rest == TimeSpan{29.0, 40.0});
    CHECK(cycles[1].corrected == std::vector<std::string>{"cue"});
    const auto later = corrected(three(), {correction(Action::move_contract_cue, 2, 27.0)});
    CHECK(later[0].rest == TimeSpan{15.0, 27.0});
}

TEST_CASE("an added cycle lies where its time is") {
    const auto cycles =
        corrected(three(), {correction(Action::drop_cycle, 1, 0), correction(Action::move_onset, 3, 40.9),
                            correction(Action::add_cycle, std::nullopt, 18.0, 20.0)});
    REQUIRE(cycles.size() == 3);
    CHECK(cycles[0].work == TimeSpan{18.0, 20.0});
    CHECK(cycles[0].rest == TimeSpan{20.0, 25.0});
    CHECK(cycles[0].kind == StepKind::rapid);
    CHECK(cycles[0].corrected == std::vector<std::string>{"added"});
    CHECK(!cycles[0].onset_reason.empty());
    CHECK(cycles[2].onset->time_s == 40.9);
}

TEST_CASE("no correction changes the number of another cycle") {
    const auto numbers = [](const std::vector<Correction>& corrections) {
        std::vector<int> out;
        for (const Cycle& cycle : corrected(three(), corrections)) out.push_back(cycle.index);
        return out;
    };
    using Numbers = std::vector<int>;
    const Correction first = correction(Action::add_cycle, std::nullopt, 31.0, 33.0), second = correction(Action::add_cycle, {}, 2.0, 4.0);
    CHECK(numbers({correction(Action::drop_cycle, 2, 0)}) == Numbers{1, 3});
    CHECK(numbers({first, second}) == Numbers{5, 1, 2, 4, 3});
    CHECK(numbers({first, second, correction(Action::drop_cycle, 3, 0), correction(Action::drop_cycle, 1, 0)}) == Numbers{5, 2, 4});
    // What is read off the corrected page and appended to the list means what the page showed.
    CHECK(numbers({correction(Action::drop_cycle, 2, 0), correction(Action::drop_cycle, 3, 0)}) == Numbers{1});
    CHECK(numbers({first, correction(Action::drop_cycle, 4, 0)}) == Numbers{1, 2, 3});
    CHECK(numbers({first, correction(Action::drop_cycle, 4, 0), second}) == Numbers{5, 1, 2, 3});
    const auto moved = corrected(three(), {first, correction(Action::move_onset, 4, 31.2)});
    CHECK(moved[2].onset->time_s == 31.2);
    CHECK(moved[2].corrected == std::vector<std::string>{"added", "onset"});
    CHECK(refusal({correction(Action::move_onset, 4, 31.2), first}).find("saw cycle 4") != std::string::npos);
}

TEST_CASE("dropping a contraction that was taken for extra gives its time back to the rest") {
    std::vector<Cycle> cycles = {cycle_at(1, 10), cycle_at(2, 20, CycleStatus::extra), cycle_at(3, 40)};
    cycles[0].rest.end_s = 20.0;
    cycles[1].rest.end_s = 40.0;
    const auto out = corrected(cycles, {correction(Action::drop_cycle, 2, 0)});
    REQUIRE(out.size() == 2);
    CHECK(out[0].rest == TimeSpan{15.0, 40.0});
}

TEST_CASE("no corrections change nothing") {
    for (const Cycle& cycle : corrected(three(), {})) CHECK(cycle.corrected.empty());
    CHECK(corrected({}, {}).empty());
}

TEST_CASE("what a mask took from a contraction, its rest or the rest before it is named") {
    using Named = std::vector<std::string>;
    const auto masked = [](double from_s, double to_s) { return corrected(three(), {correction(Action::mask, std::nullopt, from_s, to_s)}); };
    const auto at_work = masked(12.0, 13.0);
    CHECK(at_work[0].corrected == Named{"mask"});
    CHECK(at_work[1].corrected.empty());
    const auto at_rest = masked(18.0, 20.0);
    CHECK(at_rest[0].corrected == Named{"mask"});
    CHECK(at_rest[1].corrected == Named{"mask"});  // its rest level comes from there
    CHECK(at_rest[2].corrected.empty());
    for (const Cycle& cycle : masked(1.0, 2.0)) CHECK(cycle.corrected.empty());  // no plan says that this is rest
    for (const Cycle& cycle : masked(55.0, 58.0)) CHECK(cycle.corrected.empty());
}

TEST_CASE("a rest that the correction of another contraction changed is named") {
    using Named = std::vector<std::string>;
    const auto cue = corrected(three(), {correction(Action::move_contract_cue, 2, 23.0)});
    CHECK(cue[0].corrected == Named{"rest"});
    CHECK(cue[1].corrected == Named{"cue"});
    CHECK(cue[2].corrected.empty());
    const auto relax = corrected(three(), {correction(Action::move_relax_cue, 1, 16.0)});
    CHECK(relax[0].corrected == Named{"cue"});
    CHECK(relax[1].corrected == Named{"rest"});
    const auto dropped = corrected(three(), {correction(Action::drop_cycle, 2, 0)});
    CHECK(dropped[0].corrected.empty());
    CHECK(dropped[1].corrected == Named{"rest"});
    const auto added = corrected(three(), {correction(Action::add_cycle, std::nullopt, 18.0, 20.0)});
    CHECK(added[0].corrected == Named{"rest"});
    CHECK(added[1].corrected == Named{"added"});
    CHECK(added[2].corrected == Named{"rest"});
    CHECK(added[3].corrected.empty());
}

TEST_CASE("an added contraction answers the plan where a planned one has no place and is extra elsewhere") {
    Plan plan;
    plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 3}, {StepKind::rapid, 1, 4, 1}};
    const auto added = [&](std::vector<Correction> corrections, double from_s, double to_s) {
        std::vector<Cycle> cycles = three();
        for (Cycle& cycle : cycles) cycle.step = 1;
        corrections.push_back(correction(Action::add_cycle, std::nullopt, from_s, to_s));
        correct_cycles(cycles, corrections, 70.0, &plan);
        return *std::find_if(cycles.begin(), cycles.end(), [&](const Cycle& cycle) { return cycle.work.begin_s == from_s; });
    };
    // The second hold was dropped: one in its place is that hold, one in the rest of another is extra.
    const Correction drop = correction(Action::drop_cycle, 2, 0);
    CHECK(added({drop}, 25.5, 31.0).step == 1);
    CHECK(added({drop}, 25.5, 31.0).status == CycleStatus::done);
    CHECK(added({drop}, 25.5, 27.0).kind == StepKind::hold);  // given up early
    CHECK(!added({drop}, 18.0, 20.0).step);
    CHECK(added({drop}, 18.0, 20.0).status == CycleStatus::extra);
    CHECK(added({drop}, 18.0, 20.0).corrected.front() == "added");
    // The rapid one has no mark: it comes after the last hold and its rest.
    CHECK(added({}, 56.0, 57.0).step == 2);
    CHECK(added({}, 56.0, 57.0).kind == StepKind::rapid);
    CHECK(added({}, 51.0, 52.0).status == CycleStatus::extra);
    CHECK(added({}, 5.0, 6.0).status == CycleStatus::extra);
    CHECK(added({drop}, 5.0, 9.0).status == CycleStatus::extra);  // no hold was without a cue
    CHECK(added({drop}, 56.0, 60.0).step == 2);
    // One lacks, two were added.
    const Correction first = correction(Action::add_cycle, std::nullopt, 56.0, 57.0);
    CHECK(added({first}, 60.0, 61.0).status == CycleStatus::extra);
    CHECK(added({drop, correction(Action::add_cycle, std::nullopt, 25.0, 27.0)}, 29.0, 31.0).status == CycleStatus::extra);
    // Of four holds one has no cue: in the opening rest that may be the first.
    plan.steps[1].times = 4;
    CHECK(added({}, 2.0, 6.0).step == 1);
}

TEST_CASE("a correction that cannot be meant is refused") {
    CHECK(refusal({correction(Action::move_onset, 4, 12.0)}) ==
          "move_onset of cycle 4: there is no such cycle: saw cycle 4, expected one of the 3 cycles not dropped");
    CHECK(
        refusal({correction(Action::drop_cycle, 2, 0), correction(Action::move_onset, 2, 26.0)}).find("saw cycle 2") !=
        std::string::npos);
    CHECK(refusal({correction(Action::move_onset, std::nullopt, 12.0)}).find("saw no number") != std::string::npos);
    CHECK(refusal({correction(Action::move_onset, 1, 60.5)}) ==
          "move_onset of cycle 1: the time is outside the recording: saw 60.5 s, expected from 0 to 60.0 s");
    CHECK(refusal({correction(Action::add_cycle, std::nullopt, 0.0, 3.0)}) == "accepted");
    CHECK(refusal({correction(Action::add_cycle, std::nullopt, 0.5, 3.0)}) == "accepted");
    CHECK(refusal({correction(Action::add_cycle, std::nullopt, 57.0, 60.0)}) == "accepted");
    CHECK(refusal({correction(Action::move_contract_cue, 1, 15.0)}) ==
          "move_contract_cue of cycle 1: the contract cue must come before the relax cue: saw 15 s and 15 s");
    CHECK(refusal({correction(Action::move_relax_cue, 1, 26.0)}) ==
          "corrections: corrected cycles overlap: saw one from 10 to 26 s and one from 25 s");
    CHECK(refusal({correction(Action::add_cycle, std::nullopt, 12.0, 13.0)}).find("corrected cycles overlap") !=
          std::string::npos);
    CHECK(refusal({correction(Action::add_cycle, std::nullopt, 13.0, 12.0)}) ==
          "add_cycle: the window ends before it begins: saw 13 s to 12 s");
    CHECK(refusal({correction(Action::move_onset, 1, 16.0)}) ==
          "cycle 1: a corrected contraction ends before it begins: saw onset 16 s and offset 15.2 s");
}

TEST_CASE("a time given to a contraction lies at its own cues") {
    CHECK(refusal({correction(Action::move_onset, 3, 10.0)}) ==
          "move_onset of cycle 3: the time is not of this contraction: saw 10 s, expected from 30 to 45 s");
    CHECK(refusal({correction(Action::move_onset, 3, 30.0)}) == "accepted");
    CHECK(refusal({correction(Action::move_onset, 2, 30.1)}) ==
          "move_onset of cycle 2: the time is not of this contraction: saw 30.1 s, expected from 15 to 30 s");
    CHECK(refusal({correction(Action::move_onset, 1, 0.0)}) == "accepted");
    CHECK(refusal({correction(Action::move_offset, 1, 25.0)}) == "accepted");
    CHECK(refusal({correction(Action::move_offset, 1, 25.1)}) ==
          "move_offset of cycle 1: the time is not of this contraction: saw 25.1 s, expected from 0 to 25 s");
    CHECK(refusal({correction(Action::move_offset, 2, 14.0)}).find("saw 14 s, expected from 15 to 40 s") != std::string::npos);
    // By the cues as they are corrected.
    CHECK(refusal({correction(Action::move_offset, 1, 25.1), correction(Action::drop_cycle, 2, 0)}) == "accepted");
    CHECK(refusal({correction(Action::move_onset, 3, 29.0), correction(Action::move_relax_cue, 2, 28.0)}) == "accepted");
}

TEST_CASE("a refused correction names the line it was written in and the same one twice is refused") {
    const auto written = [](Correction correction, std::size_t line) {
        correction.list = "c.csv";
        correction.line = line;
        return correction;
    };
    CHECK(refusal({written(correction(Action::move_onset, 9, 3.0), 4)}) ==
          "c.csv:4, move_onset of cycle 9: there is no such cycle: saw cycle 9, expected one of the 3 cycles not dropped");
    CHECK(refusal({written(correction(Action::move_onset, 1, 10.6), 2), written(correction(Action::move_offset, 1, 15.0), 3),
                   written(correction(Action::move_onset, 1, 10.7), 5)}) ==
          "c.csv:2, c.csv:5, move_onset of cycle 1: the same correction more than once: expected each once");
    CHECK(refusal({written(correction(Action::add_cycle, {}, 12.0, 13.0), 7)}) ==
          "c.csv:7, corrections: corrected cycles overlap: saw one from 10 to 15 s and one from 12 s");
    CHECK(refusal({correction(Action::drop_cycle, 1, 0.0), correction(Action::drop_cycle, 2, 0.0)}) == "accepted");
}
