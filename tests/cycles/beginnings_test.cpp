#include "cycles/beginnings.hpp"

#include <doctest/doctest.h>

#include <optional>
#include <vector>

using namespace tracehold;

namespace {

// Contractions 20 s apart whose onsets lie so long after their cues, each interval 0.05 s to both sides.
std::vector<Cycle> begun(const std::vector<double>& after_cue_s) {
    std::vector<Cycle> cycles;
    for (const double after_s : after_cue_s) {
        const double cue_s = 10.0 + 20.0 * static_cast<double>(cycles.size()), onset_s = cue_s + after_s;
        Cycle cycle;
        cycle.work = {cue_s, cue_s + 5.0};
        cycle.rest = {cue_s + 5.0, cue_s + 20.0};
        cycle.onset = EventTime{onset_s, 0.025, onset_s - 0.05, onset_s + 0.05};
        cycles.push_back(cycle);
    }
    return cycles;
}

using Told = std::vector<std::optional<Begins>>;

Told told(std::vector<Cycle> cycles, CueSource cues = CueSource::start) {
    tell_beginnings(cycles, cues);
    Told out;
    for (const Cycle& cycle : cycles) out.push_back(cycle.begins);
    return out;
}

constexpr auto kUsual = Begins::as_usual, kEarly = Begins::early, kLate = Begins::late;

}  // namespace

TEST_CASE("a contraction off the person's own time by more than the limits begins early or late") {
    CHECK(told(begun({0.3, 0.3, 0.3, 0.3, 0.06, 0.04, 0.59, 0.61})) == Told{kUsual, kUsual, kUsual, kUsual, kUsual, kEarly, kUsual, kLate});
}

TEST_CASE("a habit excuses nothing") {
    CHECK(told(begun({1.9, 1.9, 1.9, 1.9, 0.3})) == Told{kLate, kLate, kLate, kLate, kUsual});
    CHECK(told(begun({-0.4, -0.4, -0.4, -0.4, 0.3, 0.51})) == Told{kEarly, kEarly, kEarly, kEarly, kUsual, kLate});
    // Of estimated cues nobody knows where they were: all alike are as usual then, and what differs from them is not.
    CHECK(told(begun({-0.6, -0.6, -0.6, -0.6, 0.3}), CueSource::aligned) == Told{kUsual, kUsual, kUsual, kUsual, kLate});
    CHECK(told(begun({0.9, 0.9, 0.9, 0.9, 0.5})) == Told{kUsual, kUsual, kUsual, kUsual, kUsual});
}

TEST_CASE("nothing is told of an onset whose interval reaches the usual time, without cues, of few, or of what was not done") {
    std::vector<Cycle> cycles = begun({0.3, 0.3, 0.3, 0.3, 1.0, -0.2});
    cycles[4].onset->low_s = cycles[4].work.begin_s + 0.3;
    cycles[5].onset->high_s = cycles[5].work.begin_s + 0.3;
    CHECK(told(cycles) == Told(6, kUsual));
    CHECK(told(begun({0.3, 0.3, 0.3, 0.3, 1.0}), CueSource::trace) == Told(5, std::nullopt));
    CHECK(told(begun({0.3, 0.3, 1.0})) == Told(3, std::nullopt));
    cycles = begun({0.3, 0.3, 0.3, 0.3, 1.0, 1.0});
    cycles[4].status = CycleStatus::extra;
    cycles[5].onset.reset();
    CHECK(told(cycles) == Told{kUsual, kUsual, kUsual, kUsual, std::nullopt, std::nullopt});
}
