#include "tracehold/course/rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <span>

#include "core/json_fields.hpp"
#include "course/adherence_key.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kSchema = "tracehold.rules/1";
constexpr long long kMostSessions = 1000;

std::string some_text(Fields& fields, std::string_view key) {
    const std::string text = fields.text(key);
    if (text.find_first_not_of(" \t\r\n") == std::string::npos) {
        fields.refuse(key, "is empty: saw \"\", expected words");
    }
    return text;
}

std::string read_measure(Fields& fields) {
    const std::string key = fields.text("measure");
    std::vector<std::string_view> known{kAdherence, kStepDone, kSilentDays};
    for (const CourseMeasure& measure : course_measures()) known.push_back(measure.key);
    if (std::find(known.begin(), known.end(), key) != known.end()) return key;
    fields.refuse("measure",
                  fmt::format("is not followed: saw '{}', expected a key of the list of measures, '{}', '{}' or '{}'{}",
                              shown(key), kAdherence, kStepDone, kSilentDays, did_you_mean(key, known)),
                  "'tracehold explain' lists the keys");
}

RuleStatistic read_statistic(Fields& fields, const std::string& measure) {
    static constexpr std::array<std::string_view, 4> kWords = {"mean", "min", "max", "none_pct"};
    if (fields.find("statistic") == nullptr) return RuleStatistic::mean;
    const auto statistic = static_cast<RuleStatistic>(fields.choice("statistic", kWords));
    if (statistic != RuleStatistic::mean && (measure == kHoldOfReference || is_of_course(measure))) {
        fields.refuse("statistic", fmt::format("does not suit '{}': it has only a mean", measure));
    }
    return statistic;
}

void read_comparison(Fields& fields, RuleCondition& condition) {
    static constexpr std::array<std::string_view, 6> kWords = {"above", "below", "misses_target", "meets_target", "rose", "fell"};
    condition.comparison = static_cast<RuleComparison>(fields.choice("compare", kWords));
    const bool by_number =
        condition.comparison == RuleComparison::above || condition.comparison == RuleComparison::below;
    if (by_number) {
        condition.limit = fields.number("limit");
        return;
    }
    const bool change = is_change(condition.comparison);
    if (fields.has("limit"))
        fields.refuse("limit", change ? "has no use here: the statement of the course counts" : "has no use here: the target of the plan is compared");
    if (is_of_course(condition.measure) || condition.statistic != RuleStatistic::mean) {
        fields.refuse("compare", change ? "needs the session mean of a measure: nothing else is followed"
                                        : "needs the session mean of a measure: plans set targets for nothing else");
    }
}

void read_counts(Fields& fields, RuleCondition& condition) {
    const bool change = is_change(condition.comparison);
    if (change || is_of_course(condition.measure)) {
        for (const std::string_view key : {"in_at_least", "of_last"}) {
            if (!fields.has(key)) continue;
            fields.refuse(key, change ? std::string("has no use here: what the course states of the phase counts")
                                      : fmt::format("has no use for '{}': it is of the whole course", condition.measure));
        }
        return;
    }
    condition.of_last = static_cast<std::size_t>(fields.whole("of_last", 1, kMostSessions));
    condition.in_at_least = static_cast<std::size_t>(fields.whole("in_at_least", 1, kMostSessions));
    if (condition.in_at_least > condition.of_last) {
        fields.refuse("in_at_least", fmt::format("cannot be met: saw {} of the last {}, expected at most {}",
                                                 condition.in_at_least, condition.of_last, condition.of_last));
    }
}

RuleCondition read_condition(Fields fields) {
    RuleCondition condition;
    condition.measure = read_measure(fields);
    condition.statistic = read_statistic(fields, condition.measure);
    if (condition.statistic == RuleStatistic::none_pct) condition.none_reason = some_text(fields, "none_reason");
    read_comparison(fields, condition);
    read_counts(fields, condition);
    fields.done();
    return condition;
}

Rule read_rule(Fields fields) {
    Rule rule;
    rule.code = some_text(fields, "code");
    rule.posture = fields.optional_text("posture").value_or("");
    if (fields.has("contraction")) {
        static constexpr std::array<std::string_view, 4> kWords = {"rest", "hold", "rapid", "endurance"};  // in the order of StepKind
        rule.contraction = static_cast<StepKind>(fields.choice("contraction", kWords));
    }
    rule.not_yet_posture = fields.optional_text("not_yet_posture").value_or("");
    rule.any_of = fields.optional_flag("any_of").value_or(false);
    rule.waits_for = fields.texts("waits_for");
    for (const Fields& condition : fields.objects("when")) rule.when.push_back(read_condition(condition));
    if (fields.has("unless")) {
        for (const Fields& condition : fields.objects("unless")) rule.unless.push_back(read_condition(condition));
    }
    if (rule.when.empty()) fields.refuse("when", "is empty: saw [], expected at least one condition");
    const bool of_course = is_of_course(rule);
    for (const RuleCondition& condition : rule.unless) {
        if (of_course && !is_of_course(condition.measure))
            fields.refuse("unless", fmt::format("looks at sessions, and the rule at none: saw '{}', expected a measure of the whole course", condition.measure));
    }
    rule.text = some_text(fields, "text");
    rule.reason = some_text(fields, "reason");
    rule.source = some_text(fields, "source");
    fields.done();
    return rule;
}

}  // namespace

namespace {

void refuse_wrong_waits(const Fields& fields, const Rule& rule, std::span<const Rule> before) {
    std::vector<std::string_view> codes;
    for (const Rule& one : before) codes.push_back(one.code);
    for (const std::string& code : rule.waits_for) {
        if (std::find(codes.begin(), codes.end(), code) != codes.end()) continue;
        fields.refuse("waits_for",
                      fmt::format("names no rule that stands before this one: saw '{}', expected the code of one{}",
                                  shown(code), did_you_mean(code, codes)));
    }
}

}  // namespace

std::vector<Rule> read_rules(std::string_view text, const std::string& source) {
    const Json json = parse_json(text, source);
    Fields file(json, source);
    const std::string schema = file.text("schema");
    if (schema != kSchema) {
        file.refuse("schema", fmt::format("is no table of rules: saw '{}', expected '{}'", shown(schema), kSchema));
    }
    std::vector<Rule> rules;
    for (const Fields& fields : file.objects("rules")) {
        rules.push_back(read_rule(fields));
        refuse_wrong_waits(fields, rules.back(), std::span(rules).first(rules.size() - 1));
        const auto same = [&](const Rule& rule) { return rule.code == rules.back().code; };
        if (std::none_of(rules.begin(), rules.end() - 1, same)) continue;
        fields.refuse("code",
                      fmt::format("stands twice: saw '{}' again, expected each code once", shown(rules.back().code)));
    }
    file.done();
    return rules;
}

std::string_view default_rules_text() {
    static constexpr std::string_view kText =
#include "course/default_rules.inc"
        ;
    return kText.substr(1);  // without the line break after the opening quote
}

std::vector<Rule> default_rules() { return read_rules(default_rules_text(), "the rules of the program"); }

}  // namespace tracehold
