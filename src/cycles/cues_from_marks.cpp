#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <span>
#include <string_view>

#include "cycles/cues.hpp"
#include "cycles/match_plan.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/plan/follows_plan.hpp"
#include "tracehold/statistics/summary.hpp"

// Idea: a contract mark opens a window, the next relax mark (or the mark's own duration) closes it, unless that is sooner
// than anybody could contract. What is left open takes the length that the plan, or the other marks, give it. Only then is
// the list held against the plan, cycle by cycle. Limits: marks are believed; that the muscle did something else is for the detection to say.

namespace tracehold {
namespace {

constexpr double kSameMark_s = 0.25;      // our choice: two contract marks this close are one press of a button
constexpr double kShortestWork_s = 0.25;  // our choice: nobody is asked to contract for less; such a mark is a press of a button
constexpr double kBriefWork_s = 0.5;      // our choice: half the rapid contraction of common practice, no source
constexpr double kDefaultRest_s = 10.0;   // our choice: rest after a single last contraction that nothing else tells
constexpr double kPauseFactor = 1.5;  // a rest longer than this times the planned one and a second more holds a pause
constexpr double kPauseSlack_s = 1.0;

struct MarkedWindow {
    double contract_s = 0.0;
    std::optional<double> relax_s;
};

std::string trimmed_lower(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    std::string out(text);
    for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return out;
}

bool is_one_of(const std::vector<std::string>& cues, const Mark& mark) {
    const std::string text = trimmed_lower(mark.text);
    return std::any_of(cues.begin(), cues.end(), [&](const std::string& cue) { return trimmed_lower(cue) == text; });
}

std::vector<MarkedWindow> open_and_close(std::span<const Mark> marks, const Plan* plan, double duration_s) {
    const auto contract_cues = plan ? plan->contract_cues : default_contract_cues();
    const auto relax_cues = plan ? plan->relax_cues : default_relax_cues();
    std::vector<MarkedWindow> windows;
    for (const Mark& mark : marks) {
        if (mark.time_s < 0.0 || mark.time_s >= duration_s) continue;
        const bool open = !windows.empty() && !windows.back().relax_s;
        if (is_one_of(contract_cues, mark)) {
            if (!windows.empty() && mark.time_s - windows.back().contract_s < kSameMark_s) continue;
            windows.push_back({mark.time_s, std::nullopt});
            if (mark.duration_s >= kShortestWork_s) windows.back().relax_s = mark.time_s + mark.duration_s;
        } else if (open && is_one_of(relax_cues, mark) && mark.time_s >= windows.back().contract_s + kShortestWork_s) {
            windows.back().relax_s = mark.time_s;
        }
    }
    return windows;
}

std::vector<double> marked_lengths(const std::vector<MarkedWindow>& windows) {
    std::vector<double> lengths;
    for (const MarkedWindow& window : windows) {
        if (window.relax_s) lengths.push_back(*window.relax_s - window.contract_s);
    }
    return lengths;
}

// A second contract mark before the shortest contraction could have ended repeats the first.
std::size_t merge_repeats(std::vector<MarkedWindow>& windows, double shortest_s) {
    std::vector<MarkedWindow> out;
    for (const MarkedWindow& window : windows) {
        const bool repeats =
            !out.empty() && !out.back().relax_s && window.contract_s - out.back().contract_s < 0.9 * shortest_s;
        if (repeats) {
            out.back().relax_s = window.relax_s;
        } else {
            out.push_back(window);
        }
    }
    const std::size_t merged = windows.size() - out.size();
    windows = std::move(out);
    return merged;
}

double shortest_work(const std::vector<double>& lengths, const std::vector<PlannedCycle>& planned) {
    double shortest = 1e9;
    for (const double length : lengths) shortest = std::min(shortest, length);
    if (!lengths.empty()) return shortest;
    for (const PlannedCycle& cycle : planned) shortest = std::min(shortest, cycle.relax_s - cycle.contract_s);
    return planned.empty() ? 0.0 : shortest;
}

// Marks tell each contract cue; the plan, or the other marks, the relax cues that are missing.
CueWindow window_of(const MarkedWindow& marked, const PlannedCycle* planned, double typical_s) {
    CueWindow window;
    const double length = planned ? planned->relax_s - planned->contract_s : typical_s;
    window.work = {marked.contract_s, marked.relax_s.value_or(marked.contract_s + length)};
    window.kind = planned ? planned->kind : kind_by_length(window.work.length_s());
    if (planned) window.step = planned->step;
    window.rest_end_s = planned ? window.work.end_s + planned->end_s - planned->relax_s : 0.0;
    return window;
}

double typical_rest(const std::vector<CueWindow>& windows) {
    std::vector<double> rests;
    for (std::size_t i = 0; i + 1 < windows.size(); ++i) {
        rests.push_back(std::max(0.0, windows[i + 1].work.begin_s - windows[i].work.end_s));
    }
    return rests.empty() ? kDefaultRest_s : median(rests);
}

// A rest ends with the next contract cue, unless a pause lies between.
void end_rests(std::vector<CueWindow>& windows, double duration_s) {
    const double rest_s = typical_rest(windows);
    for (std::size_t i = 0; i < windows.size(); ++i) {
        CueWindow& window = windows[i];
        const double next = i + 1 < windows.size() ? windows[i + 1].work.begin_s : duration_s;
        window.work.end_s = std::min(window.work.end_s, next);
        const double planned = window.rest_end_s > 0.0 ? window.rest_end_s - window.work.end_s : rest_s;
        const bool pause = next - window.work.end_s > kPauseFactor * planned + kPauseSlack_s;
        const bool last = i + 1 == windows.size();
        window.rest_end_s = pause || last ? std::min(window.work.end_s + planned, next) : next;
    }
}

void note_left_open(const std::vector<MarkedWindow>& windows, bool has_plan, std::vector<Note>& notes) {
    const auto open = std::count_if(windows.begin(), windows.end(), [](const MarkedWindow& w) { return !w.relax_s; });
    if (open == 0) return;
    notes.push_back({"relax_marks_missing", "",
                     fmt::format("{} of {} contract marks have no relax mark after them; their length is taken from {}",
                                 open, windows.size(), has_plan ? "the plan" : "the other marks")});
}

// Of marks that are neither cue, such as a remark or a cue in other words.
void note_unknown(std::span<const Mark> marks, const Plan* plan, std::vector<Note>& notes) {
    const auto contract_cues = plan ? plan->contract_cues : default_contract_cues();
    const auto relax_cues = plan ? plan->relax_cues : default_relax_cues();
    std::vector<const Mark*> unknown;
    for (const Mark& mark : marks) {
        if (!is_one_of(contract_cues, mark) && !is_one_of(relax_cues, mark)) unknown.push_back(&mark);
    }
    if (unknown.empty()) return;
    notes.push_back({"marks_not_understood", "",
                     fmt::format("{} of {} marks in the file ask neither to contract nor to relax and are not used; the first reads '{}'",
                                 unknown.size(), marks.size(), shown(unknown.front()->text))});
}

// Spans are of length 0 where no relax mark tells it; then nothing can be said.
void note_other_plan(std::span<const TimeSpan> spans, const Plan* plan, std::vector<Note>& notes) {
    const auto open = [](const TimeSpan& span) { return span.length_s() <= 0.0; };
    if (!plan || std::any_of(spans.begin(), spans.end(), open) || follows_plan(spans, *plan)) return;
    notes.push_back({"cues_off_plan", "",
                     fmt::format("the cue marks do not fit the plan: of {} marked contractions fewer than half come with the "
                                 "lengths and rests of its {}; was it recorded by another plan?",
                                 spans.size(), timeline(*plan).size()),
                     true});
}

// With a plan, match_plan says what differs from it.
void doubt_brief_marks(std::vector<double> lengths, std::vector<Note>& notes) {
    if (lengths.empty() || median(lengths) >= kBriefWork_s) return;
    notes.push_back({"marks_brief", "",
                     fmt::format("half of the marked contractions last {} s or less, and no plan says how long they should; the marks "
                                 "are used",
                                 fixed_text(median(lengths), 2)),
                     true});
}

Cues no_windows(const char* code, const std::string& text) {
    Cues cues;
    cues.from = CueSource::trace;
    cues.notes.push_back({code, "", text});
    return cues;
}

}  // namespace

StepKind kind_by_length(double seconds) {
    if (seconds <= 2.5) return StepKind::rapid;
    return seconds >= 20.0 ? StepKind::endurance : StepKind::hold;
}

Cues cues_from_marks(std::span<const Mark> marks, const Plan* plan, double duration_s) {
    std::vector<MarkedWindow> windows = open_and_close(marks, plan, duration_s);
    if (windows.empty()) {
        if (marks.empty()) return {};
        const auto inside = [&](const Mark& mark) { return mark.time_s >= 0.0 && mark.time_s < duration_s; };
        if (std::none_of(marks.begin(), marks.end(), inside)) {
            return no_windows("no_cue_marks", fmt::format("all {} marks in the file lie outside the recording: saw '{}' at {} s, expected from 0 to {} s",
                                                          marks.size(), shown(marks.front().text), fixed_text(marks.front().time_s, 1),
                                                          fixed_text(duration_s, 1)));
        }
        return no_windows("no_cue_marks",
                          fmt::format("none of the {} marks in the file is a contract cue; the first reads '{}'",
                                      marks.size(), shown(marks.front().text)));
    }
    const std::vector<PlannedCycle> planned = plan ? timeline(*plan) : std::vector<PlannedCycle>{};
    const std::vector<double> lengths = marked_lengths(windows);
    if (!plan && lengths.empty()) {
        return no_windows("relax_marks_missing",
                          "no relax mark follows any contract mark and no plan tells how long contractions last; "
                          "the marks are not used");
    }
    Cues cues;
    cues.from = CueSource::marks;
    if (const std::size_t merged = merge_repeats(windows, shortest_work(lengths, planned))) {
        cues.notes.push_back({"marks_repeated", "",
                              fmt::format("{} contract marks repeat the one before them and are left out", merged)});
    }
    note_unknown(marks, plan, cues.notes);
    note_left_open(windows, plan != nullptr, cues.notes);
    if (!plan) doubt_brief_marks(lengths, cues.notes);
    std::vector<TimeSpan> spans;
    for (const MarkedWindow& w : windows) spans.push_back({w.contract_s, w.relax_s.value_or(w.contract_s)});
    note_other_plan(spans, plan, cues.notes);
    const std::vector<const PlannedCycle*> partners = match_plan(spans, planned, plan, cues.notes);
    const double typical = lengths.empty() ? shortest_work(lengths, planned) : median(lengths);
    for (std::size_t i = 0; i < windows.size(); ++i)
        cues.windows.push_back(window_of(windows[i], partners[i], typical));
    end_rests(cues.windows, duration_s);
    return cues;
}

}  // namespace tracehold
