#include "course/admit_sessions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>

#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/cued_windows.hpp"
#include "tracehold/measures/muscle_seen.hpp"

namespace tracehold {
namespace {

using std::chrono::sys_days;

// A recorder whose clock was never set starts at its maker's zero, most often 1970 to 1985; none of this trade wrote
// files of these formats with a true date before. Our choice.
constexpr sys_days kEarliest = std::chrono::year{2000} / 1 / 1;

// Of another place: a day ahead at most.
constexpr std::chrono::days kTimeZones{1};

// Where nobody says what day it is: this far beyond the middle one of all sessions is a clock set wrong. Our choice.
constexpr std::chrono::days kFarAhead{5 * 365};

// Starts may be written to the minute; a shorter overlap is two sessions, one after the other.
constexpr double kLeastOverlap_s = 60.0;

// An anonymous session's date counts from the person's first recording, without a time of day.
bool counts_days(const SessionScore& score) { return score.settings.identity == IdentityLevel::anonymous; }

double starts_at_s(const SessionScore& score) {
    return std::chrono::duration<double>(score.recording.start->local.time_since_epoch()).count();
}

std::string name_of(const SessionScore& score) { return shown(score.recording.source, 200); }

struct Candidate {
    const SessionScore* score;
    std::size_t index;
};

// Undated ones last; names and contents decide between equal times, so that the order of input does not.
std::vector<Candidate> in_order(std::span<const SessionScore> scores) {
    std::vector<Candidate> all;
    for (std::size_t i = 0; i < scores.size(); ++i) all.push_back({&scores[i], i});
    const auto key = [](const Candidate& c) {
        const RecordingFacts& facts = c.score->recording;
        return std::tuple(!facts.start, facts.start ? starts_at_s(*c.score) : 0.0, std::string_view(facts.source),
                          std::string_view(facts.channel), std::string_view(facts.sha256));
    };
    std::stable_sort(all.begin(), all.end(), [&](const Candidate& a, const Candidate& b) { return key(a) < key(b); });
    return all;
}

// Empty: a date that can be.
std::string why_impossible(sys_days day, sys_days latest, bool today_known) {
    const std::string date = date_text({day, std::nullopt});
    if (day < kEarliest) return fmt::format("dated {}: the recorder's clock was never set", date);
    if (day <= latest) return "";
    if (today_known) return fmt::format("dated {}: in the future, today being {} by this computer's clock", date, date_text({latest - kTimeZones, std::nullopt}));
    return fmt::format("dated {}: years ahead of the other sessions", date);
}

sys_days latest_possible(const std::vector<Candidate>& all, std::optional<sys_days> today) {
    if (today) return *today + kTimeZones;
    std::vector<sys_days> days;
    for (const Candidate& c : all) {
        if (c.score->recording.start && day_of(*c.score) >= kEarliest) days.push_back(day_of(*c.score));
    }
    return days.empty() ? kEarliest : days[(days.size() - 1) / 2] + kFarAhead;
}

// The contents of one file are one recording, but several of its channels may have been scored.
void keep_first_of_content(std::vector<Candidate>& all, std::vector<LeftOut>& left_out) {
    std::map<std::pair<std::string, std::string>, const SessionScore*> seen;
    std::erase_if(all, [&](const Candidate& c) {
        const RecordingFacts& facts = c.score->recording;
        if (facts.sha256.empty() && !counts_days(*c.score)) return false;  // of anonymous ones the name stands for the content
        const auto [first, is_new] = seen.try_emplace({facts.sha256.empty() ? facts.source : facts.sha256, facts.channel}, c.score);
        if (is_new) return false;
        left_out.push_back({facts.source, "duplicate",
                            fmt::format("the same recording as {}: counted once", name_of(*first->second))});
        return true;
    });
}

void drop_without_date(std::vector<Candidate>& all, AdmittedSessions& out) {
    std::erase_if(all, [&](const Candidate& c) {
        if (c.score->recording.start) return false;
        out.left_out.push_back({c.score->recording.source, "no_date", "no date: it is in no trend and in no week"});
        ++out.undated;
        return true;
    });
}

void drop_impossible_dates(std::vector<Candidate>& all, std::optional<sys_days> today, AdmittedSessions& out) {
    const sys_days latest = latest_possible(all, today);
    std::erase_if(all, [&](const Candidate& c) {
        if (counts_days(*c.score)) return false;
        const std::string why = why_impossible(day_of(*c.score), latest, today.has_value());
        if (why.empty()) return false;
        ++out.impossible_dates;
        out.left_out.push_back({c.score->recording.source, "impossible_date", why + "; it is in no trend and in no week"});
        return true;
    });
}

// "3 cues of 5 s", "15 cues of 1 to 20 s"; "cues" where a clinician dropped all of their contractions.
std::string cues_text(const std::vector<TimeSpan>& work) {
    if (work.empty()) return "cues";
    const auto [least, most] = std::minmax_element(
        work.begin(), work.end(), [](const TimeSpan& a, const TimeSpan& b) { return a.length_s() < b.length_s(); });
    const auto rounded = [](const TimeSpan& span) { return number_text(std::round(10.0 * span.length_s()) / 10.0); };
    const std::string low = rounded(*least), high = rounded(*most);
    return fmt::format("{} {} of {} s", work.size(), work.size() == 1 ? "cue" : "cues",
                       low == high ? low : low + " to " + high);
}

void drop_other_plans(std::vector<Candidate>& all, AdmittedSessions& out) {
    std::erase_if(all, [&](const Candidate& c) {
        if (follows_its_plan(*c.score)) return false;
        const std::string& name = c.score->plan->name;
        ++out.other_plans;
        out.last_other_plan = std::max(out.last_other_plan.value_or(day_of(*c.score)), day_of(*c.score));
        out.left_out.push_back(
            {c.score->recording.source, "other_plan",
             fmt::format("{} that do not follow its plan{}: no session of that plan, neither counted nor "
                         "compared; a sessions list can name the plan it was done by",
                         cues_text(cued_windows(*c.score)), name.empty() ? "" : " '" + shown(name) + "'")});
        return true;
    });
}

// On UTC where both say their offset: in the night that has an hour twice, the wall clocks alone would deceive.
double overlap_s(const SessionScore& a, const SessionScore& b) {
    const double b_starts_s = seconds_between(*a.recording.start, *b.recording.start);
    return std::min(a.recording.duration_s, b_starts_s + b.recording.duration_s) - std::max(0.0, b_starts_s);
}

// As where a day was stated without a time; nobody trains at that very second often enough to lose by it.
bool starts_at_midnight(const SessionScore& score) { return score.recording.start->local == day_of(score); }

bool overlaps(const SessionScore& earlier, const SessionScore& later) {
    const bool without_times = counts_days(later) || (starts_at_midnight(earlier) && starts_at_midnight(later));
    if (without_times) return false;  // two sessions of a day
    const double shorter = std::min(earlier.recording.duration_s, later.recording.duration_s);
    return overlap_s(earlier, later) > std::min(kLeastOverlap_s, 0.5 * shorter);
}

// The usable and then the longer one of two stays.
bool outranks(const SessionScore& a, const SessionScore& b) {
    if (muscle_seen(a) != muscle_seen(b)) return muscle_seen(a);
    return a.recording.duration_s > b.recording.duration_s;
}

std::string why_once(const SessionScore& out, const SessionScore& kept, double shared_s) {
    if (seconds_between(*out.recording.start, *kept.recording.start) == 0.0) {
        return fmt::format("starts at the very moment of {} on the same channel: the two count once; if the recorder's clock "
                           "stood still, a sessions list can say the true starts",
                           name_of(kept));
    }
    return fmt::format("overlaps {} by {} s on the same channel: the two count once", name_of(kept),
                       fixed_text(shared_s, 0));
}

void keep_one_at_a_time(std::vector<Candidate>& all, std::vector<LeftOut>& left_out) {
    std::map<std::string, std::size_t> last_of_channel;  // index into kept
    std::vector<Candidate> kept;
    for (const Candidate& c : all) {
        const auto before = last_of_channel.find(c.score->recording.channel);
        if (before == last_of_channel.end() || !overlaps(*kept[before->second].score, *c.score)) {
            last_of_channel[c.score->recording.channel] = kept.size();
            kept.push_back(c);
            continue;
        }
        Candidate& rival = kept[before->second];
        const double shared_s = overlap_s(*rival.score, *c.score);
        Candidate out = c;
        if (outranks(*c.score, *rival.score)) std::swap(out, rival);
        left_out.push_back({out.score->recording.source, "overlap", why_once(*out.score, *rival.score, shared_s)});
    }
    all = std::move(kept);
}

}  // namespace

sys_days day_of(const SessionScore& score) {
    return std::chrono::floor<std::chrono::days>(score.recording.start->local);
}

AdmittedSessions admit_sessions(std::span<const SessionScore> scores, std::optional<sys_days> today) {
    AdmittedSessions out;
    std::vector<Candidate> all = in_order(scores);
    keep_first_of_content(all, out.left_out);
    drop_without_date(all, out);
    drop_impossible_dates(all, today, out);
    drop_other_plans(all, out);
    keep_one_at_a_time(all, out.left_out);
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
        return starts_at_s(*a.score) < starts_at_s(*b.score);
    });
    for (const Candidate& c : all) {
        out.scores.push_back(c.score);
        out.index.push_back(c.index);
    }
    return out;
}

}  // namespace tracehold
