#pragma once
// How far placements lie from the truth, collected over a cell.
#include <optional>
#include <vector>

#include "support/onset_cells.hpp"
#include "tracehold/cycles/place_contractions.hpp"

namespace tracehold::testing {

// Errors count as early where the claim makes the contraction longer: onsets before, offsets after the truth.
struct EventScore {
    int answered = 0, silent = 0, covered = 0, early = 0;  // early: by more than 150 ms
    double error_sum_s = 0.0;

    void add(double early_by_s, bool inside);
    double mean_error_ms() const { return answered > 0 ? 1e3 * error_sum_s / answered : 0.0; }
    double covered_pct() const { return answered > 0 ? 100.0 * covered / answered : 0.0; }
    double early_pct() const { return answered > 0 ? 100.0 * early / answered : 0.0; }
};

struct CellScore {
    EventScore onset, offset;
    EventScore rise_20, fall_20;  // their errors alone: no interval is given
    int missed = 0;    // performed and not found
    int invented = 0;  // found and not performed
    int performed = 0, absent = 0;
};

// In: about this many contractions in sessions of this many. Deterministic by seed.
CellScore score_cell(const OnsetCell& cell, int contractions, int session, std::uint64_t seed);

}  // namespace tracehold::testing
