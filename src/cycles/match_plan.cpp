#include "cycles/match_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "tracehold/core/number_text.hpp"

// Idea: two lists in order, matched at the least cost (Needleman & Wunsch 1970). A pair costs by how far its lengths
// differ, anything left out costs a fixed amount. cost[i][j] is the least for the first i windows and j planned cycles.
// Ties pair first, so that of equal cycles the last ones are left over, as when somebody stops early.

namespace tracehold {
namespace {

constexpr double kWindowAlone = 1.2;  // our choice: cheaper than a pair whose lengths differ threefold
constexpr double kPlanAlone = 0.6;    // stopping early or a lost mark is commoner than one too many
constexpr double kMostPerPair = 1.7;  // so that equal counts pair in order whatever their lengths
constexpr double kUnknownLength = 0.1;
constexpr std::size_t kMostPairs = 4'000'000;  // 32 MB of costs; more marks than that are noise in a marker column
constexpr double kFarLength = 2.0;             // times: half of the marks so far off cast doubt on marks or plan
constexpr std::size_t kFewestFar = 3;          // of one kind of contraction; an endurance given up early is no doubt
constexpr std::size_t kFewestBeyond = 2;       // our choice
constexpr double kSameLength = 0.25;           // as a share of the planned length: what a note calls different

double pair_cost(const TimeSpan& window, const PlannedCycle& cycle) {
    if (window.length_s() <= 0.0) return kUnknownLength;
    return std::min(kMostPerPair, 1.5 * std::abs(std::log(window.length_s() / (cycle.relax_s - cycle.contract_s))));
}

using Costs = std::vector<std::vector<double>>;

Costs least_costs(std::span<const TimeSpan> windows, const std::vector<PlannedCycle>& planned) {
    Costs cost(windows.size() + 1, std::vector<double>(planned.size() + 1, 0.0));
    for (std::size_t i = windows.size() + 1; i-- > 0;) {
        for (std::size_t j = planned.size() + 1; j-- > 0;) {
            const bool has_window = i < windows.size(), has_cycle = j < planned.size();
            if (!has_window && !has_cycle) continue;
            double best = 1e300;
            if (has_window && has_cycle) best = pair_cost(windows[i], planned[j]) + cost[i + 1][j + 1];
            if (has_window) best = std::min(best, kWindowAlone + cost[i + 1][j]);
            if (has_cycle) best = std::min(best, kPlanAlone + cost[i][j + 1]);
            cost[i][j] = best;
        }
    }
    return cost;
}

std::string length_text(double seconds) { return fixed_text(seconds, 1) + " s"; }

// Where more than one mark is left over the file is more likely of another plan than a button pressed once too often; said once.
void note_counts(std::size_t windows, std::size_t paired, std::size_t planned, std::vector<Note>& notes) {
    if (paired < planned) {
        notes.push_back(
            {"planned_without_marks", "",
             fmt::format("{} of {} planned contractions have no mark in the file and are not counted as planned here",
                         planned - paired, planned)});
    }
    if (paired < windows) {
        const bool said = std::any_of(notes.begin(), notes.end(), [](const Note& note) { return note.code == "cues_off_plan"; });
        const bool doubt = windows - paired >= kFewestBeyond && !said;
        notes.push_back({"marks_beyond_plan", "",
                         fmt::format("the marks in the recording are not those of the plan given ({} marked, {} planned contractions): {} fit "
                                     "none of the plan and are extra{}",
                                     windows, planned, windows - paired, doubt ? "; was it recorded by another plan?" : ""),
                         doubt});
    }
}

// How many of the marks compared are far off the plan.
struct Far {
    std::size_t far = 0, compared = 0;
    void add(bool is_far) { far += is_far, ++compared; }
    bool mostly() const { return 2 * far >= compared; }
};

void note_lengths(std::span<const TimeSpan> windows, const std::vector<const PlannedCycle*>& pairs,
                  std::vector<Note>& notes) {
    std::size_t different = 0, first = 0;
    Far all;
    std::map<StepKind, Far> of_kind;
    for (std::size_t i = 0; i < windows.size(); ++i) {
        if (!pairs[i] || windows[i].length_s() <= 0.0) continue;
        const double planned = pairs[i]->relax_s - pairs[i]->contract_s;
        const bool far = std::abs(std::log(windows[i].length_s() / planned)) > std::log(kFarLength);
        all.add(far);
        of_kind[pairs[i]->kind].add(far);
        if (std::abs(windows[i].length_s() - planned) <= kSameLength * planned) continue;
        if (different++ == 0) first = i;
    }
    if (different == 0) return;
    const bool in_a_kind = std::any_of(of_kind.begin(), of_kind.end(),
                                       [](const auto& kind) { return kind.second.mostly() && kind.second.far >= kFewestFar; });
    notes.push_back(
        {"marks_differ_from_plan", "",
         fmt::format(
             "{} of {} marked contractions are not as long as planned; the first is at {}: the marks say {}, the "
             "plan {}; the marks are used",
             different, windows.size(), length_text(windows[first].begin_s), length_text(windows[first].length_s()),
             length_text(pairs[first]->relax_s - pairs[first]->contract_s)),
         all.mostly() || in_a_kind});
}

}  // namespace

std::vector<const PlannedCycle*> match_plan(std::span<const TimeSpan> windows, const std::vector<PlannedCycle>& planned,
                                            const Plan* plan, std::vector<Note>& notes) {
    std::vector<const PlannedCycle*> pairs(windows.size(), nullptr);
    if (!plan) return pairs;
    if (windows.size() * planned.size() > kMostPairs) {
        note_counts(windows.size(), 0, planned.size(), notes);
        return pairs;
    }
    const Costs cost = least_costs(windows, planned);
    std::size_t paired = 0;
    for (std::size_t i = 0, j = 0; i < windows.size() && j < planned.size();) {
        if (cost[i][j] == pair_cost(windows[i], planned[j]) + cost[i + 1][j + 1]) {
            pairs[i++] = &planned[j++];
            ++paired;
        } else if (cost[i][j] == kWindowAlone + cost[i + 1][j]) {
            ++i;
        } else {
            ++j;
        }
    }
    note_counts(windows.size(), paired, planned.size(), notes);
    note_lengths(windows, pairs, notes);
    return pairs;
}

}  // namespace tracehold
