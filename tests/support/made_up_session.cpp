#include "support/made_up_session.hpp"

#include <cmath>
#include <limits>
#include <map>

#include "tracehold/measures/measure_list.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold::test {
namespace {

constexpr double kFirstCue_s = 20.0;

Plan plan() {
    Plan plan;
    plan.source = "weeks-1-2.json";
    plan.sha256 = "5f1d6b3a0c4e8f7290ab13cd56ef7890123456789abcdef0123456789abcdef0";
    plan.name = "Weeks 1 and 2";
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 8.0, 10.0, 5}, {StepKind::rapid, 1.0, 4.0, 5}};
    plan.threshold = Threshold{std::nullopt, 50.0, 41.0};
    plan.targets = {
        {"rest_mean_uv", 4.0, std::nullopt}, {"time_to_hold_s", 1.0, std::nullopt}, {"release_s", 1.0, std::nullopt}};
    plan.channel = "EMG PFM";
    plan.accessory_channels = {"EMG Abd"};
    plan.mains_hz = 50.0;
    plan.contract_cues = {"contract"};
    plan.relax_cues = {"relax"};
    plan.dose = {2.0, 6.0, 12.0};
    return plan;
}

// Invented, but of a likely size: holds fade a little from one to the next, rapid ones are higher and shorter.
std::map<std::string_view, Estimate> figures(int i, StepKind kind) {
    const bool hold = kind == StepKind::hold;
    const double mean = (hold ? 19.4 : 21.1) - 0.7 * i;
    std::map<std::string_view, Estimate> values = {{"work_mean_uv", Estimate::of(mean, hold ? 0.27 : 0.64)},
                                                   {"hold_mean_uv", Estimate::of(mean + 1.3, hold ? 0.31 : 0.9)},
                                                   {"rest_mean_uv", Estimate::of(2.9 + 0.15 * (i % 3), 0.05)},
                                                   {"peak_uv", Estimate::of(mean + 14.0)},
                                                   {"reaction_s", Estimate::of(0.31 + 0.04 * (i % 4), 0.021)},
                                                   {"time_to_hold_s", Estimate::of(0.84 + 0.05 * (i % 3), 0.034)},
                                                   {"release_s", Estimate::of(1.32 - 0.06 * i, 0.042)},
                                                   {"reached_threshold", Estimate::of(i % 2 == 0 ? 1.0 : 0.0)},
                                                   {"above_threshold_pct", Estimate::of(61.0 - 4.0 * i)}};
    values["fade_pct"] = hold ? Estimate::of(-11.2 - 1.9 * i, 3.4) : Estimate::none("the hold is too short for a line");
    if (hold && i == 3) values["release_s"] = Estimate::none("not released in the rest");
    return values;
}

ScoredCycle scored(int index, std::optional<int> step, StepKind kind, TimeSpan work, double rest_end_s, int i) {
    ScoredCycle scored;
    Cycle& cycle = scored.cycle;
    cycle.index = index;
    cycle.step = step;
    cycle.kind = kind;
    cycle.work = work;
    cycle.rest = {work.end_s, rest_end_s};
    const double on = work.begin_s + 0.31 + 0.04 * (i % 4), off = work.end_s + 0.9;
    cycle.onset = EventTime{on, 0.021, on - 0.041, on + 0.041, false};
    cycle.offset = EventTime{off, 0.042, off - 0.082, off + 0.082, false};
    cycle.begins = Begins::as_usual;
    cycle.rise_20_s = on + 0.08;
    cycle.fall_20_s = off - 0.12;
    const auto values = figures(i, kind);
    for (const Measure& measure : measure_list()) {
        const auto found = values.find(measure.key);
        scored.values.push_back(found == values.end() ? Estimate::none("not made up") : found->second);
    }
    return scored;
}

void make_missed(ScoredCycle& scored) {
    scored.cycle.status = CycleStatus::missed;
    scored.cycle.onset.reset();
    scored.cycle.offset.reset();
    scored.cycle.begins.reset();
    scored.cycle.rise_20_s.reset();
    scored.cycle.fall_20_s.reset();
    scored.cycle.onset_reason = scored.cycle.offset_reason = "no contraction found";
    for (Estimate& value : scored.values) value = Estimate::none("no contraction found");
}

void make_late(ScoredCycle& scored) {
    constexpr double kLater_s = 0.5;
    Cycle& cycle = scored.cycle;
    for (double* time_s : {&cycle.onset->time_s, &cycle.onset->low_s, &cycle.onset->high_s, &*cycle.rise_20_s}) *time_s += kLater_s;
    *scored.values[*measure_index("reaction_s")].value += kLater_s;
    cycle.begins = Begins::late;
}

std::vector<ScoredCycle> cycles() {
    std::vector<ScoredCycle> cycles;
    double cue_s = kFirstCue_s;
    for (int i = 0; i < 5; ++i, cue_s += 18.0) {
        cycles.push_back(scored(i + 1, 1, StepKind::hold, {cue_s, cue_s + 8.0}, cue_s + 18.0, i));
    }
    for (int i = 0; i < 5; ++i, cue_s += 5.0) {
        cycles.push_back(scored(i + 6, 2, StepKind::rapid, {cue_s, cue_s + 1.0}, cue_s + 5.0, i));
    }
    make_missed(cycles[8]);
    ScoredCycle extra = scored(11, std::nullopt, StepKind::rapid, {136.5, 137.75}, 139.0, 2);
    extra.cycle.status = CycleStatus::extra;
    extra.cycle.begins.reset();
    make_late(cycles[6]);
    cycles.push_back(extra);
    EventTime& onset = *cycles[1].cycle.onset;
    onset = {38.42, 0.0, 38.42, 38.42, true};
    cycles[1].cycle.corrected = {"onset"};
    return cycles;
}

std::vector<Summary> summaries(const std::vector<ScoredCycle>& cycles, StepKind kind) {
    std::vector<Summary> summaries;
    for (std::size_t measure = 0; measure < measure_list().size(); ++measure) {
        std::vector<double> values;
        for (const ScoredCycle& scored : cycles) {
            const bool counts = scored.cycle.kind == kind && scored.cycle.status == CycleStatus::done;
            if (counts && scored.values[measure]) values.push_back(*scored.values[measure].value);
        }
        summaries.push_back(summarise(values));
    }
    return summaries;
}

void add_targets(SessionScore& score) {
    for (const Target& target : score.plan->targets) {
        TargetOutcome outcome{target, Estimate::none("no contraction gave a value"), std::nullopt};
        const Summary& summary = score.measures[*measure_index(target.measure)];
        if (summary.mean) {
            outcome.value = Estimate::of(*summary.mean);
            outcome.met = *summary.mean < *target.below;
        }
        score.targets.push_back(outcome);
    }
}

Quality quality() {
    Quality quality;
    quality.masked_s = 1.25;
    quality.mains = MainsHum{50.0, 1.3, 0.012, true};
    quality.findings = {{"clipped", Severity::note, "39 samples at the recorder's limits were masked", {{61.0, 61.2}}},
                        {"motion",
                         Severity::caution,
                         "slow swings of the trace, as when a cable moves, were masked",
                         {{97.4, 98.0}, {101.1, 101.5}}}};
    return quality;
}

RecordingFacts facts() {
    RecordingFacts facts;
    facts.source = "week-01/tuesday-evening.edf";
    facts.sha256 = "9b2c4d6e8f00112233445566778899aabbccddeeff00112233445566778899aa";
    facts.format = FileFormat::edf_plus_c;
    facts.person = "QX-17";
    facts.start = parse_civil_time("2026-03-03T19:05:00");
    facts.posture = "lying";
    facts.duration_s = 146.0;
    facts.channel = "EMG PFM";
    facts.rate_hz = 2000.0;
    facts.unit = "uV";
    return facts;
}

}  // namespace

SessionScore made_up_session() {
    SessionScore score;
    score.recording = facts();
    score.settings.given = {.channel = "EMG PFM", .rate_hz = 2000.0, .unit = "mV", .kind = ChannelKind::raw,
                            .person = true, .posture = true,
                            .corrections_sha256 = "0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69788796a5b4c3d2e1f0"};
    score.plan = plan();
    score.cues = CueSource::marks;
    score.quality = quality();
    score.noise_floor_uv = 2.1;
    score.envelope_window_s = 0.1005;
    score.low_hz = 20.0;
    score.high_hz = 450.0;
    score.cycles = cycles();
    score.planned = 10, score.done = 9, score.missed = 1, score.extra = 1;
    score.reference_uv = Estimate::of(31.46, 0.7);
    score.reference_cycle = 1;
    score.threshold_uv = Estimate::of(20.5);
    score.measures = summaries(score.cycles, StepKind::hold);
    score.steps = {{1, StepKind::hold, 5, 5, 0, 0, summaries(score.cycles, StepKind::hold)},
                   {2, StepKind::rapid, 5, 4, 1, 0, summaries(score.cycles, StepKind::rapid)}};
    score.rests = {{0, TimeSpan{1.0, 20.0}, Estimate::of(2.94, 0.06), Estimate::of(13.8)}};
    add_targets(score);
    score.corrections = {{"tuesday-evening.edf", CorrectionAction::move_onset, 2, 38.42, 0.0, "C-04", "2026-03-04",
                          "a cable swing was taken for the rise"}};
    score.notes = {
        {"record_count_unknown", "byte 236", "the number of records is -1; counted 146 from the file's length"}};
    return score;
}

Envelope made_up_envelope(const SessionScore& score) {
    Envelope envelope;
    envelope.rate = Hertz{100.0};
    envelope.noise_floor_uv = score.noise_floor_uv;
    const auto size = static_cast<std::size_t>(score.recording.duration_s * envelope.rate.value);
    for (std::size_t i = 0; i < size; ++i) {
        const double t = time_of(i, envelope.rate);
        double level = 2.9 + 0.3 * std::sin(0.9 * t);
        for (const ScoredCycle& scored : score.cycles) {
            if (!scored.cycle.onset) continue;
            const double on = t - scored.cycle.onset->time_s, off = t - scored.cycle.offset->time_s;
            const double height = 21.0 - 0.06 * scored.cycle.work.begin_s;
            if (on > 0.0)
                level += height * (1.0 - std::exp(-on / 0.25)) * (off > 0.0 ? std::exp(-off / 0.3) : 1.0 - 0.02 * on);
        }
        envelope.uv.push_back(static_cast<float>(level + 1.2 * std::sin(7.3 * t) * level / 20.0));
    }
    for (std::size_t i = 9740; i < 9800; ++i) envelope.uv[i] = std::numeric_limits<float>::quiet_NaN();
    return envelope;
}

SessionScore made_up_empty_session() {
    SessionScore score;
    score.recording.source = "empty.csv";
    score.recording.rate_hz = 50.0;
    score.recording.kind = ChannelKind::envelope;
    score.envelope_method = EnvelopeMethod::as_exported;
    score.quality.usable = false;
    score.quality.findings = {
        {"flat", Severity::reject, "the trace does not move: contact lost or nothing recorded", {}}};
    score.noise_floor_uv = std::numeric_limits<double>::quiet_NaN();
    score.reference_uv = score.threshold_uv = Estimate::none("no contraction was done");
    score.measures.resize(measure_list().size());
    return score;
}

SessionScore with_all_texts(SessionScore score, const std::string& text) {
    RecordingFacts& recording = score.recording;
    recording.source = recording.person = recording.posture = recording.site = recording.channel = recording.unit =
        text;
    if (score.plan) {
        score.plan->source = score.plan->name = score.plan->posture = score.plan->channel = text;
        score.plan->accessory_channels = score.plan->contract_cues = score.plan->relax_cues = {text};
    }
    score.settings.given.channel = score.settings.given.accessory = score.settings.given.unit = text;
    for (Finding& finding : score.quality.findings) finding.code = finding.text = text;
    for (ScoredCycle& scored : score.cycles) {
        if (!scored.cycle.onset) scored.cycle.onset_reason = scored.cycle.offset_reason = text;
        for (Estimate& value : scored.values) {
            if (!value) value.reason = text;
        }
    }
    for (Correction& correction : score.corrections)
        correction.file = correction.who = correction.when = correction.why = text;
    for (Note& note : score.notes) note = {text, text, text};
    return score;
}

}  // namespace tracehold::test
