// Files that people write: plans, lists, corrections, scenarios, rules.
#include <algorithm>
#include <cmath>

#include "exchange/plan_json.hpp"
#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/course/rules.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/plan/replace_threshold.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/sessions_list.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

namespace tracehold::fuzz {
namespace {

void check_timeline(const Plan& plan) {
    double last_s = 0.0;
    const auto cycles = timeline(plan);
    require(!cycles.empty(), "a plan has work in it");
    for (const PlannedCycle& cycle : cycles) {
        require(cycle.contract_s >= last_s && cycle.relax_s > cycle.contract_s, "cues are in order");
        require(cycle.end_s >= cycle.relax_s && cycle.end_s <= plan_length(plan).value + 1e-6, "cycles end with the plan");
        last_s = cycle.relax_s;
    }
    require(std::isfinite(plan_length(plan).value), "a plan ends");
}

// The plan inside a result: written, read, written, the same.
void check_in_result(const Plan& plan) {
    const Json once = plan_json(plan);
    const Plan again = plan_from_json(Fields(once, kSource));
    require(again == plan, "a plan in a result is the plan");
    require_equal(plan_json(again).dump(), once.dump(), "a plan in a result is written the same");
}

void check_new_threshold(std::string_view text, const Plan& plan) {
    const Threshold wanted{.microvolts = 12.5, .percent_of_reference = {}, .reference_uv = {}};
    const Plan changed = read_plan(replace_threshold(text, wanted, kSource), kSource);
    Plan expected = plan;
    expected.threshold = wanted;
    expected.sha256 = changed.sha256;
    require(changed == expected, "a replaced threshold changes nothing else");
}

// A plan to read scenarios about.
Plan any_plan() {
    return read_plan(R"({"schema": "tracehold.plan/1", "posture": "lying",
        "steps": [{"do": "hold", "seconds": 8, "rest_seconds": 10, "times": 5}]})", kSource);
}

}  // namespace

void run_plan(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_plan(bytes, kSource); },
                   [&](const Plan& plan) {
                       require(!plan.posture.empty() && !plan.contract_cues.empty(), "a plan has a posture and cues");
                       check_timeline(plan);
                       for (const Note& note : check_plan(plan)) require(is_harmless(note.text, 1000), "a note is harmless");
                       check_in_result(plan);
                       check_new_threshold(bytes, plan);
                   });
}

void run_sessions(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_sessions_list(bytes, kSource); },
                   [](const SessionsList& list) {
                       const std::vector<SessionEntry>& entries = list.entries;
                       for (const Note& note : list.notes) require(is_harmless(note.text, 1000), "a note is harmless");
                       for (const SessionEntry& entry : entries) {
                           require(!entry.file.empty() || !entry.person.empty(), "a row names a file or a person");
                           require(is_utf8(entry.file) && is_utf8(entry.person), "names are text");
                           require(entry.file.empty() || find_entry(entries, entry.file) == &entry, "each file finds its own row");
                           if (entry.start) require(parse_civil_time(to_text(*entry.start)) == entry.start, "a start stays");
                       }
                   });
}

void run_corrections(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_corrections(bytes, kSource); },
                   [](const std::vector<Correction>& corrections) {
                       for (const Correction& each : corrections) {
                           const bool spans = each.action == CorrectionAction::mask || each.action == CorrectionAction::add_cycle;
                           require(each.cycle.has_value() != spans, "a correction has a cycle or a span");
                           require(std::isfinite(each.from_s) && std::isfinite(each.to_s) && each.from_s >= 0.0, "times are finite");
                           if (spans) require(each.to_s > each.from_s, "a span has a length");
                           require(!each.who.empty() && parse_civil_time(each.when), "a correction is signed");
                           require(is_utf8(each.file) && is_utf8(each.who) && is_utf8(each.why), "texts are UTF-8");
                       }
                   });
}

void run_scenario(std::string_view bytes) {
    static const Plan plan = any_plan();
    read_or_refuse(kSource, [&] { return read_scenarios(bytes, kSource, plan); },
                   [](const std::vector<Scenario>& scenarios) {
                       require(!scenarios.empty(), "a file has a scenario");
                       for (const Scenario& each : scenarios) {
                           require(std::isfinite(each.rate_hz) && each.rate_hz > 0.0, "a rate is above zero");
                           require(std::isfinite(each.pause_s) && std::isfinite(each.lead_in_s), "times are finite");
                           require(is_utf8(each.name) && is_utf8(each.style.file), "texts are UTF-8");
                       }
                   });
}

void run_rules(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_rules(bytes, kSource); },
                   [](const std::vector<Rule>& rules) {
                       for (const Rule& rule : rules) {
                           require(!rule.code.empty() && !rule.text.empty() && !rule.source.empty(), "a rule says why");
                           require(!rule.when.empty(), "a rule has a condition");
                           for (const RuleCondition& when : rule.when) {
                               require(when.in_at_least >= 1 && when.in_at_least <= when.of_last, "counts can be met");
                               require(std::isfinite(when.limit), "a limit is finite");
                           }
                       }
                   });
}

}  // namespace tracehold::fuzz
