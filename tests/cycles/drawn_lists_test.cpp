// What the steps of this room make of lists drawn by lot: marks, contractions, corrections, levels, and the odd ones
// among them. None of it is a truth, that is what the other tests are for: it tells that a number has changed. Read the
// difference, then accept it.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "cycles/align_plan.hpp"
#include "cycles/beginnings.hpp"
#include "cycles/correct_cycles.hpp"
#include "cycles/cue_shift.hpp"
#include "cycles/exported_energies.hpp"
#include "cycles/level_trace.hpp"
#include "cycles/rest_variation.hpp"
#include "cycles/rise_model.hpp"
#include "cycles/rise_model_prior.hpp"
#include "cycles/status.hpp"
#include "support/golden.hpp"
#include "support/lot.hpp"

using namespace tracehold;
using tracehold::test::Lot;

namespace {

constexpr double kTolerance = 2e-5;  // compilers and processors differ in the last digits of logarithms
constexpr int kLists = 150;

double normal(Lot& lot) { return (lot.share() + lot.share() + lot.share() + lot.share() - 2.0) * 1.7320508; }  // nearly

Plan plan_by_lot(Lot& lot) {
    Plan plan;
    plan.contract_cues = default_contract_cues();
    plan.relax_cues = default_relax_cues();
    plan.steps = {{StepKind::rest, lot.between(2.0, 12.0), 0, 1}};
    if (lot.chance(0.7))
        plan.steps.push_back({StepKind::hold, lot.between(3.0, 10.0), lot.between(2.0, 10.0), lot.whole(1, 6)});
    if (lot.chance(0.3)) plan.steps.push_back({StepKind::rest, lot.between(2.0, 12.0), 0, 1});
    if (lot.chance(0.5))
        plan.steps.push_back({StepKind::rapid, lot.between(0.5, 2.0), lot.between(1.0, 4.0), lot.whole(2, 8)});
    if (lot.chance(0.2) || timeline(plan).empty())
        plan.steps.push_back({StepKind::endurance, lot.between(20.0, 40.0), lot.between(2.0, 10.0), 1});
    if (lot.chance(0.3)) plan.steps.push_back({StepKind::rest, lot.between(2.0, 12.0), 0, 1});
    return plan;
}

// The plan as somebody performs it: late and early, with some left out, some split, some that nobody asked for.
std::vector<Burst> performed_by_lot(Lot& lot, const Plan& plan, double shift_s) {
    std::vector<Burst> bursts;
    const double slow_s = lot.chance(0.2) ? lot.between(-2.0, 4.0) : 0.3, spread_s = lot.by_factors(0.03, 1.0),
                 held = lot.chance(0.2) ? lot.between(0.6, 1.5) : 1.0;
    const double pause_s = lot.chance(0.3) ? lot.between(1.5, 40.0) : 0.0;
    const std::vector<PlannedCycle> planned = timeline(plan);
    const int pause_at = lot.whole(1, static_cast<int>(planned.size()));
    double end_s = 0.0;
    const auto add = [&](double from_s, double to_s) {
        if (from_s <= end_s || to_s <= from_s + 0.05) return;
        bursts.push_back({{from_s, to_s}, lot.by_factors(5.0, 50.0), lot.chance(0.9)});
        end_s = to_s;
    };
    for (int tried = lot.chance(0.3) ? lot.whole(1, 3) : 0; tried > 0; --tried) {
        const double from_s = lot.between(0.0, std::max(0.1, shift_s));
        add(from_s, from_s + lot.between(0.3, 3.0));
    }
    for (std::size_t i = 0; i < planned.size(); ++i) {
        const double later_s = shift_s + (static_cast<int>(i) >= pause_at ? pause_s : 0.0);
        const double from_s = planned[i].contract_s + later_s + slow_s + spread_s * normal(lot);
        const double to_s = from_s + held * (planned[i].relax_s - planned[i].contract_s) + spread_s * normal(lot);
        if (lot.chance(0.08)) continue;
        if (lot.chance(0.08))
            add(from_s, 0.5 * (from_s + to_s) - 0.1), add(0.5 * (from_s + to_s) + lot.between(0.0, 0.6), to_s);
        else
            add(from_s, to_s);
        if (lot.chance(0.05)) add(to_s + 0.5, to_s + lot.between(0.6, 2.0));
    }
    return bursts;
}

std::vector<Mark> marks_by_lot(Lot& lot, const Plan& plan) {
    std::vector<Mark> marks;
    const double slip_s = lot.by_factors(0.01, 1.5), lost = lot.chance(0.5) ? lot.between(0.0, 0.5) : 0.0,
                 longer = lot.chance(0.3) ? lot.by_factors(0.3, 3.0) : 1.0;
    const bool only_contract = lot.chance(0.15), lasting = lot.chance(0.1);
    for (const PlannedCycle& cycle : timeline(plan)) {
        const double from_s = cycle.contract_s + slip_s * normal(lot),
                     length_s = longer * (cycle.relax_s - cycle.contract_s);
        if (!lot.chance(lost))
            marks.push_back({from_s, lasting ? length_s * lot.between(0.0, 1.0) : 0.0,
                             lot.one_of(std::array{"contract", "Hold ", "1"})});
        if (lot.chance(0.1)) marks.push_back({from_s + lot.by_factors(0.05, 3.0), 0.0, "contract"});
        if (!only_contract && !lot.chance(lost))
            marks.push_back({from_s + length_s + 0.3 * slip_s * normal(lot), 0.0, "relax"});
        if (lot.chance(0.05))
            marks.push_back({from_s + lot.between(0.0, 0.6), 0.0, lot.one_of(std::array{"relax", "cough"})});
    }
    std::sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; });
    return marks;
}

std::string told(const std::vector<CueWindow>& windows) {
    std::string text;
    for (const CueWindow& window : windows)
        text += fmt::format(" {}{}:{:.4f} {:.4f} {:.4f}", to_string(window.kind).substr(0, 1),
                            window.step ? std::to_string(*window.step) : "", window.work.begin_s, window.work.end_s,
                            window.rest_end_s);
    return text;
}

// Their codes, and the numbers in their texts.
std::string told(const std::vector<Note>& notes) {
    std::string text;
    for (const Note& note : notes) {
        text += " | " + note.code + (note.doubt ? "!" : "") + " ";
        for (const char c : note.text) {
            if (std::isdigit(static_cast<unsigned char>(c)) || (c == '.' && text.back() != ' '))
                text += c;
            else if (text.back() != ' ')
                text += ' ';
        }
    }
    return text;
}

std::string told(const Cues& cues) {
    return fmt::format("{}{}{}\n", to_string(cues.from), told(cues.windows), told(cues.notes));
}

std::string cycles_told(const std::vector<Cycle>& cycles) {
    std::string text;
    for (const Cycle& cycle : cycles) {
        text += fmt::format(" {}{}{}{}:{:.3f} {:.3f} {:.3f}", cycle.index, to_string(cycle.kind).substr(0, 1),
                            cycle.step ? std::to_string(*cycle.step) : "", to_string(cycle.status).substr(0, 1),
                            cycle.work.begin_s, cycle.work.end_s, cycle.rest.end_s);
        if (cycle.onset) text += fmt::format(" on {:.3f}", cycle.onset->time_s);
        if (cycle.offset) text += fmt::format(" off {:.3f}", cycle.offset->time_s);
        if (cycle.begins) text += fmt::format(" {}", to_string(*cycle.begins));
        for (const std::string& what : cycle.corrected) text += " " + what;
    }
    return text;
}

std::vector<Cycle> cycles_by_lot(Lot& lot, const Plan& plan) {
    std::vector<Cycle> cycles;
    const double late_s = lot.between(-0.3, 1.5), spread_s = lot.by_factors(0.02, 0.6);
    for (const PlannedCycle& planned : timeline(plan)) {
        if (lot.chance(0.1)) continue;
        Cycle cycle{.index = static_cast<int>(cycles.size()) + 1,
                    .step = planned.step,
                    .kind = planned.kind,
                    .work = {planned.contract_s, planned.relax_s},
                    .rest = {planned.relax_s, planned.end_s}};
        cycle.status = lot.chance(0.1) ? CycleStatus::missed : CycleStatus::done;
        if (lot.chance(0.1)) cycle.step.reset(), cycle.status = CycleStatus::extra;
        if (cycle.status != CycleStatus::missed && lot.chance(0.9)) {
            const double at_s = planned.contract_s + late_s + spread_s * normal(lot),
                         error_s = lot.by_factors(0.005, 0.2);
            cycle.onset = EventTime{at_s, error_s, at_s - 2.0 * error_s, at_s + 2.0 * error_s};
            if (lot.chance(0.8))
                cycle.offset = EventTime{planned.relax_s + 0.4, error_s, planned.relax_s, planned.relax_s + 0.8};
        }
        cycles.push_back(cycle);
    }
    return cycles;
}

Correction correction_by_lot(Lot& lot, const std::vector<Cycle>& cycles) {
    const Cycle& cycle = cycles[static_cast<std::size_t>(lot.whole(0, static_cast<int>(cycles.size()) - 1))];
    Correction one{.file = {},
                   .action = static_cast<CorrectionAction>(lot.whole(0, 6)),
                   .cycle = cycle.index,
                   .list = "c.csv",
                   .line = static_cast<std::size_t>(lot.whole(2, 9))};
    one.from_s = lot.one_of(std::array{cycle.work.begin_s, cycle.work.end_s, cycle.rest.end_s, cycle.work.begin_s});
    one.from_s += lot.between(-1.5, 1.5);
    one.to_s = one.from_s + lot.by_factors(0.2, 5.0);
    if (one.action == CorrectionAction::mask || one.action == CorrectionAction::add_cycle) one.cycle.reset();
    return one;
}

// An envelope of steps in level with noise, gaps and slow waves.
Envelope envelope_by_lot(Lot& lot) {
    Envelope envelope;
    envelope.rate = Hertz{lot.one_of(std::array{4.0, 20.0, 50.0, 100.0, 200.0})};
    const double rest = lot.by_factors(0.3, 5.0), work = rest * lot.by_factors(1.1, 15.0),
                 noise = lot.by_factors(0.01, 0.4), wave = lot.chance(0.4) ? lot.by_factors(0.02, 0.8) : 0.0;
    double level = rest, target = rest, until_s = 0.0, rise = 1.0;
    const double length_s = lot.between(10.0, 60.0);
    for (double t = 0.0; t < length_s; t += 1.0 / envelope.rate.value) {
        if (t >= until_s) {
            target = target > rest ? rest : work * lot.between(0.5, 1.2);
            until_s = t + (lot.chance(0.2) ? lot.by_factors(0.1, 1.0) : lot.by_factors(1.0, 12.0));
            rise = std::exp(-1.0 / envelope.rate.value / lot.by_factors(0.02, 1.0));
        }
        level = target + (level - target) * rise;
        envelope.uv.push_back(static_cast<float>(level * std::exp(noise * normal(lot) + wave * std::sin(0.7 * t))));
    }
    if (lot.chance(0.4)) {
        const double from_s = lot.between(0.0, length_s);
        const SampleRange gap =
            samples_in({from_s, from_s + lot.by_factors(0.1, 20.0)}, envelope.rate, envelope.uv.size());
        for (std::size_t i = gap.begin; i < gap.end; ++i) envelope.uv[i] = std::nanf("");
    }
    return envelope;
}

std::string told(const std::vector<Burst>& bursts) {
    std::string text;
    for (const Burst& burst : bursts)
        text += fmt::format(" {:.3f} {:.3f} {:.5g}{}", burst.span.begin_s, burst.span.end_s, burst.peak_uv,
                            burst.firm ? "" : "?");
    return text;
}

// What it tells, or why it cannot.
std::string told_or_why(const auto& tell) {
    try {
        return tell();
    } catch (const std::exception& error) {
        return std::string(error.what()) + "\n";
    }
}

std::string marks_told(Lot& lot) {
    const Plan plan = plan_by_lot(lot), other = plan_by_lot(lot);
    const std::vector<Mark> marks = marks_by_lot(lot, plan);
    const Plan* known = lot.chance(0.3) ? nullptr : lot.chance(0.8) ? &plan : &other;
    const double duration_s = plan_length(plan).value * lot.between(0.6, 1.3);
    return "marks " + told(cues_from_marks(marks, known, duration_s));
}

std::string fit_told(Lot& lot) {
    const Plan plan = plan_by_lot(lot);
    const double shift_s = lot.chance(0.7) ? lot.between(0.0, 30.0) : -lot.between(0.0, 0.6) * plan_length(plan).value;
    const double duration_s = std::max(5.0, shift_s + plan_length(plan).value * lot.between(0.5, 1.4));
    std::vector<Burst> bursts = performed_by_lot(lot, plan, shift_s);
    std::erase_if(bursts, [&](const Burst& burst) {
        return burst.span.begin_s < 0.0 || burst.span.end_s > duration_s || lot.chance(0.02);
    });
    return "fit " + told_or_why([&] {
               const Cues cues = align_plan(bursts, plan, duration_s);
               return fmt::format("{:.3f} {:.5f} {:.5g} ", *cues.offset_s, *cues.confidence, cues.evidence) +
                      told(cues);
           });
}

std::string answered_told(Lot& lot) {
    const Plan plan = plan_by_lot(lot);
    const double shift_s = lot.chance(0.5) ? 0.0 : lot.between(-11.0, 11.0);
    const std::vector<Burst> bursts = performed_by_lot(lot, plan, shift_s);
    std::vector<CueWindow> windows;
    for (const PlannedCycle& cycle : timeline(plan))
        windows.push_back({cycle.step, cycle.kind, {cycle.contract_s, cycle.relax_s}, cycle.end_s});
    const double duration_s = plan_length(plan).value + 15.0;
    return "answered" + told(windows_where_answered(bursts, windows)) + "\nextra" +
           told(extra_windows(bursts, windows)) + "\nalone" + told(windows_of_bursts(bursts, duration_s)) + "\n";
}

std::string corrected_told(Lot& lot) {
    const Plan plan = plan_by_lot(lot);
    std::vector<Cycle> cycles = cycles_by_lot(lot, plan);
    if (cycles.empty()) return "";
    std::vector<Correction> corrections;
    for (int i = lot.whole(1, 3); i > 0; --i) corrections.push_back(correction_by_lot(lot, cycles));
    const double duration_s = cycles.back().rest.end_s + lot.between(0.0, 5.0);
    const bool by_plan = lot.chance(0.7);
    return "corrected" + told_or_why([&] {
               correct_cycles(cycles, corrections, duration_s, by_plan ? &plan : nullptr);
               return cycles_told(cycles) + "\n";
           });
}

std::string beginnings_told(Lot& lot) {
    std::vector<Cycle> cycles = cycles_by_lot(lot, plan_by_lot(lot));
    tell_beginnings(cycles, lot.chance(0.1) ? CueSource::trace : CueSource::marks);
    std::string text = "begins";
    for (const Cycle& cycle : cycles) text += cycle.begins ? fmt::format(" {}", to_string(*cycle.begins)) : " -";
    return text + "\n";
}

std::string levels_told(Lot& lot) {
    const Envelope envelope = envelope_by_lot(lot);
    const LevelTrace trace = trace_levels(envelope);
    double sum = 0.0;
    for (std::size_t i = 0; i < trace.log_uv.size(); ++i) sum += trace.log_uv[i] * static_cast<double>(i % 7);
    const std::vector<Burst> bursts = find_bursts(trace);
    return fmt::format("levels {:.6g} {:.6g} {:.6g} {:.6g} {}{}\n", trace.rest, trace.work, trace.rest_spread, sum,
                       rest_is_restless(trace), told(bursts));
}

std::string rest_told(Lot& lot) {
    PowerSteps steps{lot.one_of(std::array{0.01, 0.05, 0.1}), lot.between(0.0, 0.1), {}};
    const double spread = lot.by_factors(0.02, 1.0), wander = lot.by_factors(0.01, 0.6),
                 above = lot.by_factors(1.05, 30.0);
    std::vector<TimeSpan> windows;
    for (double t = lot.between(0.0, 6.0); t < 60.0; t += lot.between(3.0, 15.0))
        windows.push_back({t, t + lot.by_factors(0.5, 2.9)});
    double drift = 0.0;
    for (double t = steps.origin_s; t < 64.0; t += steps.step_s) {
        drift += wander * std::sqrt(steps.step_s) * normal(lot);
        const bool works =
            std::any_of(windows.begin(), windows.end(), [t](TimeSpan w) { return t >= w.begin_s && t < w.end_s; });
        steps.power.push_back(lot.chance(0.01) ? std::nan("")
                                               : (works ? above : 1.0) * std::exp(drift + spread * normal(lot)));
    }
    const RestVariation rest = rest_variation(steps, windows);
    double apart = 0.0, ratios = 0.0;
    for (const RestDifference& one : rest.differences) apart += one.apart_s, ratios += one.log_ratio;
    std::string text = fmt::format("rest {} {:.5g} {:.5g} {:.5g}", rest.differences.size(), apart, ratios, rest.floor);
    for (const TimeSpan& window : windows)
        text += above_rest(steps, rest, {window.begin_s + 0.1, window.end_s - 0.1}, window) ? " above" : " not";
    return text + "\n";
}

std::string rises_told(Lot& lot) {
    const std::vector<RiseHabit> habits = make_rise_habits();
    const std::span<const double> lengths = rise_lengths_s();
    std::vector<std::vector<double>> evidence;
    const double usual_s = lot.by_factors(0.02, 1.5), sure = lot.by_factors(0.2, 20.0);
    for (int i = lot.whole(1, 6); i > 0; --i) {
        const double own_s = usual_s * std::exp(0.3 * normal(lot));
        auto& one = evidence.emplace_back();
        for (const double length_s : lengths)
            one.push_back(-sure * std::pow(std::log((length_s + 0.01) / own_s), 2.0) + lot.between(-0.5, 0.5));
    }
    const RisePosterior learnt = learn_rises(evidence, habits);
    std::string text = fmt::format("rises {:.7g}", learnt.log_evidence);
    for (const std::vector<double>& one : learnt.of_length) {
        double mean_s = 0.0;
        for (std::size_t d = 0; d < one.size(); ++d) mean_s += one[d] * lengths[d];
        text += fmt::format(" {:.6g} {:.6g}", mean_s, one[0]);
    }
    return text + "\n";
}

std::string exported_told(Lot& lot) {
    Envelope envelope = envelope_by_lot(lot);
    if (lot.chance(0.2))
        std::fill(envelope.uv.begin(), envelope.uv.begin() + static_cast<std::ptrdiff_t>(envelope.uv.size() / 3), 0.0F);
    const int together = lot.whole(1, 6);
    std::vector<float> smooth = envelope.uv;
    for (std::size_t i = static_cast<std::size_t>(together); i < smooth.size(); ++i) {
        smooth[i] = 0.0F;
        for (int k = 0; k < together; ++k)
            smooth[i] += envelope.uv[i - static_cast<std::size_t>(k)] / static_cast<float>(together);
    }
    const BlockEnergies seen = exported_energies(smooth, envelope.rate);
    double sum = 0.0;
    for (std::size_t b = 0; b < seen.energy.size(); ++b)
        sum += static_cast<double>(seen.energy[b]) * static_cast<double>(b % 7);
    return fmt::format("exported {} {:.6g} {:.6g} {:.6g} {:.6g} {:.6g} {}\n", seen.size(), seen.origin_s, seen.view.box,
                       seen.view.slope, seen.degrees, sum,
                       static_cast<int>(std::count(seen.valid.begin(), seen.valid.end(), 1)));
}

}  // namespace

TEST_CASE("lists drawn by lot come out of the steps of this room as in their golden file") {
    std::string text;
    std::uint64_t number = 0;
    for (const auto told_of : {marks_told, fit_told, answered_told, corrected_told, beginnings_told, levels_told,
                               rest_told, rises_told, exported_told}) {
        for (int i = 0; i < kLists; ++i) {
            Lot lot(++number);
            text += told_of(lot);
        }
    }
    CHECK_GOLDEN_NUMBERS("drawn_lists.txt", text, kTolerance);
}
