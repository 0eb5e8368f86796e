#include "tracehold/cycles/place_contractions.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <string>
#include <utility>

#include "cycles/exported_energies.hpp"
#include "cycles/mdct.hpp"
#include "cycles/onset_posterior.hpp"
#include "cycles/onset_windows.hpp"
#include "tracehold/core/side_by_side.hpp"

namespace tracehold {

// The steps, each in its own file: energies (mdct; exported_energies of an amplitude), where to look and whether there is anything (onset_windows), levels
// of rest and plateau (onset_levels), likelihood of a rise (rise_model), lengths learned from the session
// (rise_model_prior), answers (onset_posterior). Falls are rises in reversed blocks. Twice: the first pass, with linear
// rises only, tells where rest and plateau really lie; the second measures them there and answers.

namespace {

// 95 % interval beyond which no time is given, our choice: as wide as a rapid contraction
constexpr double kWidest_s = 1.2;
// Of the room between a cue and the end of what may belong to it, where that is no neighbour but the end of what is looked at: an
// event so near may lie behind it. Our choices
constexpr double kLastShare = 0.15;
constexpr double kNoNeighbour_s = 1.4;
constexpr double kMostAtBorder = 0.1;  // probability at an end of the searched range beyond which it lies outside
// Seen beside the event, and no less than the interval is wide: else its end is not seen
constexpr double kLeastRest_s = 0.08;

constexpr const char* kNothingFound = "no contraction found in this window";
constexpr const char* kTooFaint = "not detectable";

struct Pass {
    std::vector<EventPosterior> rise, fall;  // of the detected stretches, in order; falls in reversed blocks
};

std::vector<Side> rise_sides(std::span<const Stretch> stretches) {
    std::vector<Side> sides;
    for (const Stretch& s : stretches)
        if (s.detected) sides.push_back({s.before, s.rise_plateau, s.onset_search, s.onset_near});
    return sides;
}

std::vector<Side> fall_sides(std::span<const Stretch> stretches, std::size_t blocks) {
    std::vector<Side> sides;
    for (const Stretch& s : stretches) {
        if (!s.detected) continue;
        sides.push_back({mirrored(s.after, blocks), mirrored(s.fall_plateau, blocks), mirrored(s.offset_search, blocks),
                         static_cast<double>(blocks) - 1.0 - s.offset_near});
    }
    return sides;
}

struct Session {
    BlockEnergies energies;
    SessionRest rest;
    std::shared_ptr<const RiseModel> model;
};

Pass run_pass(const Session& session, std::span<const Stretch> stretches, std::span<const std::size_t> kinds) {
    const OrderedBlocks forward(session.energies), backward(session.energies, Order::backward);
    const std::size_t blocks = session.energies.size();
    WeighedSide rise, fall;
    side_by_side([&] { rise = weigh_side(forward, session.rest, rise_sides(stretches), *session.model, kinds); },
                 [&] { fall = weigh_side(backward, session.rest, fall_sides(stretches, blocks), *session.model, kinds); });
    Pass pass;
    side_by_side([&] { pass.rise = event_posteriors(forward, rise, *session.model, kind_probabilities(rise, fall)); },
                 [&] { pass.fall = event_posteriors(backward, fall, *session.model, kind_probabilities(fall, rise)); });
    return pass;
}

// Times at which the first block sees a rise and the last one a fall; lengths with what a block sees ahead of its centre.
std::vector<RoughTimes> rough_times(const Pass& pass, std::span<const Stretch> stretches, const BlockEnergies& e) {
    std::vector<RoughTimes> out(stretches.size());
    const double last = static_cast<double>(e.size()) - 1.0, both_ends = 2.0 * e.view.ahead();
    std::size_t i = 0;
    for (std::size_t k = 0; k < stretches.size(); ++k) {
        if (!stretches[k].detected) continue;
        const EventPosterior& r = pass.rise[i];
        const EventPosterior& f = pass.fall[i++];
        out[k] = {r.median, r.q02, r.rise + both_ends, last - f.median, last - f.q02, f.rise + both_ends};
    }
    return out;
}

// outside: whether the interval comes near the end of what may belong to the cue.
std::string reason_against(const EventPosterior& p, BlockRange rest, bool outside, double hop_s, const std::string& event) {
    const double width_s = (p.q975 - p.q025) * hop_s;
    if (static_cast<double>(rest.size()) * hop_s < std::max(kLeastRest_s, width_s) && width_s <= kWidest_s)
        return event + " too close to the neighbouring contraction or to the end of the recording";
    if (width_s > kWidest_s) return event + " " + kTooFaint;
    if (p.at_border > kMostAtBorder || outside) return event + " may lie outside the stretch that was searched";
    return {};
}

EventTime no_finer_than(double step_s, EventTime t) {
    return {t.time_s, std::max(t.error_s, step_s), std::min(t.low_s, t.time_s - step_s), std::max(t.high_s, t.time_s + step_s)};
}

Placement placement_of(const Stretch& stretch, const EventPosterior& rise, const EventPosterior& fall,
                       const BlockEnergies& e) {
    Placement out;
    out.detected = true;
    out.evidence = stretch.evidence;
    const double last = static_cast<double>(e.size()) - 1.0, ahead = e.view.ahead();
    const auto seconds = [&](double hops) { return e.origin_s + hops * e.hop_s; };
    // Of an amplitude: a recorder that averages what is past shows all of it later, by up to half of its window.
    const double unknown_delay = 0.5 * e.view.box, step_s = e.view.slope * e.hop_s;
    const double earliest = static_cast<double>(stretch.bounds.begin), latest = static_cast<double>(stretch.bounds.end);
    const double ahead_of_cue = stretch.cue_begin - earliest, behind_cue = latest - stretch.cue_end;
    const auto is_wide = [&](double room) { return room * e.hop_s >= kNoNeighbour_s; };
    const bool too_early = is_wide(ahead_of_cue) && rise.q025 < earliest + kLastShare * ahead_of_cue;
    const bool too_late = is_wide(behind_cue) && last - fall.q025 > latest - kLastShare * behind_cue;
    out.onset_reason = reason_against(rise, stretch.before, too_early, e.hop_s, "onset");
    if (out.onset_reason.empty()) {
        out.onset = no_finer_than(step_s, {seconds(rise.median + ahead), rise.spread * e.hop_s, seconds(rise.q025 + ahead - unknown_delay),
                                           seconds(rise.q975 + ahead)});
        out.rise_20_s = seconds(rise.fifth + ahead);
    }
    out.offset_reason = reason_against(fall, stretch.after, too_late, e.hop_s, "offset");
    if (out.offset_reason.empty()) {
        out.offset = no_finer_than(step_s, {seconds(last - fall.median - ahead), fall.spread * e.hop_s,
                                            seconds(last - fall.q975 - ahead - unknown_delay), seconds(last - fall.q025 - ahead)});
        out.fall_20_s = seconds(last - fall.fifth - ahead);
    }
    return out;
}

Placement nothing(double evidence, const std::string& reason) {
    Placement out;
    out.evidence = evidence;
    out.onset_reason = out.offset_reason = reason;
    return out;
}

std::vector<Placement> place_on(BlockEnergies energies, std::span<const TimeSpan> windows) {
    Session session{std::move(energies), {}, {}};
    if (session.energies.bins == 0)
        return std::vector<Placement>(windows.size(), nothing(0.0, "sampled too slowly to look for a contraction"));
    std::vector<Stretch> stretches;
    side_by_side([&] { session.model = shared_rise_model(session.energies.hop_s, session.energies.view); },
                 [&] {
                     session.rest = session_rest(session.energies, windows);
                     if (!session.rest.level.empty()) stretches = find_stretches(session.energies, session.rest, windows);
                 });
    if (session.rest.level.empty())
        return std::vector<Placement>(windows.size(),
                                      nothing(0.0, "too little valid signal to look for a contraction"));
    constexpr std::array kFirst{kLinear};
    const Pass first = run_pass(session, stretches, kFirst);
    narrow_ranges(stretches, rough_times(first, stretches, session.energies), session.energies.hop_s);
    const Pass second = run_pass(session, stretches, kAllKinds);
    std::vector<Placement> out;
    std::size_t i = 0;
    for (const Stretch& s : stretches) {
        out.push_back(s.detected ? placement_of(s, second.rise[i], second.fall[i], session.energies)
                                 : nothing(s.evidence, kNothingFound));
        out.back().above_rest = s.above_rest;
        i += s.detected ? 1 : 0;
    }
    return out;
}

}  // namespace

std::vector<Placement> place_contractions(const CleanRecording& clean, const Envelope& envelope,
                                          std::span<const TimeSpan> windows) {
    if (windows.empty()) return {};
    if (clean.kind == ChannelKind::envelope) return place_on(exported_energies(envelope.uv, envelope.rate), windows);
    return place_on(block_energies(clean.uv, clean.rate, clean.low_hz, clean.high_hz), windows);
}

}  // namespace tracehold
