#pragma once
// When to ask the clinician what: a table in a file that people can read and change.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/plan/plan.hpp"

namespace tracehold {

// What of a session is looked at: mean, smallest or largest value of its contractions; or the share of its done
// contractions that have no value for the stated reason (a contraction that is never released has no release time).
enum class RuleStatistic { mean, min, max, none_pct };

// How it is compared: with a number, with the target that the session's own plan sets for the measure, or (rose, fell) what the
// course states of the measure in the phase: more, or less. Where it states neither, of measures that are described only too, no such
// condition holds; to hold a question back (unless) it is enough that the last days differ from the first beyond the error.
enum class RuleComparison { above, below, misses_target, meets_target, rose, fell };

inline bool is_change(RuleComparison comparison) { return comparison == RuleComparison::rose || comparison == RuleComparison::fell; }

// Holds where at least in_at_least of the last of_last usable sessions of a phase that have the measure compare so.
// A change (rose, fell) takes no counts, nor do three measures of the whole course: 'adherence_pct', sessions done of those prescribed;
// 'step_done_pct', contractions done of those that one step of the plan asks for, of each step by itself; and 'silent_days',
// days without a session after the last one, while the prescribed weeks go on.
struct RuleCondition {
    std::string measure;
    RuleStatistic statistic = RuleStatistic::mean;
    std::string none_reason;  // none_pct only
    RuleComparison comparison = RuleComparison::above;
    double limit = 0.0;  // above, below
    std::size_t in_at_least = 1;
    std::size_t of_last = 1;
};

// All conditions must hold in one phase. any_of: one of them is enough.
struct Rule {
    std::string code;
    std::string posture;          // only phases in this posture; "" = any
    std::optional<StepKind> contraction{};  // only phases of contractions of this kind; empty = any
    std::string not_yet_posture;  // only while the course has no session in this posture; "" = no matter
    std::vector<RuleCondition> when;
    bool any_of = false;
    std::vector<RuleCondition> unless;   // while one of them holds in the same phase, this one is left for later
    std::vector<std::string> waits_for;  // codes of earlier rules: while one of them is asked, this one is left for later
    std::string text;
    std::string reason;
    std::string source;
};

// In: JSON (comments allowed), schema tracehold.rules/1; source: its name for messages.
// Errors: malformed (line:column), bad_setting (unknown key or measure with the nearest known one, counts that cannot
// be met, a code twice, a rule to wait for that does not stand before, an empty text, reason or source), each with the
// JSON pointer.
std::vector<Rule> read_rules(std::string_view text, const std::string& source);

// The table that comes with the program, and its text for those who want to start from it.
std::vector<Rule> default_rules();
std::string_view default_rules_text();

}  // namespace tracehold
