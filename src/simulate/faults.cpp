#include "simulate/faults.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include "simulate/plain_math.hpp"
#include "simulate/random_stream.hpp"

namespace tracehold {
namespace {

// What a fault works with: its samples, and random numbers of its own.
struct Site {
    const Fault& fault;
    const FaultPlace& place;
    std::vector<double>& samples;
    SampleRange range;
    RandomStream random;

    double time_s(std::size_t i) const { return time_of(i, place.rate); }
};

// Amplitudes of mains and its harmonics. Our choice after what is seen near transformers and lamps: odd ones prevail.
struct Partial {
    int multiple;
    double amplitude;
};
constexpr std::array<Partial, 5> kMains = {{{1, 1.0}, {2, 0.1}, {3, 0.35}, {5, 0.2}, {7, 0.1}}};

constexpr double kWobble_hz = 0.1, kWobblePeriod_s = 17.0;
constexpr double kSwellShare = 0.3, kSwellPeriod_s = 11.0;

// Its phase at a time: hz t, and where it wobbles the integral of the deviation.
struct Mains {
    std::vector<Partial> partials;
    std::vector<double> phases;
    double scale;
    bool wobbles;

    double at(double time_s, double hz) const {
        double turns = hz * time_s, swell = 1.0;
        if (wobbles) {
            turns -= kWobble_hz * kWobblePeriod_s / 6.283185307179586 * plain::cos_turns(time_s / kWobblePeriod_s);
            swell += kSwellShare * plain::sin_turns(time_s / kSwellPeriod_s);
        }
        double sum = 0.0;
        for (std::size_t i = 0; i < partials.size(); ++i) {
            sum += partials[i].amplitude * plain::sin_turns(partials[i].multiple * turns + phases[i]);
        }
        return scale * swell * sum;
    }
};

Mains draw_mains(const Fault& fault, Hertz rate, bool wobbles, RandomStream& random) {
    Mains mains{{}, {}, 0.0, wobbles};
    double power = 0.0;
    for (const Partial& partial : kMains) {
        const double phase = random.uniform();
        if (partial.multiple * fault.hz >= rate.value / 2) continue;
        mains.partials.push_back(partial);
        mains.phases.push_back(phase);
        power += partial.amplitude * partial.amplitude / 2;
    }
    if (wobbles) power *= 1 + kSwellShare * kSwellShare / 2;
    mains.scale = power > 0 ? fault.strength_uv / std::sqrt(power) : 0.0;
    return mains;
}

void add_hum(Site& site) {
    const Mains mains =
        draw_mains(site.fault, site.place.rate, site.fault.kind == FaultKind::wobbling_hum, site.random);
    for (std::size_t i = site.range.begin; i < site.range.end; ++i) {
        site.samples[i] += mains.at(site.time_s(i), site.fault.hz);
    }
}

void add_drift(Site& site) {
    std::array<double, 3> hz{}, phase{};
    for (std::size_t k = 0; k < 3; ++k) {
        hz[k] = site.random.uniform(0.03, 0.4);
        phase[k] = site.random.uniform();
    }
    for (std::size_t i = site.range.begin; i < site.range.end; ++i) {
        double sum = 0.0;
        for (std::size_t k = 0; k < 3; ++k) sum += plain::sin_turns(hz[k] * site.time_s(i) + phase[k]);
        site.samples[i] += site.fault.strength_uv / 3 * sum;
    }
}

// One beat: bumps exp(-((t - at) / width)^2 / 2). Times and shares after textbook drawings of a limb lead (from
// memory); only the width of the QRS, about 90 ms from end to end, matters here.
struct Bump {
    double at_s, width_s, height;
};
constexpr std::array<Bump, 5> kBeat = {
    {{-0.16, 0.025, 0.10}, {-0.026, 0.008, -0.15}, {0.0, 0.010, 1.0}, {0.028, 0.009, -0.25}, {0.25, 0.045, 0.22}}};
constexpr double kBeatBegin_s = -0.3, kBeatEnd_s = 0.5;

double beat_at(double t) {
    double sum = 0.0;
    for (const Bump& bump : kBeat) {
        const double z = (t - bump.at_s) / bump.width_s;
        if (std::abs(z) < 8) sum += bump.height * plain::exp(-z * z / 2);
    }
    return sum;
}

void add_beats(Site& site) {
    constexpr double kBreath_s = 4.2, kBreathShare = 0.05, kRandomShare = 0.03;
    const double scale = site.fault.strength_uv / beat_at(0.0);
    const double mean_s = 1 / site.fault.hz, end_s = site.fault.from_s + site.fault.length_s;
    double r_s = site.fault.from_s + mean_s * site.random.uniform();
    while (r_s + kBeatBegin_s < end_s) {
        const SampleRange beat = samples_in({r_s + kBeatBegin_s, r_s + kBeatEnd_s}, site.place.rate, site.range.end);
        for (std::size_t i = std::max(beat.begin, site.range.begin); i < beat.end; ++i) {
            site.samples[i] += scale * beat_at(site.time_s(i) - r_s);
        }
        r_s += mean_s * (1 + kBreathShare * plain::sin_turns(r_s / kBreath_s) + site.random.spread(kRandomShare));
    }
}

void add_motion(Site& site) {
    std::array<double, 8> hz{}, phase{};
    for (std::size_t k = 0; k < hz.size(); ++k) {
        hz[k] = site.random.uniform(1, 30);
        phase[k] = site.random.uniform();
    }
    std::vector<double> burst(site.range.size(), 0.0);
    double peak = 0.0;
    for (std::size_t i = 0; i < burst.size(); ++i) {
        const double t = site.time_s(site.range.begin + i) - site.fault.from_s;
        const double window = (1 - plain::cos_turns(t / site.fault.length_s)) / 2;
        for (std::size_t k = 0; k < hz.size(); ++k) burst[i] += plain::sin_turns(hz[k] * t + phase[k]);
        burst[i] *= window;
        peak = std::max(peak, std::abs(burst[i]));
    }
    if (peak == 0.0) return;
    for (std::size_t i = 0; i < burst.size(); ++i) {
        site.samples[site.range.begin + i] += site.fault.strength_uv / peak * burst[i];
    }
}

void add_spikes(Site& site) {
    constexpr double kWidth_s = 0.0005;
    double t = site.fault.from_s;
    for (;;) {
        t -= plain::log(1 - site.random.uniform()) / site.fault.hz;  // Poisson
        const double height = site.random.uniform() < 0.5 ? -site.fault.strength_uv : site.fault.strength_uv;
        if (t >= site.fault.from_s + site.fault.length_s) return;
        const SampleRange one{samples_in({t, t + kWidth_s}, site.place.rate, site.range.end)};
        const std::size_t end = std::min(site.range.end, std::max(one.end, one.begin + 1));
        for (std::size_t i = one.begin; i < end; ++i) site.samples[i] += height;
    }
}

void add_twitch(Site& site) {
    const auto noise = emg_noise(site.random, site.place.spectrum, site.place.rate, site.range.size());
    for (std::size_t i = 0; i < noise.size(); ++i)
        site.samples[site.range.begin + i] += site.fault.strength_uv * noise[i];
}

void clip(Site& site) {
    for (std::size_t i = site.range.begin; i < site.range.end; ++i) {
        site.samples[i] = std::clamp(site.samples[i], -site.fault.strength_uv, site.fault.strength_uv);
    }
}

void fill(Site& site, double value) {
    std::fill(site.samples.begin() + static_cast<std::ptrdiff_t>(site.range.begin),
              site.samples.begin() + static_cast<std::ptrdiff_t>(site.range.end), value);
}

void open_contact(Site& site) {
    const Mains mains = draw_mains(site.fault, site.place.rate, false, site.random);
    const auto noise = white_noise(site.random, site.place.rate, site.range.size());
    for (std::size_t i = site.range.begin; i < site.range.end; ++i) {
        const double hiss = site.fault.strength_uv / 10 * noise[i - site.range.begin];
        site.samples[i] = mains.at(site.time_s(i), site.fault.hz) + hiss;
    }
}

bool replaces(FaultKind kind) { return kind >= FaultKind::clipping; }

double default_hz(FaultKind kind) {
    if (kind == FaultKind::heart_beats) return 1.1;
    if (kind == FaultKind::spikes) return 0.5;
    return 50.0;
}

double default_length_s(FaultKind kind, double to_end_s) {
    if (kind == FaultKind::motion_burst) return 0.6;
    if (kind == FaultKind::twitch) return 0.2;
    return to_end_s;
}

}  // namespace

Fault completed(const Fault& fault, double duration_s) {
    Fault out = fault;
    if (out.hz == 0) out.hz = default_hz(out.kind);
    if (out.length_s == 0) out.length_s = default_length_s(out.kind, duration_s - out.from_s);
    return out;
}

bool reaches_every_channel(FaultKind kind) {
    return kind == FaultKind::hum || kind == FaultKind::wobbling_hum || kind == FaultKind::heart_beats ||
           kind == FaultKind::contact_open || kind == FaultKind::gap;
}

void put_fault(const Fault& fault, const FaultPlace& place, std::vector<double>& samples) {
    const SampleRange range = samples_in({fault.from_s, fault.from_s + fault.length_s}, place.rate, samples.size());
    Site site{fault, place, samples, range, RandomStream(place.seed, Purpose::fault, place.number)};
    switch (fault.kind) {
        case FaultKind::hum:
        case FaultKind::wobbling_hum: return add_hum(site);
        case FaultKind::drift: return add_drift(site);
        case FaultKind::heart_beats: return add_beats(site);
        case FaultKind::motion_burst: return add_motion(site);
        case FaultKind::spikes: return add_spikes(site);
        case FaultKind::twitch: return add_twitch(site);
        case FaultKind::clipping: return clip(site);
        case FaultKind::contact_flat:
        case FaultKind::contact_rail: return fill(site, fault.strength_uv);
        case FaultKind::contact_open: return open_contact(site);
        case FaultKind::gap: return fill(site, std::numeric_limits<double>::quiet_NaN());
    }
}

std::vector<std::size_t> order_of_faults(const std::vector<Fault>& faults) {
    std::vector<std::size_t> order(faults.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto rank = [&](std::size_t i) { return replaces(faults[i].kind) ? static_cast<int>(faults[i].kind) : 0; };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return rank(a) < rank(b); });
    return order;
}

}  // namespace tracehold
