#include "tracehold/plan/read_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

#include "core/json_fields.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kSchema = "tracehold.plan/1";

// Limits of what one step can mean; our choice, wide enough for any session of exercise.
constexpr NumberRange kStepSeconds = {kShortestStep_s, kLongestStep_s};
constexpr long long kMostTimes = 1000;
constexpr double kLongestPlan_s = 6 * 3600.0;
constexpr NumberRange kPositive = {1e-3, 1e6};  // µV and percent: above a nanovolt, below a volt

Step read_step(Fields fields) {
    static constexpr std::array<std::string_view, 4> kWords = {"rest", "hold", "rapid", "endurance"};
    Step step;
    step.kind = static_cast<StepKind>(fields.choice("do", kWords));
    step.seconds = fields.number("seconds", kStepSeconds);
    if (step.kind != StepKind::rest) {
        step.rest_seconds = fields.number("rest_seconds", kStepSeconds);
        step.times = static_cast<int>(fields.optional_whole("times", 1, kMostTimes).value_or(1));
    }
    fields.done();
    return step;
}

std::vector<Step> read_steps(Fields& plan) {
    std::vector<Step> steps;
    for (const Fields& fields : plan.objects("steps")) steps.push_back(read_step(fields));
    const auto works = [](const Step& step) { return step.kind != StepKind::rest; };
    if (std::none_of(steps.begin(), steps.end(), works)) {
        plan.refuse("steps", "have no contraction: saw none, expected at least one hold, rapid or endurance");
    }
    return steps;
}

Threshold read_threshold(Fields fields) {
    Threshold threshold;
    threshold.microvolts = fields.optional_number("microvolts", kPositive);
    threshold.percent_of_reference = fields.optional_number("percent_of_reference", {1.0, 200.0});
    threshold.reference_uv = fields.optional_number("reference_uv", kPositive);
    fields.done();
    if (threshold.microvolts.has_value() == threshold.percent_of_reference.has_value()) {
        throw Error(
            ErrorKind::bad_setting, fields.source(), fields.pointer(),
            fmt::format("a threshold that is not clear: saw {}, expected either microvolts or percent_of_reference",
                        threshold.microvolts ? "both" : "neither"));
    }
    if (threshold.microvolts && threshold.reference_uv) {
        fields.refuse("reference_uv",
                      "has no use here: saw it beside microvolts, expected it beside percent_of_reference");
    }
    return threshold;
}

Target read_target(Fields fields, const std::string& measure) {
    Target target{measure, fields.optional_number("below"), fields.optional_number("above")};
    fields.done();
    if (target.below.has_value() == target.above.has_value()) {
        throw Error(ErrorKind::bad_setting, fields.source(), fields.pointer(),
                    fmt::format("a target that is not clear: saw {}, expected either below or above",
                                target.below ? "both" : "neither"));
    }
    return target;
}

std::vector<Target> read_targets(Fields& plan) {
    std::vector<Target> targets;
    if (auto fields = plan.optional_object("targets")) {
        for (const std::string& measure : fields->keys())
            targets.push_back(read_target(fields->object(measure), measure));
    }
    return targets;
}

std::string lower(std::string text) {
    for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return text;
}

// A recorder's mark without a text would be taken for it.
void refuse_blank(const Fields& fields, std::string_view key, const std::vector<std::string>& cues) {
    const auto blank = [](const std::string& cue) { return cue.find_first_not_of(" \t") == std::string::npos; };
    const auto found = std::find_if(cues.begin(), cues.end(), blank);
    if (found == cues.end()) return;
    fields.refuse(key, fmt::format("has a cue without a text: saw '{}', expected the words of a mark", shown(*found)));
}

void read_cues(Fields& plan, Plan& out) {
    out.contract_cues = default_contract_cues();
    out.relax_cues = default_relax_cues();
    auto fields = plan.optional_object("cues");
    if (!fields) return;
    if (fields->has("contract")) out.contract_cues = fields->texts("contract");
    if (fields->has("relax")) out.relax_cues = fields->texts("relax");
    fields->texts("contract");
    fields->texts("relax");
    fields->done();
    if (out.contract_cues.empty()) fields->refuse("contract", "is empty: saw [], expected at least one text");
    refuse_blank(*fields, "contract", out.contract_cues);
    refuse_blank(*fields, "relax", out.relax_cues);
    for (const std::string& cue : out.relax_cues) {
        const auto same = [&](const std::string& other) { return lower(other) == lower(cue); };
        if (std::none_of(out.contract_cues.begin(), out.contract_cues.end(), same)) continue;
        fields->refuse(
            "relax",
            fmt::format("means two things: saw '{}' as a contract cue too, expected different texts", shown(cue)),
            "give both lists, \"contract\" and \"relax\"");
    }
}

std::optional<double> read_mains(Fields& plan) {
    const auto hz = plan.optional_number("mains_hz");
    if (hz && *hz != 50.0 && *hz != 60.0) {
        plan.refuse("mains_hz", fmt::format("is not a mains frequency: saw {}, expected 50 or 60", number_text(*hz)));
    }
    return hz;
}

Dose read_dose(Fields& plan) {
    auto fields = plan.optional_object("dose");
    if (!fields) return {};
    Dose dose{fields->optional_number("sessions_per_day", {0.0, 24.0}),
              fields->optional_number("days_per_week", {0.0, 7.0}), fields->optional_number("weeks", {0.0, 520.0}),
              fields->optional_flag("count_all_weeks").value_or(false)};
    if (dose.count_all_weeks && !dose.weeks)
        fields->refuse("count_all_weeks", "needs the number of weeks: saw no 'weeks' beside it, expected one");
    fields->done();
    return dose;
}

std::optional<PlanPurpose> read_purpose(Fields& plan) {
    static constexpr std::array<std::string_view, 2> kWords = {"training", "assessment"};
    if (plan.find("purpose") == nullptr) return std::nullopt;
    return static_cast<PlanPurpose>(plan.choice("purpose", kWords));
}

void read_schema(Fields& plan) {
    const std::string schema = plan.text("schema");
    if (schema == kSchema) return;
    plan.refuse("schema", fmt::format("is not a plan read here: saw '{}', expected '{}'", shown(schema), kSchema));
}

std::string read_posture(Fields& plan) {
    const std::string posture = plan.text("posture");
    if (posture.find_first_not_of(" \t\r\n") == std::string::npos) {
        plan.refuse("posture", "is empty: saw \"\", expected a word such as \"lying\", \"sitting\" or \"standing\"");
    }
    return posture;
}

}  // namespace

Plan read_plan(std::string_view text, const std::string& source) {
    const Json json = parse_json(text, source);
    Fields fields(json, source);
    Plan plan;
    read_schema(fields);
    plan.source = source;
    plan.sha256 = sha256_hex(text);
    plan.name = fields.optional_text("name").value_or("");
    plan.posture = read_posture(fields);
    plan.steps = read_steps(fields);
    if (auto threshold = fields.optional_object("threshold")) plan.threshold = read_threshold(*threshold);
    plan.targets = read_targets(fields);
    plan.channel = fields.optional_text("channel").value_or("");
    plan.accessory_channels = fields.texts("accessory_channels");
    plan.mains_hz = read_mains(fields);
    read_cues(fields, plan);
    plan.dose = read_dose(fields);
    plan.purpose = read_purpose(fields);
    fields.done();
    if (plan_length(plan).value > kLongestPlan_s) {
        fields.refuse("steps", fmt::format("are too long: saw {} s in all, expected at most {} s",
                                           number_text(plan_length(plan).value), number_text(kLongestPlan_s)));
    }
    return plan;
}

}  // namespace tracehold
