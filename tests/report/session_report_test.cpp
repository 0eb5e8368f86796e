#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <set>
#include <sstream>

#include "support/golden.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/session_figures.hpp"

using namespace tracehold;

namespace {

constexpr TextStyle kTerminal = {.columns = 80, .pictures = true, .color = false};

std::string text_of(const SessionScore& score) {
    const Envelope envelope = test::made_up_envelope(score);
    return render_text(compose_session_report(score, &envelope), kTerminal);
}

// With every run of blanks and line breaks as one blank, so that wrapping does not hide a sentence.
std::string unwrapped(const std::string& text) {
    std::string out;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\n';
        if (!blank)
            out += c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    }
    return out;
}

bool says(const std::string& text, const std::string& sentence) {
    return unwrapped(text).find(sentence) != std::string::npos;
}

std::string first_lines(const std::string& text, int count) {
    std::istringstream stream(text);
    std::string out, line;
    for (int i = 0; i < count && std::getline(stream, line); ++i) out += line + "\n";
    return out;
}

std::vector<std::string> lower_words(const std::string& text) {
    std::vector<std::string> words(1);
    for (const char c : text) {
        if (std::isalpha(static_cast<unsigned char>(c)))
            words.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        else if (!words.back().empty())
            words.emplace_back();
    }
    return words;
}

SessionScore with_endurance(bool censored) {
    SessionScore score = test::made_up_session();
    ScoredCycle& scored = score.cycles.back();
    scored.cycle.kind = StepKind::endurance;
    scored.values[measure_index("endurance_s").value()] = Estimate::of(21.4);
    scored.values[measure_index("endurance_censored").value()] = Estimate::of(censored ? 1.0 : 0.0);
    return score;
}

}  // namespace

TEST_CASE("golden: the text of a session") { CHECK_GOLDEN("session.txt", text_of(test::made_up_session())); }

TEST_CASE("golden: the Markdown of a session") {
    const SessionScore score = test::made_up_session();
    const Envelope envelope = test::made_up_envelope(score);
    CHECK_GOLDEN("session.md", render_markdown(compose_session_report(score, &envelope)));
}

TEST_CASE("golden: the text of a recording that cannot be scored") {
    CHECK_GOLDEN("session_empty.txt",
                 render_text(compose_session_report(test::made_up_empty_session(), nullptr), kTerminal));
}

TEST_CASE("the first screen of 24 lines holds the three answers and the figures") {
    const std::string screen = first_lines(text_of(test::made_up_session()), 24);
    for (const char* sentence :
         {"9 of 10 planned contractions done: hold 5 of 5, rapid 4 of 5. 1 missed. 1 extra",
          "1 later than usual.",
          "With care. 1 caution, 1 note, 1 correction by hand.", "Means are over the 5 holds that were done.",
          "Hold mean, µV 19.3 1.1", "Release time, s 1.22", "above it", "Fade over the hold, % −15.0"}) {
        CAPTURE(std::string(sentence));
        CHECK(says(screen, sentence));
    }
}

TEST_CASE("the same numbers stand in text and Markdown") {
    const Report report = compose_session_report(test::made_up_session(), nullptr);
    std::set<std::string> cells;
    for (const Section& section : report.sections) {
        for (const Block& block : section.blocks) {
            if (const auto* table = std::get_if<ReportTable>(&block)) {
                for (const auto& row : table->rows) {
                    for (const Cell& cell : row) cells.insert(cell.text);
                }
            }
        }
    }
    const std::string text = unwrapped(render_text(report)), markdown = render_markdown(report);
    std::string plain;
    for (const char c : markdown) plain += c == '\\' ? "" : std::string(1, c);
    CHECK_GT(cells.size(), 40);
    for (const std::string& cell : cells) {
        const bool is_number = cell.find_first_not_of("0123456789.−") == std::string::npos;
        if (!is_number) continue;
        CAPTURE(cell);
        CHECK_NE(text.find(cell), std::string::npos);
        CHECK_NE(plain.find(cell), std::string::npos);
    }
}

TEST_CASE("a number that is missing is a dash whose reason stands under the table") {
    const std::string text = text_of(test::made_up_session());
    CHECK(says(text, "² not released in the rest"));
    CHECK(says(text, "² the hold is too short for a line"));
    CHECK(says(text, "³ no contraction found"));
    CHECK(says(text, "9 rapid missed –³ –³ –³ –³ –³ –³ –³"));
}

TEST_CASE("a mean of fewer contractions than were done says why the others have no value") {
    SessionScore score = test::made_up_session();
    CHECK(says(text_of(score), "4²"));  // of five holds one was not released
    CHECK(says(text_of(score), "¹ not released in the rest"));
    const std::size_t release = *measure_index("release_s");
    score.measures[release].n = 2;
    for (const std::size_t cycle : {0u, 1u}) score.cycles[cycle].values[release] = Estimate::none("rest scatters by too much of the lift");
    CHECK(says(text_of(score), "2 × rest scatters by too much of the lift; 1 × not released in the rest"));
}

TEST_CASE("cautions of the electrode and of the reference are something to ask about") {
    SessionScore score = test::made_up_session();
    score.targets.clear();
    score.quality.findings.clear();
    CHECK(says(text_of(score), "No question follows from this session alone."));
    score.quality.findings = {{"motion", Severity::caution, "slow waves", {}}};
    CHECK(says(text_of(score), "Are electrode, contact, cable and place as they should be?"));
    score.quality.findings = {{"reference_differs", Severity::caution, "the best second reads less", {}}};
    CHECK(says(text_of(score), "Does the reference contraction in the plan still hold for this electrode and its place?"));
    score.done = 1, score.missed = 14;
    score.quality.findings = {{"late_release", Severity::caution, "late", std::vector<TimeSpan>(13, TimeSpan{1, 2})}};
    CHECK(says(text_of(score), "1 of 15 contractions could be seen; before the others the muscle was mostly as active as in a contraction"));
    CHECK_FALSE(says(text_of(score), "contact and position of the electrode"));
}

TEST_CASE("of a rejected signal the steps are dashes with a reason in words") {
    SessionScore score = test::made_up_session();
    score.quality.usable = false;
    score.quality.findings = {{"reference_off", Severity::reject, "hum throughout", {}}};
    for (ScoredCycle& each : score.cycles) {
        for (Estimate& value : each.values) value = Estimate::none("the signal was rejected: reference_off");
    }
    for (StepScore& step : score.steps) step.measures.assign(measure_list().size(), Summary{});
    const std::string text = text_of(score);
    CHECK_FALSE(says(text, "reference_off"));
    CHECK(says(text, "¹ the signal was rejected; the reason stands above"));
    CHECK(says(text, "5 × hold 8 s, rest 10 s –¹ –¹"));
    CHECK_FALSE(says(text, "5 of 5"));
}

TEST_CASE("every table is well formed and every note it names is there") {
    for (const SessionScore& score : {test::made_up_session(), test::made_up_empty_session(), with_endurance(true)}) {
        for (const Section& section : compose_session_report(score, nullptr).sections) {
            for (const Block& block : section.blocks) {
                const auto* table = std::get_if<ReportTable>(&block);
                if (!table) continue;
                for (const auto& row : table->rows) {
                    CHECK_EQ(row.size(), table->columns.size());
                    for (const Cell& cell : row) CHECK_LE(cell.note, table->notes.size());
                }
            }
        }
    }
}

TEST_CASE("every anchor of a table leads to a definition") {
    const Report report = compose_session_report(test::made_up_session(), nullptr);
    std::set<std::string> defined, used;
    for (const Section& section : report.sections) {
        for (const Block& block : section.blocks) {
            if (const auto* definitions = std::get_if<Definitions>(&block)) {
                for (const Definition& item : definitions->items) CHECK(defined.insert(item.anchor).second);
            }
            if (const auto* table = std::get_if<ReportTable>(&block)) {
                for (const Column& column : table->columns) used.insert(column.anchor);
                for (const auto& row : table->rows) {
                    for (const Cell& cell : row) used.insert(cell.anchor);
                }
            }
            if (const auto* facts = std::get_if<Facts>(&block)) {
                for (const Fact& fact : facts->items) used.insert(fact.anchor);
            }
            if (const auto* answers = std::get_if<Answers>(&block)) {
                for (const Answer& answer : answers->items)
                    for (const Cell& term : answer.terms) used.insert(term.anchor);
            }
        }
    }
    used.erase("");
    CHECK_GE(used.size(), 18);
    for (const std::string& anchor : used) {
        CAPTURE(anchor);
        CHECK(defined.contains(anchor));
    }
}

TEST_CASE("what rests on a correction is marked and who made it is named") {
    const std::string text = text_of(test::made_up_session());
    CHECK(says(text, "2* hold done"));
    CHECK(says(text, "* rests on a correction made by hand."));
    CHECK(says(text,
               "Contraction 2: onset moved to 38.42 s, by C-04 on 2026-03-04 (a cable swing was taken for the rise)"));
    CHECK(says(text, "Contractions of these means that rest on a correction by hand: 1."));
}

TEST_CASE("when a fifth of the activity is there stands where the cues tell it") {
    SessionScore score = test::made_up_session();
    const std::size_t reaction = *measure_index("reaction_s");
    score.cycles.resize(3);
    for (std::size_t i = 0; i < 3; ++i) score.cycles[i].cycle.rise_20_s = score.cycles[i].cycle.work.begin_s + 0.3 + 0.25 * static_cast<double>(i);
    CHECK(says(text_of(score), "A fifth of the activity was there 0.55 s after the cue to contract, in the median of 3 contractions (0.30 to 0.80 s)."));
    score.cycles[0].values[reaction] = Estimate::none("cues were estimated from the trace");
    CHECK(says(text_of(score), "in the median of 2 contractions (0.55 to 0.80 s)"));
    score.cycles[1].cycle.rise_20_s.reset();
    CHECK_FALSE(says(text_of(score), "A fifth of"));
}

TEST_CASE("the page names each contraction by one number, those added by the numbers after the last") {
    SessionScore score = test::made_up_session();
    const auto lists = [&](const char* words) { return says(text_of(score), words); };
    const int found = static_cast<int>(score.cycles.size());
    score.corrections.push_back({.action = CorrectionAction::drop_cycle, .cycle = 1, .who = "C-04", .when = "2026-03-04"});
    score.cycles.erase(score.cycles.begin());
    CHECK(lists("2* hold done"));
    CHECK(lists("Contraction 2: onset moved"));
    CHECK(lists("Contraction 1: dropped"));
    for (const int number : {found + 1, found + 2}) {
        score.corrections.push_back({.action = CorrectionAction::add_cycle, .from_s = 2.0, .to_s = 4.0, .who = "C-04", .when = "2026-03-04"});
        score.cycles.insert(score.cycles.begin(), score.cycles.back());
        score.cycles.front().cycle.index = number;
        score.cycles.front().cycle.corrected = {"added"};
        CHECK(lists(fmt::format("Contraction {}: added at 2.00–4.00 s", number).c_str()));
    }
    // Charts reach to the greatest number.
    const auto figure = measures_figure(score);
    REQUIRE(figure);
    CHECK(figure->charts.front().x.high == found + 2.5);
}

TEST_CASE("a mean whose interval includes the target is not called clear") {
    SessionScore score = test::made_up_session();
    score.quality.findings.clear();
    Summary& rest = score.measures[*measure_index("rest_mean_uv")];
    rest.ci95_low = 2.0;
    rest.ci95_high = 4.5;
    const std::string text = text_of(score);
    CHECK(says(text, "below it, not clearly"));
    CHECK(says(text, "Not clearly: the 95 % interval of the mean includes the target."));
}

TEST_CASE("one contraction has no verdict and a subtracted level none on rest") {
    SessionScore score = test::made_up_session();
    Summary& rest = score.measures[*measure_index("rest_mean_uv")];
    rest = {.n = 1, .mean = 3.0};
    CHECK(says(text_of(score), "one contraction does not tell where the mean lies"));
    score = test::made_up_session();
    CHECK_FALSE(says(text_of(score), "not held against the target"));
    score.settings.envelope.subtract_noise_floor = true;
    CHECK(says(text_of(score), "not held against the target: what was subtracted is missing"));
}

TEST_CASE("values that are all equal have no interval that would claim certainty") {
    SessionScore score = test::made_up_session();
    score.measures[*measure_index("above_threshold_pct")] = {.n = 5, .mean = 0.0, .sd = 0.0, .ci95_low = 0.0, .ci95_high = 0.0};
    CHECK_FALSE(says(text_of(score), "0 to 0"));
    CHECK(says(text_of(score), "all values are equal, which does not tell how far their mean may be off"));
}

TEST_CASE("an interval ends where the number can be no more") {
    SessionScore score = test::made_up_session();
    score.measures[*measure_index("above_threshold_pct")] = {.n = 2, .mean = 16.0, .sd = 23.0, .ci95_low = -191.0, .ci95_high = 224.0};
    CHECK(says(text_of(score), "16 23 0 to 100 2"));
    score.measures[*measure_index("fade_pct")] = {.n = 2, .mean = -98.6, .sd = 0.3, .ci95_low = -101.3, .ci95_high = -95.9};
    CHECK(says(text_of(score), "−98.6 0.3 −100.0 to −95.9 2"));
}

TEST_CASE("marks of another plan are named and ask which one was trained") {
    SessionScore score = test::made_up_session();
    CHECK(says(text_of(score), "1 extra, no cue."));
    score.notes.push_back({"marks_beyond_plan", "", "11 marked, 10 planned"});
    CHECK(says(text_of(score), "1 extra, no cue of the plan."));
    CHECK_FALSE(says(text_of(score), "Which plan was trained?"));
    for (const char* code : {"cues_off_plan", "marks_beyond_plan"}) {
        CAPTURE(code);
        score = test::made_up_session();
        score.quality.findings.push_back({code, Severity::caution, "other marks", {}});
        const std::string text = text_of(score);
        CHECK(says(text, "Which plan was trained? The marks in the recording are not those of the plan given."));
        CHECK(says(text, "what of it was done, and what is extra, cannot be told."));
        CHECK_FALSE(says(text, "extra, no cue."));
    }
}

TEST_CASE("how the holds ended and exchanged marks are asked about with what shows it") {
    const std::size_t fade = *measure_index("fade_pct"), release = *measure_index("release_s");
    SessionScore score = test::made_up_session();
    const std::string plain = text_of(score);
    for (const char* question : {"faded within the holds", "Letting go began before", "exchanged?"}) CHECK_FALSE(says(plain, question));
    score.measures[fade] = {.n = 5, .mean = -24.0, .sd = 5.0, .ci95_low = -30.2, .ci95_high = -17.8};
    CHECK_FALSE(says(text_of(score), "faded within the holds"));  // not clearly more than a fifth
    score.measures[fade] = {.n = 5, .mean = -67.8, .sd = 3.3, .ci95_low = -71.9, .ci95_high = -63.7};
    CHECK(says(text_of(score), "Activity faded within the holds, by 68 % in the mean: do the length of the hold and of the rest suit"));
    score.cues = CueSource::trace;
    CHECK_FALSE(says(text_of(score), "faded within the holds"));  // the window ends where letting go does
    score.cues = CueSource::marks;
    const auto let_go_early = [&](std::size_t count) {
        for (std::size_t i = 0; i < count; ++i) score.cycles[i].values[release] = Estimate::none(kLetGoBefore);
    };
    let_go_early(2);
    CHECK_FALSE(says(text_of(score), "Letting go began before"));
    let_go_early(3);
    CHECK(says(text_of(score), "The muscle had let go before the cue in 3 of 5 holds: is it understood when to let go"));
    CHECK_FALSE(says(text_of(score), "faded within the holds"));  // it is one thing
    score = test::made_up_session();
    score.quality.findings.push_back({"marks_exchanged", Severity::caution, "exchanged", {}});
    CHECK(says(text_of(score), "Are the marks to contract and to relax exchanged, or did contractions come late?"));
}

TEST_CASE("what may make the counts tell of something else is asked about") {
    const auto asks = [](const char* code, const char* question) {
        SessionScore score = test::made_up_session();
        const bool before = says(text_of(score), question);
        score.planned += 2;
        score.quality.findings.push_back({code, Severity::caution, "doubt", {}});
        return !before && says(text_of(score), question);
    };
    CHECK(asks("crosstalk", "Is another muscle doing the work (breath held, bearing down, belly)?"));
    CHECK(asks("ends_early", "10 of 12 planned contractions are in the recording: was it ended early"));
    CHECK(asks("plan_not_whole", "10 of 12 planned contractions are in the recording: was it ended early"));
    CHECK(asks("cues_out_of_step", "Are the marks in step with the trace, or does this person start late or early?"));
    SessionScore score = test::made_up_session();
    score.extra = 2;
    CHECK_FALSE(says(text_of(score), "does this person follow the cues?"));
    score.extra = 3;
    CHECK(says(text_of(score), "3 contractions that nothing asked for: does this person follow the cues?"));
    score.planned += 1;
    score.corrections = {{.action = CorrectionAction::drop_cycle, .cycle = 1}};
    CHECK(says(text_of(score), "1 left out by hand."));
    CHECK_FALSE(says(text_of(score), "not recorded."));
}

// Falls of a straight line: the first and last value are those of the line itself. 12 values in falling order: p < 0.01.
TEST_CASE("activity that clearly falls over the session is asked about with what shows it") {
    const auto session = [](double from_uv, double step_uv, std::size_t count) {
        SessionScore score = test::made_up_session();
        const ScoredCycle hold = score.cycles[0];
        score.cycles.clear();
        for (std::size_t i = 0; i < count; ++i) {
            score.cycles.push_back(hold);
            Cycle& cycle = score.cycles.back().cycle;
            const double later_s = 18.0 * static_cast<double>(i);
            cycle.index = static_cast<int>(i) + 1;
            cycle.work = {cycle.work.begin_s + later_s, cycle.work.end_s + later_s};
            score.cycles.back().values[*measure_index("work_mean_uv")] = Estimate::of(from_uv - step_uv * static_cast<double>(i), 0.3);
        }
        score.planned = score.done = count;
        score.missed = score.extra = 0;
        return score;
    };
    const char* question = "over the holds of this session";
    CHECK(says(text_of(session(20.0, 1.0, 12)), "Activity fell from 20.0 to 9.0 µV over the holds of this session"));
    CHECK_FALSE(says(text_of(session(20.0, 0.3, 12)), question));   // by 16.5 %
    CHECK_FALSE(says(text_of(session(20.0, -1.0, 12)), question));  // it rises
    CHECK_FALSE(says(text_of(session(20.0, 3.0, 5)), question));    // five in a row: p = 2/120
    SessionScore lengths = session(20.0, 1.0, 12);
    lengths.cycles.back().cycle.work.end_s += 3.0;
    CHECK_FALSE(says(text_of(lengths), question));
    CHECK(render_text(compose_referrer_report(session(20.0, 1.0, 12), Language::en), {.columns = 10000})
              .find("Activity fell over the session, by about 55 %") != std::string::npos);
}

TEST_CASE("rest is held against its target only where nothing found may make it read otherwise") {
    SessionScore score = test::made_up_session();
    score.quality.findings = {{"begun_late", Severity::caution, "begun late", {}}};
    CHECK(says(text_of(score), "below 4 below it 0."));
    for (const char* code : {"mains", "motion", "rest_high", "unit_assumed"}) {
        CAPTURE(code);
        score.quality.findings = {{code, Severity::caution, "doubt", {}}};
        const std::string text = text_of(score);
        CHECK(says(text, "below 4 in doubt¹"));
        CHECK(says(text, "what was found may make resting activity read too high or too low"));
        CHECK(render_text(compose_referrer_report(score, Language::en), {.columns = 10000}).find("below 4 µV, in doubt: what was found") !=
              std::string::npos);
    }
    const auto set_rest = [&](double mean, double low, double high) {
        Summary& rest = score.measures[*measure_index("rest_mean_uv")];
        rest.mean = mean, rest.ci95_low = low, rest.ci95_high = high;
        score.targets[0].value = Estimate::of(mean);
    };
    CHECK_FALSE(says(text_of(score), "Resting activity does not read"));
    set_rest(5.5, 5.0, 6.0);
    CHECK_FALSE(says(text_of(score), "Rest mean is not below"));
    CHECK(says(text_of(score), "Resting activity does not read below 4 µV, its target: is it the muscle, or what was found in the signal?"));
    score.quality.findings.clear();
    CHECK(says(text_of(score), "Rest mean is not below"));
}

TEST_CASE("where no hold was done the page says so and tells of the rapid ones") {
    SessionScore score = test::made_up_session();
    std::erase_if(score.cycles, [](const ScoredCycle& each) { return each.cycle.kind == StepKind::hold; });
    for (Summary& summary : score.measures) summary = {};
    score.steps[0].done = 0;
    for (Summary& summary : score.steps[0].measures) summary = {};
    const std::string text = text_of(score);
    CHECK(says(text, "No hold was seen. Means are over the 4 rapid contractions that were done."));
    CHECK_FALSE(says(text, "Nothing could be measured"));
    CHECK(says(first_lines(text, 24), "Hold mean, µV 21."));
}

TEST_CASE("counts at cues that may be off are said to be at their cues") {
    SessionScore score = test::made_up_session();
    CHECK_FALSE(says(text_of(score), "at their cues"));
    score.quality.findings.push_back({"cues_out_of_step", Severity::caution, "out of step", {}});
    CHECK(says(text_of(score), "1 missed at their cues: whether they were done cannot be told."));
    CHECK(says(text_of(score), "All counts are at their cues, which may be out of step with the trace."));
}

TEST_CASE("where less than half was seen the electrode and the task are asked about first") {
    SessionScore score = test::made_up_session();
    CHECK_FALSE(says(text_of(score), "contractions were seen"));
    score.done = 1, score.missed = 9;
    CHECK(says(text_of(score), "1 of 10 contractions were seen: are contact and position of the electrode as they should be"));
    score.done = score.missed = score.extra = 0;
    CHECK(says(text_of(score), "No contraction was found: are contact and position of the electrode as they should be"));
}

TEST_CASE("figures of one contraction are no means") {
    SessionScore score = test::made_up_session();
    std::size_t holds = 0;
    std::erase_if(score.cycles, [&](const ScoredCycle& each) { return each.cycle.kind == StepKind::hold && holds++ > 0; });
    CHECK(says(text_of(score), "One hold was done; the figures are of that one."));
    CHECK_FALSE(says(text_of(score), "Means are over"));
}

TEST_CASE("the mean that a referrer reads stands on the first screen with the same interval") {
    const SessionScore score = test::made_up_session();
    const std::string screen = first_lines(text_of(score), 24);
    const std::string referrer = render_text(compose_referrer_report(score), {.columns = 10000});
    for (const auto& [name, mean, low, high] : {std::array{"old mean", "19.3", "17.9", "20.7"}, std::array{"est mean", "3.02", "2.86", "3.18"}}) {
        CHECK(says(screen, std::string(name) + ", µV " + mean));
        CHECK(says(screen, std::string(low) + " to " + high));
        CHECK(says(referrer, std::string(name) + ": " + mean + " (" + low + "–" + high + "; n = "));
    }
}

TEST_CASE("missed contractions with activity before their cue are counted apart") {
    SessionScore score = test::made_up_session();
    score.quality.findings.push_back({"late_release", Severity::caution, "late", {{1, 2}}});
    CHECK(says(text_of(score), "1 missed, 1 of them with activity at the level of a contraction before the cue"));
    CHECK(says(text_of(score), "is letting go understood"));
    score.quality.findings.pop_back();
    CHECK_FALSE(says(text_of(score), "is letting go understood"));
}

TEST_CASE("the first screen says how much was masked") {
    SessionScore score = test::made_up_session();
    score.quality.findings.clear();
    score.quality.masked_s = 14.6;
    CHECK(says(first_lines(text_of(score), 24), "14.6 s (10.0 %) masked."));
    score.quality.masked_s = 0.0;
    CHECK_FALSE(says(first_lines(text_of(score), 24), "masked"));
}

TEST_CASE("a session by cue marks without a plan does not say that the trace alone was searched") {
    SessionScore score = test::made_up_session();
    score.plan.reset();
    score.targets.clear();
    CHECK(says(text_of(score), "none: contractions were looked for at the cue marks of the recording"));
    score.cues = CueSource::trace;
    CHECK(says(text_of(score), "none: contractions were looked for in the trace alone"));
}

TEST_CASE("one session shows no change and asks about targets that were clearly missed") {
    const std::string text = text_of(test::made_up_session());
    CHECK(says(text, "What changed? One session cannot show a change; a course of sessions can (tracehold course)."));
    CHECK(says(text, "Release time is not below 1 s, its target"));
    CHECK_FALSE(says(text, "Rest mean is not below"));
}

TEST_CASE("where estimated cues lie is told with their confidence") {
    SessionScore score = test::made_up_session();
    score.cues = CueSource::aligned;
    score.cue_offset_s = 3.2;
    score.cue_confidence = 0.87;
    const std::string text = text_of(score);
    CHECK(says(text, "begun at 3.2 s, 87 % sure that the plan and this place of it are right within 0.5 s; a late start that all contractions share"));
}

TEST_CASE("on a rejected signal no amplitude is shown") {
    SessionScore score = test::made_up_session();
    score.quality.usable = false;
    const std::string text = text_of(score);
    CHECK(says(text, "the signal was rejected, so what it shows is not read as muscle"));
    REQUIRE(says(text_of(test::made_up_session()), "Quietest seconds 2.1 µV"));
    CHECK_FALSE(says(text, "Quietest seconds 2.1 µV"));
    CHECK_FALSE(says(text, "Highest"));
    CHECK_FALSE(says(text, ": up to"));
    CHECK(says(text, "Mains hum"));  // of the signal, whatever its cause
}

TEST_CASE("where nothing is given of what was done the page says why") {
    SessionScore score = test::made_up_session();
    for (Summary& summary : score.measures) summary = Summary{};
    for (StepScore& step : score.steps) std::fill(step.measures.begin(), step.measures.end(), Summary{});
    for (ScoredCycle& scored : score.cycles) {
        for (Estimate& value : scored.values) value = Estimate::none("the cues may be out of step with the trace");
    }
    CHECK(says(text_of(score), "Nothing is given of it: the cues may be out of step with the trace."));
    score.done = 0;
    for (ScoredCycle& scored : score.cycles) scored.cycle.status = CycleStatus::missed;
    CHECK(says(text_of(score), "Nothing could be measured: there is no contraction in usable signal."));
}

TEST_CASE("a recording without a plan is not held against one") {
    SessionScore score = test::made_up_session();
    score.plan.reset();
    score.targets.clear();
    score.cues = CueSource::trace;
    const std::string text = text_of(score);
    CHECK(says(text, "10 contractions found. No comparison with a plan."));
    CHECK_FALSE(says(text, "planned contractions"));
    CHECK_FALSE(says(text, "Target set"));
}

TEST_CASE("contractions that the plan asks for and the recording lacks are counted") {
    SessionScore score = test::made_up_session();
    score.planned = 12;
    CHECK(says(text_of(score),
               "9 of 12 planned contractions done: hold 5 of 5, rapid 4 of 5. 2 not recorded. 1 missed."));
}

TEST_CASE("exported envelopes say whose amplitudes they are") {
    SessionScore score = test::made_up_session();
    score.envelope_method = EnvelopeMethod::as_exported;
    score.low_hz = score.high_hz = 0.0;
    const std::string text = text_of(score);
    CHECK(says(text, "Amplitudes as exported by the recorder."));
    CHECK(says(text, "not filtered: the recorder exported amplitudes"));
}

TEST_CASE("an endurance contraction that never gave way lasted at least its work window") {
    CHECK(says(text_of(with_endurance(true)), "Contraction 11, endurance: at least 21.4 s"));
    CHECK(says(text_of(with_endurance(false)), "Contraction 11, endurance: 21.4 s until"));
}

TEST_CASE("a recording that cannot be scored says so first and shows no figures") {
    const std::string text = render_text(compose_session_report(test::made_up_empty_session(), nullptr), kTerminal);
    CHECK(says(first_lines(text, 14), "No: it cannot be scored as it is."));
    CHECK(says(text, "Cannot be told from this signal: no contraction can be"));
    CHECK(says(text, "Nothing could be measured"));
    CHECK_FALSE(says(text, "Quietest seconds"));
    CHECK_FALSE(says(text, " nan"));
}

TEST_CASE("limits and cautions stand on every report") {
    for (const SessionScore& score : {test::made_up_session(), test::made_up_empty_session()}) {
        const std::string text = render_text(compose_session_report(score, nullptr));
        CHECK(says(text, "It does not diagnose, grade severity, measure force, or stand in for an examination."));
        CHECK(says(text, "Decisions rest with the treating clinician."));
        CHECK(says(text, "Local rules and licensed practice come before this list"));
        CHECK(says(text, "is an emergency."));
    }
}

TEST_CASE("no page is wider than 80 columns or obeys a hostile text") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const SessionScore score = test::with_all_texts(test::made_up_session(), hostile);
        const Envelope envelope = test::made_up_envelope(score);
        std::istringstream stream(render_text(compose_session_report(score, &envelope), kTerminal));
        for (std::string line; std::getline(stream, line);) {
            REQUIRE_LE(utf8_count(line), 80);
            REQUIRE_EQ(shown(line, 1000), line);
        }
    }
}

TEST_CASE("five hundred contractions fit the page") {
    SessionScore score = test::made_up_session();
    const ScoredCycle model = score.cycles.front();
    for (int i = 12; i <= 500; ++i) {
        score.cycles.push_back(model);
        score.cycles.back().cycle.index = i;
    }
    std::istringstream stream(text_of(score));
    std::size_t rows = 0;
    for (std::string line; std::getline(stream, line);) {
        REQUIRE_LE(utf8_count(line), 80);
        rows += line.find("hold   done") != std::string::npos ? 1 : 0;
    }
    CHECK_EQ(rows, 5 + 489);
}

TEST_CASE("no fixed text judges a person or promises what electricity cannot say") {
    std::string fixed = text_of(test::made_up_session()) + text_of(with_endurance(true)) +
                        text_of(with_endurance(false)) +
                        render_text(compose_session_report(test::made_up_empty_session(), nullptr));
    for (const Measure& measure : measure_list()) {
        for (const std::string_view part : {measure.title, measure.definition, measure.edges, measure.source})
            fixed.append(part) += ' ';
    }
    const std::set<std::string> forbidden = {"normal", "abnormal", "weak",   "weaker",   "hypertonic", "hypotonic",
                                             "cured",  "fail",     "failed", "strength", "strong",     "tone",
                                             "good",   "bad",      "poor",   "healthy"};
    const auto words = lower_words(fixed);
    CHECK_GT(words.size(), 1000);
    for (std::size_t i = 0; i < words.size(); ++i) {
        CAPTURE(words[i]);
        CHECK_FALSE(forbidden.contains(words[i]));
        if (words[i] == "pass") CHECK_EQ(words[i + 1], "urine");   // "unable to pass urine": a warning sign
        if (words[i] == "passed") CHECK_EQ(words[i + 1], "over");  // seconds that are left out
    }
}
