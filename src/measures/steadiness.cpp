// How evenly a contraction is held: the least-squares line through the envelope over the hold, and the scatter about
// it. Errors: relative noise of the envelope has the density v = mean^2 / (4 B) (variance times time). For a line of
// length T this gives Var(slope T) = 12 v / T, Var(start) = 4 v / T, covariance -6 v / T, and for f = slope T / start
// by the delta method Var(f) = v (12 + 12 f + 4 f^2) / (T start^2).
#include <cmath>
#include <string>

#include "measures/families.hpp"
#include "measures/line.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

// Over less than this a line follows the rise and single swings, not fading or unevenness. Our choice: seconds; a
// contraction of 1 s leaves two thirds of one, where fades of hundreds of per cent were read.
constexpr double kShortestHold_s = 2.0;

// The line then is of a contraction that was late, or grew from the rest of the one before. Our choice.
constexpr double kMostRise = 1.0;

struct HoldLine {
    Line line;
    double valid_s = 0.0;
    std::string reason;
};

HoldLine line_of_hold(const CycleView& view) {
    const Window& window = view.of_hold;
    if (!window.reason.empty()) return {{}, 0.0, window.reason};
    if (view.hold.length_s() < kShortestHold_s) return {{}, 0.0, "the hold is shorter than 2 s"};
    const auto line = line_through(view.envelope, view.hold);
    if (!line || line->n < 3) return {{}, 0.0, "too few samples in the hold"};
    return {*line, window.valid_s, {}};
}

Estimate fade_of(const CycleView& view) {
    const auto [line, valid_s, reason] = line_of_hold(view);
    if (!reason.empty()) return Estimate::none(reason);
    if (!(line.start > 0.0)) return Estimate::none("the line through the hold does not start above 0");
    const double fade = line.slope * view.hold.length_s() / line.start;
    if (fade < -1.0) return Estimate::none("a straight line does not follow the hold: it would end below 0");
    if (fade > kMostRise) return Estimate::none("the activity more than doubles over the hold: that is a rise, and no hold that could fade");
    if (!view.work_bandwidth_hz) return Estimate::of(100.0 * fade);
    const double noise = line.mean * line.mean / (4.0 * *view.work_bandwidth_hz * valid_s);
    return Estimate::of(100.0 * fade, 100.0 * std::sqrt(noise * (12.0 + 12.0 * fade + 4.0 * fade * fade)) / line.start);
}

// Neighbouring values of a moving RMS correlate along a triangle of the window's width W on each side, rounded by the
// correlation of the trace itself: a hold of length T holds n = T / (2/3 (W + 1/B)) independent squares, and the
// relative error of an SD is 1 / sqrt(2 n). In simulations it is within a tenth of the spread.
Estimate steadiness_of(const CycleView& view) {
    const auto [line, valid_s, reason] = line_of_hold(view);
    if (!reason.empty()) return Estimate::none(reason);
    if (!(line.mean > 0.0)) return Estimate::none("the mean of the hold is 0");
    const double cv = 100.0 * line.residual_sd / line.mean;
    if (view.envelope.method != EnvelopeMethod::moving_rms) return Estimate::of(cv);
    if (!view.work_bandwidth_hz) return Estimate::of(cv);
    const double independent_s = view.envelope.window.value + 1.0 / *view.work_bandwidth_hz;
    return Estimate::of(cv, cv * std::sqrt(independent_s / (3.0 * valid_s)));
}

}  // namespace

Measure fade() {
    return {.key = "fade_pct",
            .title = "Fade over the hold",
            .unit = "%",
            .ucum = "%",
            .family = "steadiness",
            .definition =
                "Change of the envelope over the hold: 100 times slope times length of the least-squares line "
                "through the envelope, divided by the line's value at the start of the hold. Negative where the "
                "activity fades.",
            .edges =
                "Null where the hold (as of the hold mean) is shorter than 2 s, as where it was begun late or let go early, less than 70 % of "
                "it is valid signal, the contraction was missed, the line does not start above 0, would end below it or more "
                "than doubles. Standard error by the delta method from the density mean^2 / (4 B) of the "
                "envelope's noise: about 100 sqrt(3 / (B T)) percent where nothing fades. A rise that lasts longer "
                "than 1 s hides a fade, and a fall that does reads as one.",
            .source = "descriptive; error: our derivation, checked by simulation",
            .needs_contraction = true,
            .compute = fade_of};
}

Measure steadiness() {
    return {.key = "steadiness_cv_pct",
            .title = "Unsteadiness of the hold",
            .unit = "%",
            .ucum = "%",
            .family = "steadiness",
            .definition =
                "SD (n - 2) of the envelope about its least-squares line over the hold, in percent of the mean of "
                "the envelope there.",
            .edges =
                "Null where the hold (as of the hold mean) is shorter than 2 s, less than 70 % of it is valid signal, or the contraction was "
                "missed. A perfectly even contraction does not read 0: the randomness of the signal alone gives about 100 / (2 sqrt(B "
                "W)), some 11 to 15 % for a 100-ms RMS. Standard error: value times sqrt((W + 1/B) / (3 T)), W the "
                "envelope's window, T the valid time; none for exported and rectified envelopes, whose smoothing is "
                "not known.",
            .source = "descriptive; error: our derivation, checked by simulation",
            .needs_contraction = true,
            .compute = steadiness_of};
}

}  // namespace tracehold
