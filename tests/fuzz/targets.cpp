#include "fuzz/targets.hpp"

#include <array>

namespace tracehold::fuzz {

std::span<const Target> targets() {
    static constexpr std::array<Target, 11> kTargets = {{
        {"edf", run_edf, seeds_edf},
        {"bdf", run_bdf, seeds_bdf},
        {"csv", run_csv, seeds_csv},
        {"plan", run_plan, seeds_plan},
        {"sessions", run_sessions, seeds_sessions},
        {"corrections", run_corrections, seeds_corrections},
        {"results", run_results, seeds_results},
        {"pieces", run_pieces, seeds_pieces},
        {"scenario", run_scenario, seeds_scenario},
        {"rules", run_rules, seeds_rules},
        {"text", run_text, seeds_text},
    }};
    return kTargets;
}

}  // namespace tracehold::fuzz
