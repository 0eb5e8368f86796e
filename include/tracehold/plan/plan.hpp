#pragma once
// The noun of this room: what was prescribed.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

enum class StepKind { rest, hold, rapid, endurance };
std::string_view to_string(StepKind kind);

inline constexpr double kShortestStep_s = 0.1, kLongestStep_s = 3600.0;  // of work and of rest; our choice

// One line of the plan. rest: only seconds. Others: times cycles of seconds of work and rest_seconds of rest.
struct Step {
    StepKind kind = StepKind::hold;
    double seconds = 0.0;
    double rest_seconds = 0.0;
    int times = 1;
    bool operator==(const Step&) const = default;
};

// Either microvolts, or percent_of_reference with an optional reference_uv (without it: of the session's own best second).
struct Threshold {
    std::optional<double> microvolts;
    std::optional<double> percent_of_reference;
    std::optional<double> reference_uv;
    bool operator==(const Threshold&) const = default;
};

// A limit that a clinician set for the session mean of one measure. Exactly one of below and above is set.
struct Target {
    std::string measure;  // a key of the list of measures
    std::optional<double> below;
    std::optional<double> above;
    bool operator==(const Target&) const = default;
};

struct Dose {
    std::optional<double> sessions_per_day;
    std::optional<double> days_per_week;
    std::optional<double> weeks;
    bool count_all_weeks = false;  // weeks after the last session count as missed up to 'weeks', not beyond today
    bool operator==(const Dose&) const = default;
};

// What a session by the plan is for: sessions of the two kinds are never compared with each other.
enum class PlanPurpose { training, assessment };
std::string_view to_string(PlanPurpose purpose);

// Always true: at least one step with work in it; all times > 0 and finite; posture not empty.
struct Plan {
    std::string source;  // the file as the user named it
    std::string sha256;
    std::string name;
    std::string posture;
    std::vector<Step> steps;
    std::optional<Threshold> threshold;
    std::vector<Target> targets;
    std::string channel;  // "" = the only EMG channel
    std::vector<std::string> accessory_channels;
    std::optional<double> mains_hz;
    std::vector<std::string> contract_cues;  // texts of marks that mean 'contract now'; never empty
    std::vector<std::string> relax_cues;
    Dose dose;
    std::optional<PlanPurpose> purpose;  // as the file says it
    bool operator==(const Plan&) const = default;
};

// The texts of marks for a plan that names none: common words of recorders, matched without regard to case.
std::vector<std::string> default_contract_cues();
std::vector<std::string> default_relax_cues();

// As the plan says; where it does not: an assessment if it has no dose and asks for holds, rapid contractions and an
// endurance contraction alike, else training.
PlanPurpose purpose_of(const Plan& plan);

// One work window and the rest that follows, as planned, seconds from the start of the plan.
struct PlannedCycle {
    int step = 0;  // index into Plan::steps
    StepKind kind = StepKind::hold;
    double contract_s = 0.0;
    double relax_s = 0.0;
    double end_s = 0.0;  // the next contract cue, or the end of its rest (a following rest step belongs to it)
    bool operator==(const PlannedCycle&) const = default;
};

// The plan's cues in order. Out: one entry per contraction; times strictly increasing.
std::vector<PlannedCycle> timeline(const Plan& plan);

// From the start of the first step to the end of the last.
Seconds plan_length(const Plan& plan);

}  // namespace tracehold
