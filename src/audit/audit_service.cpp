// Order: each person's figures by their course; tables over people; suppression; shares and charts of what is left.
// People are taken one at a time, so that only the kept records and one course are in memory.
#include "tracehold/audit/audit_service.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <set>
#include <unordered_map>
#include <unordered_set>

#include "audit/audit_flow.hpp"
#include "audit/audit_measures.hpp"
#include "audit/measure_rows.hpp"
#include "audit/pool_groups.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/course/course_measures.hpp"
#include "tracehold/course/other_versions.hpp"

namespace tracehold {
namespace {

using std::chrono::sys_days;

std::string date_of(sys_days day) { return date_text({day, std::nullopt}); }

[[noreturn]] void refuse(std::string place, std::string message, std::string hint) {
    throw Error(ErrorKind::wrong_use, "", std::move(place), std::move(message), std::move(hint));
}

void check_target(const std::optional<double>& target, std::string_view name, std::string_view hint) {
    if (!target || (std::isfinite(*target) && *target > 0.0)) return;
    refuse("", fmt::format("a target that cannot be: saw {} {}, expected a number above 0", name, *target),
           std::string(hint));
}

// What is kept of all people while their courses come and go.
struct Gathering {
    std::vector<PersonFigures> people;
    FlowCounts flow;
    std::vector<std::string> hashes;
    std::optional<sys_days> first, last;
    std::size_t pooled = 0;  // people whose group is not named
    std::size_t of_several = 0;  // recordings under more than one person's code
    std::size_t alike = 0;       // codes that are another's in other letters
    std::size_t again = 0;       // recordings that hold the samples of another
    std::size_t not_matched = 0;  // results whose rows of the sessions list are not known
    std::optional<sys_days> end;  // of the audit
    std::size_t by_other_version = 0;  // recordings
    std::set<std::string> other_versions;
};

void take(Gathering& all, const std::string& person, PersonFigures figures) {
    for (const auto& [code, n] : figures.left_out) {
        all.flow.left_out[code] += n;
        if (!person.empty()) ++all.flow.left_out_people[code];
    }
    if (figures.recordings == 0) return;
    all.flow.in_analysis += figures.recordings;
    all.first = std::min(all.first.value_or(figures.first), figures.first);
    all.last = std::max(all.last.value_or(figures.last), figures.last);
    all.hashes.insert(all.hashes.end(), figures.hashes.begin(), figures.hashes.end());
    figures.hashes.clear();
    all.by_other_version += figures.by_other_version;
    all.other_versions.merge(figures.other_versions);
    all.people.push_back(std::move(figures));
}

// By their bytes. Those of nobody, and those whose hash or person is not told, say nothing of it.
std::size_t recordings_of_several(const AuditTally& tally) {
    std::unordered_map<std::string_view, std::string_view> owners;
    std::unordered_set<std::string_view> several;
    for (const auto& [person, records] : tally.people()) {
        if (person.empty()) continue;
        for (const SessionRecord& record : records) {
            if (record.anonymous || record.sha256.empty()) continue;
            if (owners.emplace(record.sha256, person).first->second != person) several.insert(record.sha256);
        }
    }
    return several.size();
}

// Without the blanks at its ends, in small letters; of letters beyond ASCII nothing is known here.
std::string plain_code(std::string_view code) {
    constexpr std::string_view kBlanks = " \t\r\n";
    code.remove_prefix(std::min(code.find_first_not_of(kBlanks), code.size()));
    code = code.substr(0, code.find_last_not_of(kBlanks) + 1);
    std::string plain(code);
    for (char& c : plain) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return plain;
}

// Two codes for one person split what she did.
std::size_t codes_alike(const AuditTally& tally) {
    std::unordered_map<std::string, std::size_t> codes;
    for (const auto& [person, records] : tally.people()) {
        if (!person.empty()) ++codes[plain_code(person)];
    }
    std::size_t alike = 0;
    for (const auto& [plain, count] : codes) alike += count > 1 ? count : 0;
    return alike;
}

// Not by their bytes, by what they hold: copies under another name, date or header.
std::size_t recordings_again(const AuditTally& tally) {
    std::unordered_map<std::uint64_t, std::string_view> seen;
    std::unordered_set<std::string_view> again;
    for (const auto& [person, records] : tally.people()) {
        for (const SessionRecord& record : records) {
            if (person.empty() || record.anonymous || record.numbers == 0) continue;
            const std::string_view first = seen.emplace(record.numbers, record.sha256).first->second;
            if (first != record.sha256) again.insert(record.sha256);
        }
    }
    return again.size();
}

// The day asked for, or that of the newest recording: nobody is known to have come, or not to have come, after it.
std::optional<sys_days> end_of(const AuditTally& tally, const AuditSettings& settings) {
    const auto possible = [&](sys_days day) { return !settings.today || day <= *settings.today + std::chrono::days{1}; };
    if (settings.to) return settings.today ? std::min(*settings.to, *settings.today) : *settings.to;
    std::optional<sys_days> end;
    for (const auto& [person, records] : tally.people()) {
        for (const SessionRecord& record : records) {
            if (person.empty() || record.anonymous || !record.start || outside_period(record, settings)) continue;
            const sys_days day = std::chrono::floor<std::chrono::days>(record.start->local);
            if (possible(day)) end = std::max(end.value_or(day), day);
        }
    }
    return end;
}

Gathering gather_people(const AuditTally& tally, const AuditSettings& settings, const ChartPerson& chart) {
    Gathering all;
    all.flow.refused = tally.refused();
    all.of_several = recordings_of_several(tally);
    all.alike = codes_alike(tally);
    all.again = recordings_again(tally);
    all.not_matched = tally.not_matched();
    all.end = end_of(tally, settings);
    std::vector<std::string> codes;
    for (const auto& [person, records] : tally.people()) {
        take(all, person, figures_of(person, records, {tally, settings, chart, all.end}));
        codes.push_back(person);
    }
    if (settings.audience == Audience::others) all.pooled = pool_groups(all.people, codes, settings);
    return all;
}

bool any_review(const Gathering& all) {
    return std::any_of(all.people.begin(), all.people.end(), [](const PersonFigures& person) { return person.review_days.has_value(); });
}

bool any_dose(const Gathering& all) {
    return std::any_of(all.people.begin(), all.people.end(), [](const PersonFigures& person) { return person.planned_sessions > 0.0; });
}

Tables tables_of(const Gathering& all, const AuditSettings& settings) {
    Tables tables;
    tables.signal.counts_recordings = true;
    tables.signal.months_own_people = false;
    tables.adherence.months_add_up = false;
    tables.adherence.months_own_people = false;
    const ReviewBasis reviews{all.end.value_or(sys_days{}), any_review(all)};
    for (const PersonFigures& person : all.people) gather(tables, person, settings, reviews);
    return tables;
}

// Those with nothing to count are all people without the denominator. Where they are few, in the whole or in a row, the
// number of people is what would give them away.
bool tells_few(const Tables& tables, std::size_t people, std::size_t least) {
    const auto few = [&](std::size_t count) { return count > 0 && count < least; };
    const auto in_rows = [&](const std::map<std::string, Gathered>& rows) {
        return std::any_of(rows.begin(), rows.end(), [&](const auto& row) { return few(row.second.missing); });
    };
    const auto in_table = [&](const MeasureTable& table) {
        return few(table.all.missing) || in_rows(table.groups) || (table.months_own_people && in_rows(table.months));
    };
    return few(people) || in_table(tables.adherence) || in_table(tables.coming) || in_table(tables.change) || in_table(tables.rest) ||
           in_table(tables.review);
}

// A measure before its figures.
struct Question {
    AuditMeasure measure;
    const MeasureTable& table;
    Reasons reasons;
};

// Those that count most people choose first what they show: a measure that lacks a few gives way, and not all the others.
std::vector<AuditMeasure> answered(const std::vector<Question>& questions, const RowPolicy& policy) {
    std::vector<std::size_t> order(questions.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return questions[a].table.all.counts.people > questions[b].table.all.counts.people;
    });
    std::vector<AuditMeasure> measures(questions.size());
    std::vector<ToldPeople> told;
    for (const std::size_t i : order) {
        const auto& [texts, table, reasons] = questions[i];
        AuditMeasure& measure = measures[i] = texts;
        fill_rows(measure, table, reasons, policy, told);
        measure.missing = {table.all.missing, false};
        if (policy.hide_people || measure.overall.denominator.suppressed) measure.missing = {std::nullopt, true};
    }
    return measures;
}

// Of the recordings in the analysis: one for each person, and for each row at least what the row says.
std::size_t told_at_least(const AuditMeasure& signal, std::size_t people) {
    const auto sum = [](const std::vector<AuditRow>& rows) {
        std::size_t recordings = 0;
        for (const AuditRow& row : rows) recordings += row.cell.denominator.value.value_or(1);
        return recordings;
    };
    return std::max({people, sum(signal.months), sum(signal.groups)});
}

// No total is told that it could be worked out from.
AuditCount shown_alone(std::size_t count, const AuditSettings& settings) {
    if (settings.audience == Audience::others && count > 0 && count < settings.min_cell) return {std::nullopt, true};
    return {count, false};
}

constexpr std::string_view kNoReview =
    "no review is known of, since no sessions list dates one and no assessment follows the training";

constexpr std::string_view kReviewsNotMatched =
    "no review is known of: the results hide their recordings' names, so the rows of the sessions list were not matched with them";

constexpr std::string_view kNobodyBegan = "no plan states its weeks, or nobody began long enough before the end";

// Why nobody is in the analysis, as far as the results themselves are the reason; "" otherwise.
std::string_view why_nobody(const Gathering& all) {
    if (!all.people.empty() || all.flow.left_out.empty()) return "";
    const auto only = [&](std::string_view code) { return all.flow.left_out.size() == 1 && all.flow.left_out.begin()->first == code; };
    if (only("anonymous")) return "no person is known: the results were made anonymous";
    if (only("no_person")) return "no person is known: no result names one";
    return "no recording in the analysis";
}

std::vector<Question> questions_of(const Gathering& all, const Tables& tables, const AuditSettings& settings) {
    if (const std::string_view nobody = why_nobody(all); !nobody.empty()) {
        const Reasons none{nobody, ""};
        return {{signal_measure(), tables.signal, none}, {adherence_measure(settings), tables.adherence, none},
                {coming_measure(), tables.coming, none}, {change_measure(), tables.change, none},
                {rest_measure(settings), tables.rest, none}, {review_measure(), tables.review, none}};
    }
    const std::string_view no_rest =
        settings.rest_below_uv ? "nobody has a value" : "no service target, and no plan sets one";
    const std::string_view unknown = all.not_matched > 0 ? kReviewsNotMatched : kNoReview;
    const std::string_view no_review = !settings.review_within_days ? "no service target" : any_review(all) ? "nobody's time is over yet" : unknown;
    const std::string_view no_dose =
        any_dose(all) ? "less than one session was prescribed in that time" : "no plan prescribes a number of sessions";
    return {
        {signal_measure(), tables.signal, {"no recording in the analysis", ""}},
        {adherence_measure(settings), tables.adherence, {no_dose, no_dose}},
        {coming_measure(), tables.coming, {kNobodyBegan, ""}},
        {change_measure(), tables.change, {"no course allows a statement yet", ""}},
        {rest_measure(settings), tables.rest, {no_rest, "nobody has a value"}},
        {review_measure(), tables.review, {no_review, any_review(all) ? "nobody here has been reviewed" : unknown}},
    };
}

std::vector<AuditDirections> directions_of(const Gathering& all, const AuditSettings& settings) {
    std::vector<AuditDirections> directions;
    if (settings.audience != Audience::team) return directions;
    for (const CourseMeasure& measure : course_measures()) {
        if (!measure.primary) continue;
        AuditDirections& out = directions.emplace_back();
        out.key = measure.key;
        out.title = measure.title;
        for (const PersonFigures& person : all.people) {
            const auto found = person.directions.find(out.key);
            const Direction d = found == person.directions.end() ? Direction{} : found->second;
            std::size_t& count = d.more && d.less ? out.both
                                 : d.more         ? out.more
                                 : d.less         ? out.less
                                 : d.none_shown   ? out.no_change_shown
                                                  : out.not_enough;
            ++count;
        }
    }
    return directions;
}

std::string hash_of(std::vector<std::string> hashes) {
    std::sort(hashes.begin(), hashes.end());
    if (hashes.empty() || hashes.front().empty()) return "";
    std::string text;
    for (const std::string& hash : hashes) text += hash + "\n";
    return sha256_hex(text);
}

std::string asked_text(const AuditSettings& settings) {
    if (!settings.from && !settings.to) return "no period asked for";
    return fmt::format("asked for: {} to {}", settings.from ? date_of(*settings.from) : "the first recording",
                       settings.to ? date_of(*settings.to) : "the last recording");
}

// The first and the last day are each one person's: others see the months.
std::string period_text(const Gathering& all, const AuditSettings& settings) {
    const auto text_of = settings.audience == Audience::others ? month_text : date_of;
    const std::string asked = asked_text(settings);
    if (!all.first) return asked + "; no recording in the analysis";
    return fmt::format("{} to {} ({})", text_of(*all.first), text_of(*all.last), asked);
}

constexpr std::string_view kInclusion =
    "Every recording that was given a result, names a person, has a possible date within the period and was not counted "
    "before. Recordings whose signal was rejected or shows no muscle count as sessions held, and give no value of the muscle. Each person "
    "counts once, whatever the number of their recordings or contractions; a course that began before the period is seen "
    "from the period's start on, and who has no recording in the period is not in it.";

void add_notes(Audit& audit, const Gathering& all) {
    const AuditSettings& settings = audit.settings;
    const auto count = [&](auto&& is) { return std::count_if(all.people.begin(), all.people.end(), is); };
    const auto at_several = count([](const PersonFigures& person) { return person.several_groups; });
    const auto nowhere = count([](const PersonFigures& person) { return person.group.empty(); });
    const bool team = settings.audience == Audience::team;
    const auto some = [&](long n) { return team ? fmt::format("{} {}", n, n == 1 ? "person has" : "people have") : std::string("some people have"); };
    if (at_several > 0) {
        audit.notes.push_back({"people_in_several_groups", "",
                               some(at_several) + " recordings in several groups: they are counted in that of the "
                                                  "first recording that names one"});
    }
    if (nowhere > 0 && (settings.by == Grouping::site || settings.by == Grouping::column)) {
        audit.notes.push_back({"groups_not_stated", "", some(nowhere) + " no recording that names a group"});
    }
    const auto without_weeks = count([](const PersonFigures& person) { return person.weeks_not_stated; });
    if (without_weeks > 0) {
        audit.notes.push_back({"weeks_not_stated", "",
                               some(without_weeks) + " a plan that does not state its weeks: their adherence ends with their "
                                                     "last session, so that who stopped coming is not seen"});
    }
    const auto early = count([](const PersonFigures& person) { return person.early_review; });
    if (early > 0) {
        audit.notes.push_back({"review_before_first", "",
                               some(early) + " a review in the sessions list that is dated before their first recording: it is not counted; "
                                             "is the date right?"});
    }
    if (!all.other_versions.empty()) {
        const std::size_t n = all.by_other_version;
        audit.notes.push_back(other_versions_note(
            team ? fmt::format("{} {}", n, n == 1 ? "recording was" : "recordings were") : "some recordings were", all.other_versions));
    }
    if (all.pooled > 0) {
        audit.notes.push_back({"groups_pooled", "",
                               fmt::format("groups of fewer than {} people, or called as a person is, are counted "
                                           "together as '{}'",
                                           settings.min_cell, kOtherGroups)});
    }
    if (all.flow.left_out.contains("anonymous")) {
        audit.notes.push_back({"anonymous_results", "",
                               "anonymous results are left out: their numbers of people and counts of days are those of the call that made them, so "
                               "nobody can be counted by them; make results with pseudonyms, or audit with --identity anonymous what still has names"});
    }
    if (all.not_matched > 0) {
        audit.notes.push_back({"list_not_matched", "",
                               (team ? fmt::format("{} {}", all.not_matched, all.not_matched == 1 ? "result hides its recording's name" : "results hide their recordings' names")
                                     : std::string("some results hide their recordings' names")) +
                                   " and the sessions list does not: without the key its rows, and the reviews in them, are not matched with such "
                                   "results (--key-file FILE with --recordings FOLDER matches them)"});
    }
    if (all.of_several > 0) {
        audit.notes.push_back({"recordings_of_several_people", "",
                               (team ? fmt::format("{} {}", all.of_several, all.of_several == 1 ? "recording" : "recordings") : "some recordings") +
                                   " came, the same to the byte, under the codes of several people, and counted for each of them: whose is "
                                   "it? The figures are too large until one code is left"});
    }
    if (all.alike > 0) {
        audit.notes.push_back({"codes_alike", "",
                               (team ? fmt::format("{}", all.alike) : std::string("some")) +
                                   " codes of people differ from one another only in capital letters or blanks at the ends: each is counted as a "
                                   "person; are they the same ones?"});
    }
    if (all.again > 0) {
        audit.notes.push_back({"same_samples", "",
                               (team ? fmt::format("{} {}", all.again, all.again == 1 ? "recording holds" : "recordings hold") : "some recordings hold") +
                                   " the same samples as another one, under another name, date or header: every number is the same to the last digit, "
                                   "and each counts. The figures are too large until one is left"});
    }
    if (!shows_months(settings)) {
        audit.notes.push_back({"month_table_left_out", "",
                               "months are not shown beside a named column: the two tables might give each other's "
                               "suppressed counts away"});
    }
}

}  // namespace

std::string_view to_string(Audience audience) { return audience == Audience::team ? "team" : "public"; }

std::string_view to_string(Grouping grouping) {
    constexpr std::array<std::string_view, 4> names = {"none", "month", "site", "column"};
    return names[static_cast<std::size_t>(grouping)];
}

std::string_view to_string(FunnelPlace place) {
    constexpr std::array<std::string_view, 3> names = {"within", "outside_95", "outside_998"};
    return names[static_cast<std::size_t>(place)];
}

void check_audit_settings(const AuditSettings& settings) {
    if (settings.audience == Audience::others && settings.min_cell < 2) {
        refuse("",
               fmt::format("nothing would be suppressed: saw a smallest cell of {}, expected 2 or more",
                           settings.min_cell),
               "'--min-cell 5' is common; '--for team' shows all");
    }
    if (settings.from && settings.to && *settings.to < *settings.from) {
        refuse("",
               fmt::format("the period ends before it starts: saw {} to {}", date_of(*settings.from),
                           date_of(*settings.to)),
               "swap the two dates");
    }
    check_target(settings.adherence_at_least_pct, "adherence", "a percentage such as 80");
    check_target(settings.rest_below_uv, "resting activity", "microvolts such as 4");
    check_target(settings.review_within_days, "days to review", "days such as 42");
}

Audit audit_service(const AuditTally& tally, const AuditSettings& settings, const ChartPerson& chart) {
    check_audit_settings(settings);
    Gathering all = gather_people(tally, settings, chart);
    Audit audit;
    audit.settings = settings;
    audit.tool_version = kVersion;
    audit.measures_version = kMeasuresVersion;
    const bool others = settings.audience == Audience::others;
    if (!others) {
        audit.inputs_sha256 = hash_of(std::move(all.hashes));
        audit.first = all.first, audit.last = all.last;
    }
    audit.period = period_text(all, settings);
    audit.inclusion = kInclusion;
    const Tables tables = tables_of(all, settings);
    const bool hide_people = others && tells_few(tables, all.people.size(), settings.min_cell);
    audit.measures = answered(questions_of(all, tables, settings), {settings, hide_people});
    all.flow.in_analysis_shown = !audit.measures.front().overall.denominator.suppressed;
    all.flow.in_analysis_at_least = told_at_least(audit.measures.front(), all.people.size());
    audit.flow = flow_of(all.flow, settings);
    audit.flow.people = {all.people.size(), false};
    if (hide_people) audit.flow.people = {std::nullopt, true};
    audit.flow.listed_only = shown_alone(tally.listed_only(), settings);
    audit.directions = directions_of(all, settings);
    add_notes(audit, all);
    if (hide_people && !all.people.empty()) {
        audit.notes.push_back({"intervals_left_out", "",
                               "the number of people is not told, since it would give small counts away; nor are the "
                               "intervals that it could be read from"});
    }
    return audit;
}

}  // namespace tracehold
