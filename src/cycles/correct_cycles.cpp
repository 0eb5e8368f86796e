#include "cycles/correct_cycles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "cycles/cues.hpp"
#include "cycles/status.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// A time found has digits that nobody set.
double to_milliseconds(double time_s) { return std::round(1000.0 * time_s) / 1000.0; }

constexpr const char* kNumbering = "a cycle keeps the number that the result without corrections prints; one that is added gets the next after the last";

std::string written_at(const Correction& correction) {
    return correction.list.empty() ? "" : fmt::format("{}:{}", correction.list, correction.line);
}

// Where the corrections of which that is true were written, each followed by ", ".
template <class Is>
std::string written_where(std::span<const Correction> corrections, Is is) {
    std::string places;
    for (const Correction& correction : corrections) {
        const std::string place = is(correction) ? written_at(correction) : "";
        if (!place.empty()) places += place + ", ";
    }
    return places;
}

[[noreturn]] void refuse(const Correction& correction, const std::string& message, const char* hint = kNumbering) {
    const std::string which = correction.cycle
                                  ? fmt::format("{} of cycle {}", to_string(correction.action), *correction.cycle)
                                  : std::string(to_string(correction.action));
    const std::string where = written_at(correction);
    throw Error(ErrorKind::bad_setting, "", where.empty() ? which : where + ", " + which, message, hint);
}

// Of two, the last would win unseen.
void refuse_twice(std::span<const Correction> corrections) {
    for (const Correction& first : corrections) {
        const auto same = [&](const Correction& c) { return c.cycle == first.cycle && c.action == first.action; };
        if (!first.cycle || std::count_if(corrections.begin(), corrections.end(), same) < 2) continue;
        throw Error(ErrorKind::bad_setting, "",
                    fmt::format("{}{} of cycle {}", written_where(corrections, same), to_string(first.action), *first.cycle),
                    "the same correction more than once: expected each once", kNumbering);
    }
}

void check_time(const Correction& correction, double time_s, double duration_s) {
    if (time_s >= 0.0 && time_s <= duration_s) return;
    refuse(correction, fmt::format("the time is outside the recording: saw {} s, expected from 0 to {} s",
                                   number_text(time_s), fixed_text(duration_s, 1)),
           "times are seconds from the start of the recording; is the correction of another one?");
}

Cycle& cycle_of(std::vector<Cycle>& cycles, const Correction& correction) {
    const int number = correction.cycle.value_or(0);
    const auto found = std::find_if(cycles.begin(), cycles.end(), [&](const Cycle& c) { return c.index == number; });
    if (found != cycles.end()) return *found;
    const std::string saw = correction.cycle ? fmt::format("cycle {}", number) : "no number";
    refuse(correction, fmt::format("there is no such cycle: saw {}, expected one of the {} cycles not dropped", saw,
                                   cycles.size()));
}

bool is_named(const Cycle& cycle, const char* what) {
    return std::find(cycle.corrected.begin(), cycle.corrected.end(), what) != cycle.corrected.end();
}

void name_change(Cycle& cycle, const char* what) {
    if (!is_named(cycle, what)) cycle.corrected.emplace_back(what);
}

EventTime by_hand(double time_s) { return {time_s, 0.0, time_s, time_s, true}; }

void move_event(Cycle& cycle, const Correction& correction, bool onset) {
    (onset ? cycle.onset : cycle.offset) = by_hand(correction.from_s);
    (onset ? cycle.onset_reason : cycle.offset_reason).clear();
    (onset ? cycle.rise_20_s : cycle.fall_20_s).reset();
    name_change(cycle, onset ? "onset" : "offset");
    if (cycle.status != CycleStatus::missed) return;
    cycle.status = CycleStatus::done;
    name_change(cycle, "status");
}

// A rest that ended with a cue which is moved or dropped follows it.
void carry_rest(std::vector<Cycle>& cycles, double old_end_s, double new_end_s) {
    for (Cycle& cycle : cycles) {
        if (cycle.rest.end_s == old_end_s) cycle.rest.end_s = std::max(new_end_s, cycle.rest.begin_s);
    }
}

void drop(std::vector<Cycle>& cycles, const Cycle& dropped) {
    std::erase_if(cycles, [&](const Cycle& c) { return c.index == dropped.index; });
    if (dropped.status == CycleStatus::extra) carry_rest(cycles, dropped.work.begin_s, dropped.rest.end_s);
}

void move_cue(Cycle& cycle, const Correction& correction) {
    const bool contract = correction.action == CorrectionAction::move_contract_cue;
    (contract ? cycle.work.begin_s : cycle.work.end_s) = correction.from_s;
    cycle.rest = {cycle.work.end_s, std::max(cycle.rest.end_s, cycle.work.end_s)};
    name_change(cycle, "cue");
    if (cycle.work.length_s() > 0.0) return;
    refuse(correction, fmt::format("the contract cue must come before the relax cue: saw {} s and {} s",
                                   number_text(cycle.work.begin_s), number_text(cycle.work.end_s)));
}

bool is_added(const Cycle& cycle) { return is_named(cycle, "added"); }

Cycle added_cycle(const Correction& correction, int number, double duration_s) {
    check_time(correction, correction.to_s, duration_s);
    Cycle cycle;
    cycle.index = number;
    cycle.work = {correction.from_s, correction.to_s};
    if (cycle.work.length_s() <= 0.0) {
        refuse(correction, fmt::format("the window ends before it begins: saw {} s to {} s",
                                       number_text(correction.from_s), number_text(correction.to_s)));
    }
    cycle.rest = {correction.to_s, duration_s};
    cycle.kind = kind_by_length(cycle.work.length_s());
    cycle.onset_reason = cycle.offset_reason = "added by a clinician without a time for it";
    cycle.corrected = {"added"};
    return cycle;
}

// Whether a correction made this cycle what it is.
bool touches(const Correction& correction, const Cycle& cycle) {
    if (correction.cycle) return *correction.cycle == cycle.index;
    return correction.action == CorrectionAction::add_cycle && is_added(cycle) && correction.from_s == cycle.work.begin_s;
}

void check_order(const std::vector<Cycle>& cycles, std::span<const Correction> corrections) {
    for (std::size_t i = 1; i < cycles.size(); ++i) {
        if (cycles[i].work.begin_s >= cycles[i - 1].work.end_s) continue;
        const auto of_both = [&](const Correction& c) { return touches(c, cycles[i - 1]) || touches(c, cycles[i]); };
        throw Error(ErrorKind::bad_setting, "", written_where(corrections, of_both) + "corrections",
                    fmt::format("corrected cycles overlap: saw one from {} to {} s and one from {} s",
                                number_text(cycles[i - 1].work.begin_s), number_text(cycles[i - 1].work.end_s),
                                number_text(cycles[i].work.begin_s)),
                    "move or drop the other one as well");
    }
}

// A contraction that was given a time belongs to its own cues: it begins between the relax cues before and after it, and ends
// between the relax cue before it and the next contract cue.
void check_events(const std::vector<Cycle>& cycles, std::span<const Correction> corrections, double duration_s) {
    for (std::size_t i = 0; i < cycles.size(); ++i) {
        const Cycle& cycle = cycles[i];
        const double earliest_s = i == 0 ? 0.0 : cycles[i - 1].work.end_s;
        const double next_s = i + 1 == cycles.size() ? duration_s : cycles[i + 1].work.begin_s;
        const auto check = [&](const std::optional<EventTime>& event, CorrectionAction moved, double latest_s) {
            if (!event || !event->corrected || (event->time_s >= earliest_s && event->time_s <= latest_s)) return;
            const auto is_it = [&](const Correction& c) { return c.action == moved && touches(c, cycle); };
            refuse(*std::find_if(corrections.begin(), corrections.end(), is_it),
                   fmt::format("the time is not of this contraction: saw {} s, expected from {} to {} s", number_text(event->time_s),
                               number_text(earliest_s), number_text(latest_s)));
        };
        check(cycle.onset, CorrectionAction::move_onset, cycle.work.end_s);
        check(cycle.offset, CorrectionAction::move_offset, next_s);
    }
}

// next: the number for a cycle that is added.
void apply(std::vector<Cycle>& cycles, const Correction& correction, int& next, double duration_s) {
    using Action = CorrectionAction;
    if (correction.action == Action::drop_cycle) {
        drop(cycles, Cycle(cycle_of(cycles, correction)));
        return;
    }
    check_time(correction, correction.from_s, duration_s);
    if (correction.action == Action::mask) return;  // done already, as far as the recording goes
    if (correction.action == Action::add_cycle) {
        cycles.push_back(added_cycle(correction, next++, duration_s));
        return;
    }
    Cycle& cycle = cycle_of(cycles, correction);
    if (correction.action == Action::move_contract_cue) carry_rest(cycles, cycle.work.begin_s, correction.from_s);
    if (correction.action == Action::move_onset || correction.action == Action::move_offset) {
        move_event(cycle, correction, correction.action == Action::move_onset);
    } else {
        move_cue(cycle, correction);
    }
}

// From its contract cue to the end of its rest is a contraction's own place.
bool holds(const Cycle& cycle, double time_s) { return cycle.work.begin_s <= time_s && time_s < cycle.rest.end_s; }

// How many contractions of each step have no cue.
std::vector<int> lacking(const std::vector<Cycle>& cycles, const Plan& plan) {
    std::vector<int> lacks;
    for (const Step& step : plan.steps) lacks.push_back(step.kind == StepKind::rest ? 0 : step.times);
    for (const Cycle& cycle : cycles) {
        if (cycle.step) --lacks[static_cast<std::size_t>(*cycle.step)];
    }
    return lacks;
}

// Of the steps that may come between those before and after the added cycle, one that lacks a contraction, the nearest in length.
std::optional<int> step_between(const Cycle& added, const std::vector<Cycle>& cycles, const std::vector<int>& lacks, const Plan& plan) {
    std::size_t first = 0, end = lacks.size();
    for (const Cycle& cycle : cycles) {
        if (!cycle.step) continue;
        const auto step = static_cast<std::size_t>(*cycle.step);
        if (cycle.work.begin_s < added.work.begin_s) first = std::max(first, step);
        if (cycle.work.begin_s > added.work.begin_s) end = std::min(end, step + 1);
    }
    const auto off = [&](std::size_t step) { return std::abs(std::log(added.work.length_s() / plan.steps[step].seconds)); };
    std::optional<std::size_t> best;
    for (std::size_t step = first; step < end; ++step) {
        if (lacks[step] > 0 && (!best || off(step) < off(*best))) best = step;
    }
    return best ? std::optional(static_cast<int>(*best)) : std::nullopt;
}

// Called before rests end where an added cycle begins. A planned contraction that was dropped leaves its place, one without a cue
// lies somewhere between the others.
void answer_plan(std::vector<Cycle>& cycles, std::vector<Cycle> dropped, std::vector<int> lacks, const Plan& plan) {
    for (Cycle& added : cycles) {
        if (!is_added(added)) continue;
        const double middle_s = 0.5 * (added.work.begin_s + added.work.end_s);
        const auto there = [&](const Cycle& other) { return !is_added(other) && holds(other, middle_s); };
        const auto place = std::find_if(dropped.begin(), dropped.end(), there);
        const bool taken = std::any_of(cycles.begin(), cycles.end(), there);
        if (place != dropped.end() && !taken) {
            added.step = place->step;
            dropped.erase(place);
        } else if (!taken) {
            added.step = step_between(added, cycles, lacks, plan);
            if (added.step) --lacks[static_cast<std::size_t>(*added.step)];
        }
        if (added.step) added.kind = plan.steps[static_cast<std::size_t>(*added.step)].kind;
        if (!added.step) added.status = CycleStatus::extra;
    }
}

// Planned ones alone: where nothing was asked for nothing lacks.
std::vector<Cycle> dropped_of(const std::vector<Cycle>& before, const std::vector<Cycle>& cycles) {
    std::vector<Cycle> dropped;
    std::copy_if(before.begin(), before.end(), std::back_inserter(dropped), [&](const Cycle& was) {
        return was.step && std::none_of(cycles.begin(), cycles.end(), [&](const Cycle& c) { return c.index == was.index; });
    });
    return dropped;
}

// What the rest level of a cycle is taken from: the rest of the one before, for the first one the plan's opening rest.
TimeSpan rest_before(const std::vector<Cycle>& cycles, std::size_t i, double opening_s) {
    const double begin_s = cycles[i].work.begin_s;
    return i == 0 ? TimeSpan{std::max(0.0, begin_s - opening_s), begin_s} : cycles[i - 1].rest;
}

bool overlap(TimeSpan a, TimeSpan b) { return a.begin_s < b.end_s && b.begin_s < a.end_s; }

// The rest of a cycle and the one before it enter its values: those that the correction of another cycle changed, and all that a
// mask took away.
void name_rests_and_masks(std::vector<Cycle>& cycles, const std::vector<Cycle>& before,
                          std::span<const Correction> corrections, double opening_s) {
    for (std::size_t i = 0; i < cycles.size(); ++i) {
        Cycle& cycle = cycles[i];
        const TimeSpan earlier = rest_before(cycles, i, opening_s);
        if (!is_added(cycle) && !is_named(cycle, "cue")) {
            const auto was = static_cast<std::size_t>(cycle.index - 1);
            if (before[was].rest != cycle.rest || rest_before(before, was, opening_s) != earlier) name_change(cycle, "rest");
        }
        for (const Correction& correction : corrections) {
            const TimeSpan span{correction.from_s, correction.to_s};
            const bool meets = overlap(span, {cycle.work.begin_s, cycle.rest.end_s}) || overlap(span, earlier);
            if (correction.action == CorrectionAction::mask && meets) name_change(cycle, "mask");
        }
    }
}

}  // namespace

void correct_cycles(std::vector<Cycle>& cycles, std::span<const Correction> corrections, double duration_s, const Plan* plan) {
    if (corrections.empty()) return;
    const std::vector<Cycle> before = cycles;
    refuse_twice(corrections);
    int next = static_cast<int>(cycles.size()) + 1;
    for (const Correction& correction : corrections) apply(cycles, correction, next, duration_s);
    for (const Cycle& cycle : cycles) {
        if (!cycle.onset || !cycle.offset || cycle.onset->time_s < cycle.offset->time_s) continue;
        const auto of_it = [&](const Correction& correction) { return touches(correction, cycle); };
        throw Error(ErrorKind::bad_setting, "", fmt::format("{}cycle {}", written_where(corrections, of_it), cycle.index),
                    fmt::format("a corrected contraction ends before it begins: saw onset {} s and offset {} s",
                                number_text(to_milliseconds(cycle.onset->time_s)), number_text(to_milliseconds(cycle.offset->time_s))));
    }
    std::stable_sort(cycles.begin(), cycles.end(),
                     [](const Cycle& a, const Cycle& b) { return a.work.begin_s < b.work.begin_s; });
    check_order(cycles, corrections);
    check_events(cycles, corrections, duration_s);
    if (plan != nullptr) answer_plan(cycles, dropped_of(before, cycles), lacking(before, *plan), *plan);
    end_rests_at_next(cycles);
    name_rests_and_masks(cycles, before, corrections, plan != nullptr ? timeline(*plan).front().contract_s : 0.0);
}

}  // namespace tracehold
