#pragma once
// The sections of the session report, each a plain function of the score.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

Section head_section(const SessionScore& score);   // who, when, which file, which plan
Section brief_section(const SessionScore& score);  // the three answers
Section envelope_section(const SessionScore& score, const Envelope& envelope);
Section cycles_section(const SessionScore& score);
Section steps_section(const SessionScore& score);
Section signal_section(const SessionScore& score);
Section corrections_section(const SessionScore& score);
Section definitions_section(const SessionScore& score);  // of the measures shown
Section making_section(const SessionScore& score);

// "hold-3.csv (SHA-256 9f86...)"; the name alone where the hash is "".
std::string file_text(const std::string& name, const std::string& sha256);

// Positions in measure_list() of what the brief table shows: the primary measures, those with a target, those the plan
// calls for.
std::vector<std::size_t> brief_measures(const SessionScore& score);
// ... of what the tables of contractions and of steps show.
std::vector<std::size_t> cycle_measures();
std::vector<std::size_t> step_measures();

// "Work mean, µV" in a row, "Work mean µV" above a column.
std::string row_title(std::size_t measure);
std::string column_title(std::size_t measure);
// "hold", "rapid contraction"
std::string kind_noun(StepKind kind);
// "1 hold", "5 holds", "5 rapid contractions"
std::string counted_kind(std::size_t count, StepKind kind);
// "1 contraction", "2 contractions"
std::string counted(std::size_t count, std::string_view noun);
// "5 × hold 8 s, rest 10 s"
std::string step_text(const Step& step);

// The mean with the standard error of the mean, and its spread to the same decimals.
Cell mean_cell(const Summary& summary, std::size_t measure);
Cell sd_cell(const Summary& summary, std::size_t measure);
// "2.86 to 3.18": the 95 % interval of the mean, as fine as the mean. What cannot be is not in it: no negative µV. In: it has
// one.
std::string interval_text(const Summary& summary, std::size_t measure, std::string_view between);

// "Contraction 2: onset moved to 38.42 s, by KB on 2026-03-09". added: the number that an added one got.
std::string correction_text(const Correction& correction, std::optional<int> added = {});

// "Note", "Caution", "Unusable"
std::string_view severity_word(Severity severity);
Tone tone_of(Severity severity);
// "12.3 s (4.5 %)"
std::string masked_text(const SessionScore& score);
// "12.0–14.5 s, 20.0–20.4 s and 3 more"
std::string spans_text(const std::vector<TimeSpan>& spans);
// "87 %"; "not known how" for empty.
std::string confidence_text(std::optional<double> confidence);

// Of the missed contractions, those with activity like a contraction before their cue.
std::size_t busy_before(const SessionScore& score);

// Extra contractions that the trace shows; one added by hand without an onset is a clinician's word alone.
std::size_t extra_seen(const SessionScore& score);

// Of the holds done that the summaries are over, those that were let go before their cue to relax; of rapid contractions none.
struct LetGoEarly {
    std::size_t early = 0, of = 0;
    bool mostly() const { return early >= 2 && 2 * early >= of; }  // our choice: one is no habit
};
LetGoEarly holds_let_go_early(const SessionScore& score);

// The mean fade of the holds where it is clearly more than the fifth that the rules of a course ask about. Empty too where holds were
// mostly let go before the cue, which is asked about instead, or end with what the trace shows of them: a slow end would read as fading.
std::optional<double> clear_fade_pct(const SessionScore& score);

// Activity of the first and of the last hold by the line through all of them, where it clearly fell on the way (limits in
// session_sections.cpp). Empty too where holds of several lengths cannot be compared.
struct ActivityFall {
    double from_uv = 0.0, to_uv = 0.0;
    double percent() const { return 100.0 * (1.0 - to_uv / from_uv); }
};
std::optional<ActivityFall> activity_fall(const SessionScore& score);

// Numbers the reasons why cells are empty; the same reason has one number.
class ReasonNotes {
public:
    explicit ReasonNotes(std::vector<std::string>& notes) : notes_(notes) {}
    // "–" with the number of its reason.
    Cell dash(const std::string& reason) { return about("–", reason); }
    // Any text with the number of what is to be said of it.
    Cell about(std::string text, const std::string& reason);

private:
    std::vector<std::string>& notes_;
};

// Why done contractions of a kind lack this measure: the most frequent reason first, of equals the one met first.
struct ReasonCount {
    std::string reason;
    std::size_t times = 0;
};
std::vector<ReasonCount> reasons_of(const SessionScore& score, StepKind kind, std::size_t measure);
// All of them: "2 × not released in the rest; 1 × masked samples hide the moment"; a single one without its number.
std::string reasons_text(const SessionScore& score, StepKind kind, std::size_t measure);

}  // namespace tracehold
