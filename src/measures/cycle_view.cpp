#include "tracehold/measures/cycle_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "measures/bandwidth.hpp"
#include "measures/levels.hpp"
#include "measures/window.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

// Of the plan's rest steps in a row from that step on; 0 without any.
double rest_steps_s(const Plan* plan, std::size_t first) {
    double seconds = 0.0;
    if (plan == nullptr) return seconds;
    for (std::size_t i = first; i < plan->steps.size() && plan->steps[i].kind == StepKind::rest; ++i) seconds += plan->steps[i].seconds;
    return seconds;
}

// The settled rest right before a cycle, with the rest steps of the plan that lie between, cut at the start of the recording; may be
// empty.
TimeSpan rest_before(const std::vector<Cycle>& cycles, std::size_t index, const Plan* plan) {
    const Cycle& cycle = cycles[index];
    const double w0 = cycle.work.begin_s;
    if (index == 0) return settled({std::max(0.0, w0 - rest_steps_s(plan, 0)), w0});
    const Cycle& previous = cycles[index - 1];
    const TimeSpan before = settled(previous.rest);
    const bool between = previous.step && cycle.step != previous.step;
    const double steps_s = between ? rest_steps_s(plan, static_cast<std::size_t>(*previous.step) + 1) : 0.0;
    return {before.begin_s, std::min(before.end_s + steps_s, w0)};
}

// previous: the view of the cycle before; null for the first. Its rest is mostly the one wanted here, its bandwidth known.
void set_rest_level(CycleView& view, TimeSpan before, const CycleView* previous) {
    if (const std::string why = why_no_rest(view.clean); !why.empty()) {
        view.rest_level = Estimate::none(why);
        return;
    }
    view.rest_level = Estimate::none("no rest to compare with");
    for (const TimeSpan span : {before, view.rest}) {
        if (!(span.length_s() > 0.0)) continue;
        const auto bandwidth = span == view.rest                             ? view.rest_bandwidth_hz
                               : previous != nullptr && span == previous->rest ? previous->rest_bandwidth_hz
                                                                             : bandwidth_hz(view.clean, view.envelope, span);
        const Estimate level = median_of(view.envelope, span == view.rest ? view.of_rest : window_of(view.envelope, span), bandwidth);
        view.rest_level = level;
        view.rest_before = span;
        if (level) return;
    }
    view.rest_before = {};
}

// The same samples twice are one electrode: the channel would work along with itself.
bool is_twin(const Envelope& envelope, const Envelope* accessory) {
    const auto same = [](float a, float b) { return a == b || (std::isnan(a) && std::isnan(b)); };
    return accessory != nullptr && std::equal(envelope.uv.begin(), envelope.uv.end(), accessory->uv.begin(), accessory->uv.end(), same);
}

std::optional<double> best_second_of(const Envelope* envelope) {
    if (envelope == nullptr) return std::nullopt;
    const SecondMeans means = second_means(*envelope, {0, envelope->uv.size()});
    const auto best = largest(means, means.uv.size());
    return best ? std::optional(means.uv[*best]) : std::nullopt;
}

// Whether its window is what was asked for, and not the contraction itself.
bool is_cued(const CycleView& view) { return view.cues != CueSource::trace && view.cycle.status != CycleStatus::extra; }

// Of a quick contraction the reaction after the cue can take all of the time that was asked for.
TimeSpan work_of(const CycleView& view) {
    const TimeSpan asked = view.cycle.work;
    if (view.cycle.kind != StepKind::rapid || !is_cued(view) || !view.cycle.onset) return asked;
    const double onset_s = view.cycle.onset->time_s;
    return {onset_s, onset_s + asked.length_s()};
}

// Of the contraction as far as it was found, within the time asked for. May be empty.
TimeSpan hold_of(const CycleView& view) {
    const auto& onset = view.cycle.onset;
    const auto& offset = view.cycle.offset;
    const double begin_s = onset ? std::max(view.work.begin_s, onset->time_s) : view.work.begin_s;
    if (is_cued(view) && !offset) return {begin_s + view.lead_s, std::max(begin_s + view.lead_s, view.work.end_s)};
    const double end_s = is_cued(view) ? offset->time_s : view.work.end_s;
    const double edge_s = std::min(view.lead_s, margin_s({begin_s, end_s}));
    return {begin_s + edge_s, std::max(begin_s + edge_s, std::min(view.work.end_s, end_s - edge_s))};
}

// Without what the samples say.
CycleView view_cycle(const ViewInput& input, std::size_t index) {
    const Cycle& cycle = input.cycles.cycles[index];
    CycleView view{.clean = input.clean, .envelope = input.envelope, .cycle = cycle, .cues = input.cycles.from};
    view.lead_s = margin_s(cycle.work);
    view.settle_s = margin_s(cycle.rest);
    view.work = work_of(view);
    view.hold = hold_of(view);
    view.rest = settled(cycle.rest);
    view.threshold_reason = "no threshold was set";
    return view;
}

void set_hold_level(CycleView& view) {
    view.of_work = window_of(view.envelope, view.work);
    view.of_hold = window_of(view.envelope, view.hold);
    view.of_rest = window_of(view.envelope, view.rest);
    if (!(view.hold.length_s() > 0.0)) view.of_hold.reason = "the contraction began too late for a hold";
    // The rise would count as scatter of an exported envelope: its bandwidth comes from the hold alone.
    const bool raw = view.clean.kind == ChannelKind::raw;
    view.work_bandwidth_hz = bandwidth_hz(view.clean, view.envelope, raw ? view.work : view.hold);
    view.rest_bandwidth_hz = bandwidth_hz(view.clean, view.envelope, view.rest);
    view.hold_level = median_of(view.envelope, view.of_hold, view.work_bandwidth_hz);
}

// Empty if the measure may be taken of this cycle.
std::string refusal(const CycleView& view, const Measure& measure) {
    if (view.cycle.status == CycleStatus::unusable && !measure.of_rest_alone) return "too little valid signal in the cycle";
    if (!view.cues_in_step) return kOutOfStep;
    if (measure.needs_contraction && view.cycle.status == CycleStatus::missed) return "contraction missed";
    if (measure.family != "timing") {
        for (const TimeSpan span : measure.of_rest_alone ? std::array{view.rest, view.rest} : std::array{view.work, view.hold})
            if (const std::string why = why_cut_off(view.clean, span); !why.empty()) return why;
    }
    if (!measure.needs_cues) return "";
    if (view.cues == CueSource::trace) return "there are no cues";
    if (view.cycle.status == CycleStatus::extra) return "nothing asked for this contraction";
    return view.cues == CueSource::aligned ? "cue times were estimated" : "";
}

}  // namespace

std::vector<CycleView> view_cycles(const ViewInput& input) {
    const bool twin = is_twin(input.envelope, input.accessory);
    const Envelope* accessory = twin ? nullptr : input.accessory;
    const std::optional<double> accessory_best = best_second_of(accessory);
    const std::vector<Cycle>& cycles = input.cycles.cycles;
    std::vector<CycleView> views;
    views.reserve(cycles.size());
    for (std::size_t i = 0; i < cycles.size(); ++i) {
        views.push_back(view_cycle(input, i));
        views.back().accessory = accessory;
        views.back().accessory_best_uv = accessory_best;
        if (twin) views.back().no_accessory = "the accessory channel has the very same samples";
    }
    each_side_by_side(views.size(), [&](std::size_t i) { set_hold_level(views[i]); });
    each_side_by_side(views.size(), [&](std::size_t i) {
        set_rest_level(views[i], rest_before(cycles, i, input.plan), i == 0 ? nullptr : &views[i - 1]);
    });
    return views;
}

std::vector<Estimate> measure_cycle(const CycleView& view) {
    std::vector<Estimate> values;
    values.reserve(measure_list().size());
    for (const Measure& measure : measure_list()) {
        const std::string why = refusal(view, measure);
        values.push_back(why.empty() ? measure.compute(view) : Estimate::none(why));
    }
    return values;
}

}  // namespace tracehold
