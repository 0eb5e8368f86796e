// Hum is a sum of lines at multiples of one frequency that drifts a little for all of them alike.
//   1. Looks at every line, four a second (line_blocks), each with the variance that muscle gives it.
//   2. The frequency: from how the phase of the clearest line advances between looks.
//   3. Its course: the clearest line is smoothed; its phase, divided by its number, is the phase of the mains.
//   4. Every line is turned back by that phase and smoothed by itself (line_smoother): what is left changes slowly.
//   5. A line whose evidence is clear is subtracted, its course read between looks as a cubic.
// Where hum begins or ends at once (hum_steps), each side is smoothed by itself, and the moment is that which leaves the
// least of the trace; what may lie on either side of it is masked.
// Each line costs muscle only the width of its smoother, some hundredths of a hertz where the hum is steady.
// Limits: lines that are no multiple of 50 or 60 Hz; hum that comes for less than half a second; steps that muscle louder than the
// hum hides, which are smoothed over a second. left_hum sees most of what these leave.
#include "clean/mains.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "clean/frames.hpp"
#include "clean/hum_steps.hpp"
#include "clean/line_blocks.hpp"
#include "clean/line_smoother.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

using Complex = std::complex<double>;
constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr double kClear = 15.0;  // log evidence for a line; clean traces stay below 5. Our choice
constexpr double kStepMargin_s = 0.1;  // what the high-pass leaves on either side of a step, and more; our choice
constexpr double kDoubt = 10.0;        // twice the log likelihood that a moment may lose and still be the step's; our choice
constexpr double kMuscle_hz = 200.0;   // so many samples a second of muscle are as if independent: twice its bandwidth of about 100 Hz
constexpr double kFarthest_hz =
    0.5;  // mains stay within 0.2 Hz (EN 50160: 1 % for 99.5 % of a year); recorders' clocks add a little

// Phase of the mains beside 2 pi hz t, and its change per look, one each look.
struct PhaseCourse {
    double hz = 0.0;
    std::vector<double> phase, rate;
};

struct Line {
    std::size_t harmonic = 0;  // index: harmonic + 1 times the mains frequency
    SmoothLine smooth;
};

struct Hum {
    PhaseCourse mains;
    std::vector<Line> lines;
    double evidence = 0.0;  // of all clear lines
    std::vector<HumStep> steps;
};

double multiple(std::size_t harmonic) { return static_cast<double>(harmonic + 1); }

// sum conj(a_b) a_{b+1}, each weighted by its variances; what it would be by chance has size 1. What the window does to a line
// cancels out.
Complex phase_advance(const LineBlocks& blocks, std::size_t harmonic) {
    const std::vector<LineBin>& bins = blocks.bins[harmonic];
    double re = 0.0, im = 0.0, chance = 0.0;
    for (std::size_t b = 0; b + 1 < bins.size(); ++b) {
        if (!(bins[b].noise > 0.0F) || !(bins[b + 1].noise > 0.0F)) continue;
        const double weight = 1.0 / (static_cast<double>(bins[b].noise) * bins[b + 1].noise);
        const std::complex<double> from(bins[b].bin), to(bins[b + 1].bin);
        re += weight * (from.real() * to.real() + from.imag() * to.imag());
        im += weight * (from.real() * to.imag() - from.imag() * to.real());
        chance += weight;
    }
    const double turns = blocks.nominal_hz[harmonic] * blocks.hop_s();  // of that frequency, from one block to the next
    return chance > 0.0 ? Complex(re, im) / std::sqrt(chance) * std::polar(1.0, -kTurn * (turns - std::floor(turns))) : Complex{};
}

struct Clearest {
    std::size_t harmonic = 0;
    double hz = 0.0;  // of the mains, not of the harmonic
};

Clearest clearest_line(const LineBlocks& blocks) {
    Clearest best{0, blocks.nominal_hz.front()};
    double most = 0.0;
    for (std::size_t h = 0; h < blocks.nominal_hz.size(); ++h) {
        const Complex advance = phase_advance(blocks, h);
        if (std::abs(advance) <= most) continue;
        const double off_hz = std::arg(advance) / (kTurn * blocks.hop_s() * multiple(h));
        if (std::abs(off_hz) > kFarthest_hz) continue;
        most = std::abs(advance);
        best = {h, blocks.nominal_hz.front() + off_hz};
    }
    return best;
}

std::vector<Look> looks_along(const LineBlocks& blocks, std::size_t harmonic, const PhaseCourse& mains) {
    std::vector<Look> looks(blocks.blocks);
    const double m = multiple(harmonic), hz = m * mains.hz, half_s = blocks.centre_s(0);
    double gain_hz = hz;
    Complex gain = blocks.window_gain(harmonic, hz), by_gain = 2.0 / gain;
    for (std::size_t b = 0; b < blocks.blocks; ++b) {
        const LineBin& line = blocks.bins[harmonic][b];
        if (!(line.noise > 0.0F)) continue;
        // The line stands at local_hz in this block; its phase is that of the course at the block's centre.
        const double local_hz = hz + m * mains.rate[b] / (kTurn * blocks.hop_s());
        if (local_hz != gain_hz) gain = blocks.window_gain(harmonic, gain_hz = local_hz), by_gain = 2.0 / gain;
        const double turns = (local_hz - hz) * half_s - hz * static_cast<double>(b) * blocks.hop_s();
        const double phase = kTurn * (turns - std::floor(turns)) - m * mains.phase[b];
        looks[b] = {Complex(line.bin) * by_gain * std::polar(1.0, phase), blocks.variance(harmonic, b, gain)};
    }
    return looks;
}

PhaseCourse steady(double hz, std::size_t blocks) {
    return {hz, std::vector<double>(blocks, 0.0), std::vector<double>(blocks, 0.0)};
}

// The phase of a smoothed line, unwound, divided by its number.
PhaseCourse phase_of(const SmoothLine& line, double hz, double number) {
    PhaseCourse out = steady(hz, line.course.size());
    double unwound = 0.0;
    for (std::size_t b = 0; b < line.course.size(); ++b) {
        const LineCourse& now = line.course[b];
        if (b > 0) unwound += std::arg(now.amplitude * std::conj(line.course[b - 1].amplitude));
        out.phase[b] = unwound / number;
        const double size = std::norm(now.amplitude);
        out.rate[b] = size > 0.0 ? (std::conj(now.amplitude) * now.rate).imag() / size / number : 0.0;
    }
    return out;
}

// The frequency is unlikely to leave its range: where the course says so the line was lost in noise.
void keep_in_range(PhaseCourse& mains, double hop_s) {
    const double most = kTurn * hop_s * kFarthest_hz;
    for (double& rate : mains.rate) rate = std::clamp(rate, -most, most);
}

Hum find_hum(const LineBlocks& blocks) {
    Hum hum;
    if (blocks.blocks < 2) return hum;
    const Clearest clearest = clearest_line(blocks);
    std::vector<Look> looks = looks_along(blocks, clearest.harmonic, steady(clearest.hz, blocks.blocks));
    SmoothLine guide = smooth_line(looks, kClear);
    if (guide.evidence > kClear) hum.steps = hum_steps(looks);
    if (!hum.steps.empty()) {
        hum.evidence = guide.evidence;
        part_at(hum.steps, looks);
        guide = smooth_line(looks, kClear);
    }
    hum.mains = guide.evidence > kClear ? phase_of(guide, clearest.hz, multiple(clearest.harmonic))
                                        : steady(clearest.hz, blocks.blocks);
    keep_in_range(hum.mains, blocks.hop_s());
    for (std::size_t h = 0; h < blocks.nominal_hz.size(); ++h) {
        looks = looks_along(blocks, h, hum.mains);
        part_at(hum.steps, looks);
        Line line{h, smooth_line(looks, kClear)};
        if (line.smooth.evidence < kClear) continue;
        hum.evidence += line.smooth.evidence;
        hum.lines.push_back(std::move(line));
    }
    return hum;
}

// Between two looks, from values and changes per look at both ends: the cubic of u = 0..1, its coefficients from the constant on.
template <class Value>
std::array<Value, 4> cubic(Value v0, Value r0, Value v1, Value r1) {
    return {v0, r0, 3.0 * (v1 - v0) - 2.0 * r0 - r1, 2.0 * (v0 - v1) + r0 + r1};
}

template <class Value>
Value at(const std::array<Value, 4>& c, double u) {
    return c[0] + u * (c[1] + u * (c[2] + u * c[3]));
}

// Looks between which hum goes on without a step. Before the first and after the last the nearest course is continued.
struct Stretch {
    std::size_t first = 0, last = 0;
};

// Neighbouring samples between the same two looks: where they stand there, the turn of the mains, its power for the harmonic that is
// summed, and the sum.
struct Neighbours {
    std::vector<double> u, re, im, turned_re, turned_im, hum;
    void clear() {
        for (std::vector<double>* values : {&u, &re, &im}) values->clear();
    }
};

TRACEHOLD_WIDE void raise(const double* re, const double* im, double* turned_re, double* turned_im, std::size_t size) {
    TRACEHOLD_INDEPENDENT
    for (std::size_t i = 0; i < size; ++i) {
        const double real = turned_re[i] * re[i] - turned_im[i] * im[i];
        turned_im[i] = turned_re[i] * im[i] + turned_im[i] * re[i];
        turned_re[i] = real;
    }
}

TRACEHOLD_WIDE void add_line(const std::array<double, 4> re, const std::array<double, 4> im, const double* u, const double* turned_re,
                             const double* turned_im, double* hum, std::size_t size) {
    TRACEHOLD_INDEPENDENT
    for (std::size_t i = 0; i < size; ++i) {
        const double real = re[0] + u[i] * (re[1] + u[i] * (re[2] + u[i] * re[3]));
        const double imaginary = im[0] + u[i] * (im[1] + u[i] * (im[2] + u[i] * im[3]));
        hum[i] += real * turned_re[i] - imaginary * turned_im[i];
    }
}

void sum_lines(const Hum& hum, std::size_t look, Neighbours& n) {
    const std::size_t size = n.u.size();
    n.hum.assign(size, 0.0);
    n.turned_re.assign(size, 1.0);
    n.turned_im.assign(size, 0.0);
    std::size_t raised = 0;
    for (const Line& line : hum.lines) {
        for (; raised < line.harmonic + 1; ++raised) raise(n.re.data(), n.im.data(), n.turned_re.data(), n.turned_im.data(), size);
        const LineCourse &c0 = line.smooth.course[look], &c1 = line.smooth.course[look + 1];
        const auto re = cubic(c0.amplitude.real(), c0.rate.real(), c1.amplitude.real(), c1.rate.real());
        const auto im = cubic(c0.amplitude.imag(), c0.rate.imag(), c1.amplitude.imag(), c1.rate.imag());
        add_line(re, im, n.u.data(), n.turned_re.data(), n.turned_im.data(), n.hum.data(), size);
    }
}

// The hum of the samples of a range: use(sample, hum) sees each in order.
template <class Use>
void each_hum(const Hum& hum, const LineBlocks& blocks, Stretch stretch, SampleRange range, Use use) {
    const PhaseCourse& mains = hum.mains;
    Neighbours n;
    const auto place_of = [&](std::size_t sample) {
        const double look = (static_cast<double>(sample) - static_cast<double>(blocks.length) / 2) / static_cast<double>(blocks.hop);
        return std::clamp(look, static_cast<double>(stretch.first), static_cast<double>(stretch.last));
    };
    const auto look_of = [&](double place) { return std::min(static_cast<std::size_t>(place), blocks.blocks - 2); };
    for (std::size_t begin = range.begin; begin < range.end;) {
        const std::size_t b = look_of(place_of(begin));
        const auto drift = cubic(mains.phase[b], mains.rate[b], mains.phase[b + 1], mains.rate[b + 1]);
        n.clear();
        std::size_t end = begin;
        for (double place = place_of(begin); end < range.end && look_of(place) == b; place = place_of(++end)) {
            const double turns = mains.hz * static_cast<double>(end) / blocks.rate.value;
            n.u.push_back(place - static_cast<double>(b));
            const Complex one = std::polar(1.0, kTurn * (turns - std::floor(turns)) + at(drift, n.u.back()));
            n.re.push_back(one.real());
            n.im.push_back(one.imag());
        }
        sum_lines(hum, b, n);
        for (std::size_t i = begin; i < end; ++i) use(i, n.hum[i - begin]);
        begin = end;
    }
}

// Samples within which a step lies.
SampleRange moment_of(std::span<const float> uv, const Hum& hum, const LineBlocks& blocks, Stretch before, Stretch after, bool is_burst) {
    const SampleRange within{before.last * blocks.hop + blocks.length / 2, after.first * blocks.hop + blocks.length / 2};
    if (is_burst || hum.lines.empty()) return within;
    std::vector<double> gain{0.0};  // of power, were the step that far on rather than at once
    double left = 0.0;
    std::vector<double> hum_before;
    each_hum(hum, blocks, before, within, [&](std::size_t, double h) { hum_before.push_back(h); });
    each_hum(hum, blocks, after, within, [&](std::size_t i, double hum_after) {
        const double x = std::isnan(uv[i]) ? 0.0 : uv[i], old = x - hum_before[i - within.begin], now = x - hum_after;
        gain.push_back(gain.back() + (std::isnan(uv[i]) ? 0.0 : now * now - old * old));
        left += now * now;
    });
    const double most = *std::max_element(gain.begin(), gain.end());
    const double power = (left - most) / static_cast<double>(within.size());
    const double least = most - kDoubt * blocks.rate.value / kMuscle_hz * power;
    const auto likely = [&](double g) { return g >= least; };
    const auto first = std::find_if(gain.begin(), gain.end(), likely) - gain.begin();
    const auto last = gain.rend() - std::find_if(gain.rbegin(), gain.rend(), likely);
    return {within.begin + static_cast<std::size_t>(first), within.begin + static_cast<std::size_t>(last)};
}

std::vector<Stretch> stretches_of(const Hum& hum, const LineBlocks& blocks) {
    std::vector<Stretch> out{{0, blocks.blocks - 1}};
    for (const HumStep step : hum.steps) {
        out.back().last = step.before;
        out.push_back({step.after, blocks.blocks - 1});
    }
    return out;
}

// Out: what is masked at the steps.
Ranges subtract(std::span<float> uv, const Hum& hum, const LineBlocks& blocks) {
    const std::vector<Stretch> stretches = stretches_of(hum, blocks);
    Ranges steps;
    std::size_t i = 0;
    for (std::size_t k = 0; k < stretches.size(); ++k) {
        const bool ends = k < hum.steps.size();
        const SampleRange step = ends ? moment_of(uv, hum, blocks, stretches[k], stretches[k + 1], hum.steps[k].burst) : SampleRange{uv.size(), uv.size()};
        each_hum(hum, blocks, stretches[k], {i, step.begin}, [&](std::size_t sample, double h) { uv[sample] = static_cast<float>(uv[sample] - h); });
        if (ends) steps.push_back(step);
        i = step.end;
    }
    steps = widened(std::move(steps), static_cast<std::size_t>(kStepMargin_s * blocks.rate.value), uv.size());
    mask(uv, steps);
    return steps;
}

// Where no line is clear: what stands above the noise in the quiet blocks, all harmonics together; 0 if nothing does.
double unclear_power(const LineBlocks& blocks) {
    double power = 0.0;
    for (std::size_t h = 0; h < blocks.nominal_hz.size(); ++h) {
        const Complex gain = blocks.window_gain(h, blocks.nominal_hz[h]);
        double sum = 0.0, weight = 0.0;
        for (std::size_t b = 0; b < blocks.blocks; ++b) {
            const double v = blocks.variance(h, b, gain);
            if (!(v > 0.0)) continue;
            sum += (blocks.power(h, b, gain) - v) / 2 / (v * v);
            weight += 1.0 / (v * v);
        }
        if (weight > 0.0) power += sum / weight;
    }
    return std::max(0.0, power);
}

double clear_power(const Hum& hum) {
    double sum = 0.0;
    for (const Line& line : hum.lines) {
        for (const LineCourse& c : line.smooth.course)
            sum += std::norm(c.amplitude) / 2 / static_cast<double>(line.smooth.course.size());
    }
    return sum;
}

struct Candidate {
    double nominal_hz = 50.0;
    const LineBlocks* blocks = nullptr;
    Hum hum;
    double power = 0.0;
};

Candidate look_at(const LineBlocks& blocks, double nominal_hz) {
    Candidate out{nominal_hz, &blocks, {}, 0.0};
    if (blocks.nominal_hz.empty()) return out;
    out.hum = find_hum(blocks);
    out.power = out.hum.lines.empty() ? unclear_power(blocks) : clear_power(out.hum);
    return out;
}

const Candidate& stronger(const Candidate& a, const Candidate& b) {
    if (a.hum.evidence != b.hum.evidence) return a.hum.evidence > b.hum.evidence ? a : b;
    return a.power >= b.power ? a : b;
}

// Multiples that both have, as 300 Hz, make one of them look a little like the other.
const Candidate& unless_much_clearer(const Candidate& asked, const Candidate& other) {
    return other.hum.evidence > 2.0 * asked.hum.evidence ? other : asked;
}

}  // namespace

MainsTreatment treat_mains(std::span<float> uv, std::span<const LineBlocks> at_50_and_60, MainsRemoval how) {
    Candidate at_50, at_60;
    side_by_side([&] { at_50 = look_at(at_50_and_60[0], kMains_hz[0]); }, [&] { at_60 = look_at(at_50_and_60[1], kMains_hz[1]); });
    const Candidate& found = how == MainsRemoval::hz50   ? unless_much_clearer(at_50, at_60)
                             : how == MainsRemoval::hz60 ? unless_much_clearer(at_60, at_50)
                                                         : stronger(at_50, at_60);
    MainsTreatment out;
    const double total = mean_power(uv);
    out.hum.hz = found.nominal_hz;
    out.hum.rms_uv = std::sqrt(found.power);
    out.hum.share_of_power = total > 0.0 ? std::min(1.0, found.power / total) : 0.0;
    for (const Line& line : found.hum.lines) out.lines_hz.push_back(multiple(line.harmonic) * found.hum.mains.hz);
    out.hum.removed = how != MainsRemoval::off && !found.hum.lines.empty();
    if (how == MainsRemoval::off || (found.hum.lines.empty() && found.hum.steps.empty())) return out;
    out.steps = subtract(uv, found.hum, *found.blocks);
    return out;
}

MainsTreatment treat_mains(std::span<float> uv, Hertz rate, Hertz highest, MainsRemoval how) {
    return treat_mains(uv, line_blocks(uv, rate, kMains_hz, highest), how);
}

}  // namespace tracehold
