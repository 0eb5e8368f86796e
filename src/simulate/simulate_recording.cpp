// A session, from what is asked to what a recorder keeps:
// demands (plan, lead-in, pause) -> efforts of each muscle -> mean square over time -> noise of that size -> faults ->
// export. Power sums: amplitude^2 = rest^2 + contraction^2 + (crosstalk x accessory)^2 + floor^2, all sources
// independent.
#include "tracehold/simulate/simulate_recording.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "simulate/check_scenario.hpp"
#include "simulate/exported_envelope.hpp"
#include "simulate/faults.hpp"
#include "simulate/muscle_noise.hpp"
#include "simulate/session.hpp"

namespace tracehold {
namespace {

std::vector<double> trace_of(const Performance& muscle, std::uint64_t seed, Hertz rate, std::size_t size) {
    const MuscleSetting& setting = muscle.setting;
    const EmgSpectrum spectrum{setting.spectrum_low_hz, setting.spectrum_high_hz};
    std::function<double(double)> scale_at;
    if (setting.compression_pct_per_s != 0 || setting.compression_pct_per_cycle != 0) {
        scale_at = [&](double time_s) { return spectrum_scale(setting, muscle.efforts, time_s); };
    }
    std::vector<double> trace = emg_noise(RandomStream(seed, muscle.noise), spectrum, rate, size, scale_at);
    const std::vector<double> power = power_of(muscle, rate, size);
    for (std::size_t i = 0; i < size; ++i) trace[i] *= std::sqrt(power[i]);
    return trace;
}

void add(std::vector<double>& to, double gain, const std::vector<double>& from) {
    for (std::size_t i = 0; i < to.size(); ++i) to[i] += gain * from[i];
}

void put_faults(const Session& session, bool main_channel, std::vector<double>& trace) {
    const MuscleSetting& muscle = session.scenario.muscle;
    for (const std::size_t i : order_of_faults(session.faults)) {
        if (!main_channel && !reaches_every_channel(session.faults[i].kind)) continue;
        const FaultPlace place{session.scenario.seed,
                               static_cast<std::uint32_t>(i),
                               {muscle.spectrum_low_hz, muscle.spectrum_high_hz},
                               session.rate};
        put_fault(session.faults[i], place, trace);
    }
}

// The rails that a fault of the main channel shows; a recorder has one pair of them.
void set_limits(const Session& session, Channel& channel) {
    for (const Fault& fault : session.faults) {
        if (fault.kind != FaultKind::clipping && fault.kind != FaultKind::contact_rail) continue;
        const float limit = std::max(static_cast<float>(fault.strength_uv), channel.high_limit.value_or(0.0f));
        channel.high_limit = limit;
        channel.low_limit = -limit;
    }
}

Channel recorded(const Session& session, const std::string& label, std::vector<double> trace) {
    Channel channel;
    channel.label = label;
    channel.unit = "uV";
    channel.rate = session.rate;
    if (session.scenario.envelope_rate) {
        channel.rate = *session.scenario.envelope_rate;
        channel.kind = ChannelKind::envelope;
        trace = exported_envelope(std::move(trace), session.rate, channel.rate);
    }
    channel.samples.assign(trace.begin(), trace.end());
    return channel;
}

std::vector<Channel> record(const Session& session) {
    const Scenario& scenario = session.scenario;
    const auto floor_noise = [&](Purpose purpose) {
        return white_noise(RandomStream(scenario.seed, purpose), session.rate, session.size);
    };
    std::vector<double> trace = trace_of(session.main, scenario.seed, session.rate, session.size);
    add(trace, scenario.sensor_floor_uv, floor_noise(Purpose::floor_noise));
    std::vector<double> other;
    if (session.accessory) {
        other = trace_of(*session.accessory, scenario.seed, session.rate, session.size);
        add(trace, scenario.crosstalk_pct / 100, other);
        add(other, scenario.sensor_floor_uv, floor_noise(Purpose::accessory_floor_noise));
        put_faults(session, false, other);
    }
    put_faults(session, true, trace);

    const auto& names = scenario.plan.accessory_channels;
    std::vector<Channel> channels;
    channels.push_back(
        recorded(session, scenario.plan.channel.empty() ? "EMG PFM" : scenario.plan.channel, std::move(trace)));
    if (!scenario.envelope_rate) set_limits(session, channels[0]);
    if (session.accessory)
        channels.push_back(recorded(session, names.empty() ? "EMG Abd" : names[0], std::move(other)));
    return channels;
}

std::vector<Mark> cue_marks(const Session& session) {
    std::vector<Mark> marks;
    const auto put = [&](double time_s, const std::vector<std::string>& texts, const char* otherwise) {
        if (time_s >= 0) marks.push_back({time_s, 0.0, texts.empty() ? otherwise : texts.front()});
    };
    for (const Demand& demand : demands(session.scenario)) {
        put(demand.from_s, session.scenario.plan.contract_cues, "contract");
        put(demand.to_s, session.scenario.plan.relax_cues, "relax");
    }
    return marks;
}

std::vector<TimeSpan> gaps_of(const Session& session) {
    std::vector<TimeSpan> gaps;
    for (const Fault& fault : session.faults) {
        if (fault.kind != FaultKind::gap) continue;
        gaps.push_back({fault.from_s, std::min(session.duration_s, fault.from_s + fault.length_s)});
    }
    const auto earlier = [](const TimeSpan& a, const TimeSpan& b) { return a.begin_s < b.begin_s; };
    std::sort(gaps.begin(), gaps.end(), earlier);
    return gaps;
}

}  // namespace

Simulated simulate_recording(const Scenario& scenario) {
    check_scenario(scenario);
    const Session session = work_out(scenario);
    Recording recording;
    recording.source = scenario.name;
    recording.format = FileFormat::simulated;
    recording.person = scenario.person;
    recording.start = scenario.start;
    recording.posture = scenario.plan.posture;
    recording.channels = record(session);
    if (scenario.marks) recording.marks = cue_marks(session);
    recording.gaps = gaps_of(session);
    recording.notes.push_back({"simulated", "", "made by the simulator: no person was recorded"});
    return {std::move(recording), truth_of(session)};
}

}  // namespace tracehold
