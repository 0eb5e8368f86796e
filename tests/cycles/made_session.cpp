#include "cycles/made_session.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "tracehold/envelope/follow_envelope.hpp"

namespace tracehold::testing {

double MadeSession::duration_s() const { return time_of(envelope.uv.size(), envelope.rate); }

double Dice::uniform(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1.0p-53;
}

double Dice::normal() {
    const double u = 1.0 - uniform(0.0, 1.0);
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * uniform(0.0, 1.0));
}

int Dice::whole(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<std::uint64_t>(high - low + 1));
}

double amplitude_at(const std::vector<MadeContraction>& contractions, double rest_uv, double t) {
    double amplitude = rest_uv;
    for (const MadeContraction& c : contractions) {
        if (t < c.begin_s || t >= c.end_s) continue;
        const double share =
            c.ramp_s > 0.0 ? std::min({1.0, (t - c.begin_s) / c.ramp_s, (c.end_s - t) / c.ramp_s}) : 1.0;
        amplitude = std::max(amplitude, rest_uv + share * (c.level_uv - rest_uv));
    }
    return amplitude;
}

namespace {

std::vector<float> amplitudes(const std::vector<MadeContraction>& contractions, double rest_uv, double duration_s,
                              double rate_hz) {
    std::vector<float> out(static_cast<std::size_t>(std::lround(duration_s * rate_hz)), static_cast<float>(rest_uv));
    for (const MadeContraction& c : contractions) {
        const SampleRange range = samples_in({std::max(0.0, c.begin_s), c.end_s}, Hertz{rate_hz}, out.size());
        for (std::size_t i = range.begin; i < range.end; ++i) {
            const double here = amplitude_at({c}, rest_uv, time_of(i, Hertz{rate_hz}));
            out[i] = std::max(out[i], static_cast<float>(here));
        }
    }
    return out;
}

}  // namespace

MadeSession exported_session(const std::vector<MadeContraction>& contractions, double rest_uv, double duration_s,
                             double rate_hz) {
    MadeSession session;
    session.clean.rate = session.envelope.rate = Hertz{rate_hz};
    session.clean.kind = ChannelKind::envelope;
    session.clean.uv = session.envelope.uv = amplitudes(contractions, rest_uv, duration_s, rate_hz);
    session.envelope.method = EnvelopeMethod::as_exported;
    session.envelope.window = Seconds{1.0 / rate_hz};
    return session;
}

MadeSession noisy_session(const std::vector<MadeContraction>& contractions, double rest_uv, double duration_s,
                          std::uint64_t seed, double rate_hz) {
    MadeSession session;
    Dice dice(seed);
    session.clean.rate = Hertz{rate_hz};
    session.clean.uv = amplitudes(contractions, rest_uv, duration_s, rate_hz);
    for (float& x : session.clean.uv) x *= static_cast<float>(dice.normal());
    session.clean.low_hz = 20.0;
    session.clean.high_hz = std::min(450.0, 0.45 * rate_hz);
    session.clean.bandwidth_hz = 0.5 * rate_hz;
    session.envelope = follow_envelope(session.clean);
    return session;
}

namespace {

// Contractions before the plan starts: trying things out, none within 3 s of it.
void fill_lead(double start_s, double level_uv, Dice& dice, std::vector<MadeContraction>& contractions) {
    for (double t = dice.uniform(0.0, 6.0); t < start_s - 6.0; t += dice.uniform(3.0, 12.0)) {
        const double length = dice.uniform(0.4, 6.0);
        const double end = std::min(t + length, start_s - 3.0);
        contractions.push_back({t, end, level_uv * dice.uniform(0.5, 1.3), 0.2});
        t = end;
    }
}

}  // namespace

Performed perform(const Plan& plan, const Performance& how, std::uint64_t seed) {
    Dice dice(seed);
    Performed out;
    out.start_s = how.lead_s;
    const double rest_uv = 2.0, level = rest_uv * std::pow(10.0, how.contrast_db / 20.0);
    const double reaction = dice.uniform(0.1, 0.5), release = dice.uniform(0.1, 0.5), ramp = dice.uniform(0.1, 0.5);
    std::vector<MadeContraction> contractions;
    if (how.busy_lead) fill_lead(how.lead_s, level, dice, contractions);
    const std::vector<PlannedCycle> planned = timeline(plan);
    const int pause_after = how.pause_s > 0.0 ? dice.whole(1, static_cast<int>(planned.size()) - 1) : 0;
    double shift = how.lead_s;
    for (std::size_t i = 0; i < planned.size(); ++i) {
        const PlannedCycle& c = planned[i];
        if (pause_after > 0 && static_cast<int>(i) == pause_after) shift += how.pause_s;
        const TimeSpan cue{shift + c.contract_s, shift + c.relax_s};
        out.cues.push_back(cue);
        out.done.push_back(dice.uniform(0.0, 1.0) >= how.missed);
        const bool strays = dice.uniform(0.0, 1.0) < how.strayed;
        const double stray = !strays                        ? 0.0
                             : dice.uniform(0.0, 1.0) < 0.5 ? -dice.uniform(0.4, 1.2)
                                                            : dice.uniform(0.6, 1.5);
        const double late = std::clamp(stray, -0.5 * cue.length_s(), 0.5 * cue.length_s());
        out.strays_s.push_back(late);
        const double begin = cue.begin_s + reaction + 0.08 * dice.normal() + late;
        const double end = std::max(
            cue.end_s + release + 0.1 * dice.normal() + (strays && cue.length_s() < 2.5 ? late : 0.0), begin + 0.4);
        if (out.done.back())
            contractions.push_back(
                {begin, end, level * std::exp(0.1 * dice.normal()), std::min(ramp, 0.4 * (end - begin))});
        const double rest = c.end_s - c.relax_s;
        if (rest >= 8.0 && dice.uniform(0.0, 1.0) < how.extra) {
            const double from = cue.end_s + dice.uniform(2.0, rest - 4.5), length = dice.uniform(0.8, 2.0);
            out.extras.push_back({from, from + length});
            contractions.push_back({from, from + length, level, 0.2});
        }
    }
    out.session = noisy_session(contractions, rest_uv, shift + plan_length(plan).value + dice.uniform(0.0, 20.0),
                                seed * 7919 + 1);
    return out;
}

Plan plan_of(std::vector<Step> steps) {
    Plan plan;
    plan.posture = "lying";
    plan.steps = std::move(steps);
    plan.contract_cues = default_contract_cues();
    plan.relax_cues = default_relax_cues();
    return plan;
}

bool has_note(const Cues& cues, const std::string& code) {
    for (const Note& note : cues.notes) {
        if (note.code == code) return true;
    }
    return false;
}

}  // namespace tracehold::testing
