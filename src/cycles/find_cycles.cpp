#include "tracehold/cycles/find_cycles.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cycles/align_plan.hpp"
#include "cycles/beginnings.hpp"
#include "cycles/correct_cycles.hpp"
#include "cycles/cue_shift.hpp"
#include "cycles/cues.hpp"
#include "cycles/level_trace.hpp"
#include "cycles/status.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/cycles/place_contractions.hpp"

namespace tracehold {
namespace {

constexpr double kLeastEvidence = 3.0;  // odds of 20 to 1 that the plan was performed; our choice
constexpr double kLeastValid = 0.7;     // of the work window; definition of the measures
constexpr std::size_t kMostContractions = 10'000;  // our choice: a day of one every 9 s; more is noise

Cues cues_from_trace(const std::vector<Burst>& bursts, double duration_s) {
    Cues cues;
    cues.windows = windows_of_bursts(bursts, duration_s);
    if (cues.windows.empty()) {
        cues.notes.push_back({"no_contraction_found", "", "no contraction stands out from the rest of the trace"});
    }
    return cues;
}

Note restless_rest() {
    return {"rest_restless", "",
            "resting activity varies up to the level that a contraction must pass: those found without cues may be two in one, parts of "
            "one, or restless rest",
            true};
}

// The plan where the trace shows that it was performed; else what the trace alone tells. Without any contraction all
// are missed wherever the plan lies.
Cues fitted(const std::vector<Burst>& bursts, const Plan& plan, double duration_s) {
    Cues cues = align_plan(bursts, plan, duration_s);
    if (bursts.empty() || cues.evidence >= kLeastEvidence) {
        cues.notes.push_back({"cues_estimated", "",
                              "cue times were estimated by fitting the plan to the trace: times counted from a cue are not given, and a late "
                              "start that all contractions share cannot be told from cues that came later", true});
        return cues;
    }
    cues = cues_from_trace(bursts, duration_s);
    const bool is_short = duration_s < timeline(plan).back().relax_s;
    cues.notes.push_back({"plan_not_found", "",
                          fmt::format("where the plan lies in the trace cannot be said{}: the contractions do not follow it closely enough, or so "
                                      "evenly that a rhythm of the person's own fits as well; which were asked for, and which are missing, is "
                                      "not told; a start time or a file with cue marks settles it",
                                      is_short ? ", and the recording is shorter than the plan" : ""),
                          true});
    return cues;
}

// Marks first, then a start, then alignment, then the trace alone; notes of what was tried and not used are kept.
Cues find_cues(const CycleInput& input, const CycleSettings& settings, const std::vector<Burst>& bursts,
               double duration_s) {
    Cues marked = cues_from_marks(input.marks, input.plan, duration_s);
    if (!marked.windows.empty()) {
        if (settings.start) {
            marked.notes.push_back({"start_not_used", "", "the file has cue marks, which come before a given start"});
        }
        return marked;
    }
    if (settings.start && !input.plan) {
        marked.notes.push_back({"start_not_used", "", "a start was given without a plan; it says nothing on its own"});
    }
    Cues cues = !input.plan      ? cues_from_trace(bursts, duration_s)
                : settings.start ? cues_from_start(*input.plan, settings.start->value, duration_s)
                                 : fitted(bursts, *input.plan, duration_s);
    cues.notes.insert(cues.notes.begin(), marked.notes.begin(), marked.notes.end());
    return cues;
}

struct Window {
    CueWindow cue;
    bool cued = true;
    CueWindow answered;  // where its contraction is looked for: the cue, or moved as all contractions are
};

// From the start of the plan, or its first contract cue after the recording begins, to the end of its last rest; without a plan
// the whole recording.
TimeSpan session_of(const Cues& cues, const Plan* plan, double duration_s) {
    if (!plan || cues.windows.empty()) return {0.0, duration_s};
    const double first_s = cues.windows.front().work.begin_s, lead_s = timeline(*plan).front().contract_s;
    const bool begun_late = cues.offset_s.value_or(0.0) < -lead_s;
    return {begun_late ? first_s : first_s - lead_s, cues.windows.back().rest_end_s};
}

// What somebody tries out before the plan starts or does after it has ended is none of the session, nor what the recorder cuts
// off at either end; a note counts it.
std::vector<Burst> within_session(const std::vector<Burst>& bursts, TimeSpan session, std::vector<Note>& notes) {
    std::vector<Burst> inside;
    for (const Burst& burst : bursts) {
        if (burst.span.end_s > session.begin_s && burst.span.begin_s < session.end_s) inside.push_back(burst);
    }
    if (const std::size_t outside = bursts.size() - inside.size()) {
        notes.push_back(
            {"contractions_outside_plan", "",
             fmt::format(
                 "{} contractions lie outside of the plan as it was recorded, from {} s to {} s; they are not scored",
                 outside, fixed_text(std::max(0.0, session.begin_s), 1), fixed_text(session.end_s, 1))});
    }
    return inside;
}

// Cues that the trace or a fit to it tells are where the contractions are.
std::vector<CueWindow> answered_windows(const Cues& cues, const std::vector<Burst>& bursts) {
    const bool told = cues.from == CueSource::marks || cues.from == CueSource::start;
    return told ? windows_where_answered(bursts, cues.windows) : cues.windows;
}

// What is left of a contraction behind a gap, or where the recording begins, is none of its own.
std::vector<Window> all_windows(const Cues& cues, std::vector<Burst> bursts, const Envelope& envelope, double session_end_s) {
    const std::vector<CueWindow> answered = answered_windows(cues, bursts);
    std::vector<Window> windows;
    for (std::size_t i = 0; i < cues.windows.size(); ++i) windows.push_back({cues.windows[i], true, answered[i]});
    if (cues.from == CueSource::trace) return windows;
    const auto is_answer = [&](const Burst& burst) {
        return std::any_of(answered.begin(), answered.end(), [&](const CueWindow& window) { return answers(burst, window); });
    };
    std::erase_if(bursts, [&](const Burst& burst) { return begins_unseen(burst, envelope) || is_answer(burst); });
    for (CueWindow& extra : extra_windows(bursts, cues.windows)) {
        const auto later = [&](const CueWindow& cue) { return cue.work.begin_s >= extra.work.end_s; };
        const auto next = std::find_if(cues.windows.begin(), cues.windows.end(), later);
        extra.rest_end_s = std::max(extra.work.end_s, next == cues.windows.end() ? session_end_s : next->work.begin_s);
        windows.push_back({extra, false, extra});
    }
    std::sort(windows.begin(), windows.end(),
              [](const Window& a, const Window& b) { return a.cue.work.begin_s < b.cue.work.begin_s; });
    return windows;
}

// A contraction that goes on where the recording begins and that no cue in it asks for was asked for before.
void note_cut(const std::vector<Burst>& bursts, const Cues& cues, std::vector<Note>& notes) {
    if (bursts.empty() || bursts.front().span.begin_s > 0.0) return;
    const auto asks = [&](const CueWindow& window) { return answers(bursts.front(), window); };
    if (std::any_of(cues.windows.begin(), cues.windows.end(), asks)) return;
    notes.push_back({"begins_in_contraction", "",
                     fmt::format("the recording begins within a contraction, up to {} s: it is cut, and counted neither as done nor as extra",
                                 fixed_text(bursts.front().span.end_s, 1))});
}

CycleStatus status_of(const Window& window, const Placement& placement, const std::vector<Burst>& bursts,
                      const Envelope& envelope) {
    if (valid_share(envelope, window.cue.work) < kLeastValid) return CycleStatus::unusable;
    if (!window.cued) return CycleStatus::extra;
    if (!placement.above_rest) return CycleStatus::missed;
    const auto seen = [&](const Burst& burst) { return answers(burst, window.answered); };
    return placement.detected || std::any_of(bursts.begin(), bursts.end(), seen) ? CycleStatus::done
                                                                                 : CycleStatus::missed;
}

// Why a cycle has no onset (or offset): the status first, then what the placement says of it.
std::string reason_for(CycleStatus status, bool detected, const std::string& reason) {
    if (status == CycleStatus::missed) return "no contraction found";
    if (status == CycleStatus::unusable) return "too little valid signal";
    return detected && !reason.empty() ? reason : "not detectable within its window";
}

Cycle make_cycle(const Window& window, const Placement& placement, CycleStatus status) {
    Cycle cycle;
    cycle.step = window.cue.step;
    cycle.kind = window.cue.kind;
    cycle.work = window.cue.work;
    cycle.rest = {window.cue.work.end_s, window.cue.rest_end_s};
    cycle.status = status;
    if (status == CycleStatus::done || status == CycleStatus::extra) {
        cycle.onset = placement.onset;
        cycle.offset = placement.offset;
        cycle.rise_20_s = placement.rise_20_s;
        cycle.fall_20_s = placement.fall_20_s;
    }
    if (!cycle.onset) cycle.onset_reason = reason_for(status, placement.detected, placement.onset_reason);
    if (!cycle.offset) cycle.offset_reason = reason_for(status, placement.detected, placement.offset_reason);
    return cycle;
}

// Around what the contraction of a window is looked for: the window, or the burst that answers it best, where that
// begins after the window's middle, as a flick does that is begun late and lies mostly after its relax cue. Best: the
// longest after the cue; a tail of the one before is no flick, nor the last crest of a hold that fades a contraction of
// its own.
TimeSpan to_search(const Window& window, const std::vector<Burst>& bursts) {
    const TimeSpan& work = window.answered.work;
    TimeSpan best;
    for (const Burst& burst : bursts) {
        const TimeSpan part{std::max(burst.span.begin_s, work.begin_s),
                            std::min(burst.span.end_s, window.answered.rest_end_s)};
        if (window.cued && answers(burst, window.answered) && part.length_s() > best.length_s()) best = part;
    }
    return best.begin_s < 0.5 * (work.begin_s + work.end_s) ? work : best;
}

// In order of the windows, also where a contraction that was asked for lies on the other side of one that was not.
std::vector<Placement> place(const CycleInput& input, const std::vector<Window>& windows, const std::vector<Burst>& bursts) {
    std::vector<std::pair<TimeSpan, std::size_t>> order;
    for (std::size_t i = 0; i < windows.size(); ++i) order.emplace_back(to_search(windows[i], bursts), i);
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first.begin_s < b.first.begin_s; });
    std::vector<TimeSpan> spans;
    for (const auto& [span, index] : order)
        spans.push_back({spans.empty() ? span.begin_s : std::max(span.begin_s, spans.back().end_s), span.end_s});
    std::vector<Placement> placed = place_contractions(input.clean, input.envelope, spans), out(windows.size());
    for (std::size_t i = 0; i < order.size(); ++i) out[order[i].second] = std::move(placed[i]);
    return out;
}

// asked: somebody asked for contractions, by cues or a plan; where nobody did none can be missed.
std::vector<Cycle> make_cycles(const CycleInput& input, const std::vector<Window>& windows,
                               const std::vector<Burst>& bursts, bool asked) {
    if (windows.size() > kMostContractions) {
        throw Error(ErrorKind::unsupported, "", "",
                    fmt::format("too many contractions for one session: saw {}, expected at most {}", windows.size(),
                                kMostContractions),
                    "are its times of another unit, or its marks noise? else split the recording");
    }
    const std::vector<Placement> placements = place(input, windows, bursts);
    std::vector<Cycle> cycles;
    for (std::size_t i = 0; i < windows.size(); ++i) {
        if (!(asked && windows[i].cued) && !placements[i].above_rest) continue;  // a crest of restless rest
        const CycleStatus status = status_of(windows[i], placements[i], bursts, input.envelope);
        cycles.push_back(make_cycle(windows[i], placements[i], status));
    }
    end_rests_at_next(cycles);
    return cycles;
}

// What fits none of the plan's contractions is extra, and no contraction there is none that was missed.
void keep_to_plan(std::vector<Cycle>& cycles) {
    std::erase_if(cycles, [](const Cycle& cycle) {
        return !cycle.step && cycle.status != CycleStatus::extra && cycle.status != CycleStatus::done;
    });
    for (Cycle& cycle : cycles) {
        if (!cycle.step) cycle.status = CycleStatus::extra;
    }
    end_rests_at_next(cycles);
}

// Where a rest step follows the last contraction of a step, the rest of that contraction ends before it: the rest step is a rest of
// its own, with numbers of its own. A step without a rest has none but that.
void leave_rest_steps(std::vector<Cycle>& cycles, const Plan& plan) {
    for (auto cycle = cycles.begin(); cycle != cycles.end(); ++cycle) {
        if (!cycle->step) continue;
        const auto step = static_cast<std::size_t>(*cycle->step), next = step + 1;
        const double rest_s = plan.steps[step].rest_seconds;
        const bool again = std::any_of(cycle + 1, cycles.end(), [&](const Cycle& later) { return later.step == cycle->step; });
        const bool rest_follows = next < plan.steps.size() && plan.steps[next].kind == StepKind::rest;
        if (!again && rest_follows && rest_s > 0.0) cycle->rest.end_s = std::min(cycle->rest.end_s, cycle->work.end_s + rest_s);
    }
}

}  // namespace

Cycles find_cycles(const CycleInput& input, const CycleSettings& settings) {
    const double duration_s = time_of(input.envelope.uv.size(), input.envelope.rate);
    const LevelTrace trace = trace_levels(input.envelope);
    const std::vector<Burst> bursts = find_bursts(trace);
    const Cues cues = find_cues(input, settings, bursts, duration_s);
    Cycles out;
    out.from = cues.from;
    out.offset_s = cues.offset_s;
    out.confidence = cues.confidence;
    out.notes = cues.notes;
    if (cues.from == CueSource::trace && !cues.windows.empty() && rest_is_restless(trace)) out.notes.push_back(restless_rest());
    const TimeSpan session = session_of(cues, input.plan, duration_s);
    const std::vector<Burst> within = within_session(bursts, session, out.notes);
    note_cut(within, cues, out.notes);
    out.cycles = make_cycles(input, all_windows(cues, within, input.envelope, session.end_s), within, cues.from != CueSource::trace);
    const bool by_plan = input.plan && out.from != CueSource::trace;
    if (by_plan) keep_to_plan(out.cycles);
    for (std::size_t i = 0; i < out.cycles.size(); ++i) out.cycles[i].index = static_cast<int>(i) + 1;
    correct_cycles(out.cycles, input.corrections, duration_s, by_plan ? input.plan : nullptr);
    if (by_plan) leave_rest_steps(out.cycles, *input.plan);
    tell_beginnings(out.cycles, out.from);
    return out;
}

}  // namespace tracehold
