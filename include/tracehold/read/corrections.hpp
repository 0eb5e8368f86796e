#pragma once
// A clinician's corrections to automatic findings: a CSV list, one correction a row, signed.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

enum class CorrectionAction { move_contract_cue, move_relax_cue, move_onset, move_offset, drop_cycle, add_cycle, mask };
std::string_view to_string(CorrectionAction action);
bool has_from(CorrectionAction action);  // whether from_s means anything
bool has_to(CorrectionAction action);

// Columns: file, action, cycle, from_s, to_s, who, when, why.
// cycle: the number that the result printed, from 1, with or without corrections; empty for add_cycle and mask.
// from_s: the new time of a cue, onset or offset; the beginning of an added work window or masked span. to_s: its end.
struct Correction {
    std::string file;  // as in a sessions list: a base name, or a path or its end; "" = every recording of the call
    CorrectionAction action = CorrectionAction::mask;
    std::optional<int> cycle;
    double from_s = 0.0;
    double to_s = 0.0;
    std::string who;
    std::string when;
    std::string why;
    std::string list = {};  // where it was written: the file and, from 1, its line; "" and 0 in one that a result told
    std::size_t line = 0;
    bool operator==(const Correction&) const = default;
};

// Errors: malformed and bad_setting, with line:column; who and when are required.
std::vector<Correction> read_corrections(std::string_view text, const std::string& source);

}  // namespace tracehold
