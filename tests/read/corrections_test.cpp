#include "tracehold/read/corrections.hpp"

#include <doctest/doctest.h>

#include "tracehold/core/error.hpp"

using namespace tracehold;

namespace {

const std::string kCorrectionsHead = "file,action,cycle,from_s,to_s,who,when,why\n";

std::string corrections_error(const std::string& text) {
    try {
        read_corrections(text, "fix.csv");
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "read";
}

}  // namespace

TEST_CASE("every action is read with its fields") {
    const auto list = read_corrections(kCorrectionsHead +
                                           "a.csv,move_contract_cue,1,20.5,,C1,2026-03-02,late\n"
                                           "a.csv,Move_Relax_Cue,1,28.5,,C1,2026-03-02,\n"
                                           "a.csv,move_onset,2,40.125,,C1,2026-03-02T09:00,\n"
                                           "a.csv,move_offset,2,48,,C1,2026-03-02,\n"
                                           ",drop_cycle,3,,,C1,2026-03-02,cough\n"
                                           "a.csv,add_cycle,,60,68,C1,2026-03-02,\n"
                                           "a.csv,mask,,70,71.5,C1,2026-03-02,cable\n",
                                       "fix.csv");
    REQUIRE(list.size() == 7);
    CHECK(list[0] ==
          Correction{"a.csv", CorrectionAction::move_contract_cue, 1, 20.5, 0.0, "C1", "2026-03-02", "late", "fix.csv", 2});
    CHECK(list[1].action == CorrectionAction::move_relax_cue);
    CHECK(list[2].action == CorrectionAction::move_onset);
    CHECK(list[2].from_s == 40.125);
    CHECK(list[3].action == CorrectionAction::move_offset);
    CHECK(list[4] == Correction{"", CorrectionAction::drop_cycle, 3, 0.0, 0.0, "C1", "2026-03-02", "cough", "fix.csv", 6});
    CHECK(list[5] == Correction{"a.csv", CorrectionAction::add_cycle, {}, 60.0, 68.0, "C1", "2026-03-02", "", "fix.csv", 7});
    CHECK(list[6].to_s == 71.5);
    for (const Correction& correction : list) CHECK_FALSE(to_string(correction.action).empty());
    CHECK(to_string(CorrectionAction::mask) == "mask");
}

TEST_CASE("decimal commas and other orders of columns are understood") {
    const auto list = read_corrections("action;from_s;to_s;when;who\nmask;1,5;2,25;2026-03-02;C1\n", "fix.csv");
    CHECK(list.at(0).from_s == 1.5);
    CHECK(list.at(0).to_s == 2.25);
}

TEST_CASE("faults of corrections are named with their place") {
    const auto row = [](const std::string& text) { return corrections_error(kCorrectionsHead + text + "\n"); };
    CHECK(row("a.csv,move_onest,1,20,,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:7: unknown action: saw 'move_onest', expected move_contract_cue, "
          "move_relax_cue, move_onset, move_offset, drop_cycle, add_cycle or mask; did you mean 'move_onset'?");
    CHECK(row("a.csv,,1,20,,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:7: 'action' is empty, expected one of move_contract_cue, move_relax_cue, move_onset, "
          "move_offset, "
          "drop_cycle, add_cycle, mask");
    CHECK(row("a.csv,mask,,20,21,,2026-03-02,") ==
          "bad_setting fix.csv:2:19: 'who' is empty, expected who made the correction");
    CHECK(row("a.csv,mask,,20,21,C1,,") ==
          "bad_setting fix.csv:2:22: 'when' is empty, expected the date of the correction");
    CHECK(row("a.csv,mask,,20,21,C1,yesterday,") ==
          "bad_setting fix.csv:2:22: not a date: saw 'yesterday', expected one like 2026-03-02");
    CHECK(row("a.csv,mask,,21,20,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:16: the end is not behind the beginning: saw 20, expected more than 21");
    CHECK(row("a.csv,mask,,x,21,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:13: not a time in the recording: saw 'x', expected seconds from its start");
    CHECK(row("a.csv,mask,,-1,21,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:13: not a time in the recording: saw '-1', expected seconds from its start");
    CHECK(row("a.csv,mask,4,20,21,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:12: 'cycle' has no meaning for mask: saw '4', expected an empty cell");
    CHECK(row("a.csv,move_onset,,20,,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:18: 'cycle' is empty, expected the number that the result printed");
    CHECK(row("a.csv,move_onset,0,20,,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:18: not the number of a cycle: saw '0', expected 1, 2, 3 ...");
    CHECK(row("a.csv,move_onset,1,20,21,C1,2026-03-02,") ==
          "bad_setting fix.csv:2:23: 'to_s' has no meaning for move_onset: saw '21', expected an empty cell");
    CHECK(corrections_error("file,action,when\n") == "bad_setting fix.csv: no column 'who': saw file, action, when\nhint: the first row of a list names its columns; is it another file?");
    CHECK(corrections_error("action,who,when,form_s\n") ==
          "bad_setting fix.csv: unknown column: saw 'form_s'; did you mean 'from_s'?");
}
