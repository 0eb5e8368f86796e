#pragma once
// What an audit keeps of each result: a few hundred bytes, whatever the length of the recording.
#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// The measures that a course tests; the fourth, hold of reference, comes from the reference contraction.
inline constexpr std::array<std::string_view, 3> kKeptMeasures = {"hold_mean_uv", "rest_mean_uv", "release_s"};

// Session means of kKeptMeasures, same order.
using KeptMeans = std::array<std::optional<double>, kKeptMeasures.size()>;

struct StepRecord {
    std::optional<int> step;
    StepKind kind = StepKind::hold;
    KeptMeans means{};
};

// What differs from session to session; what many have in common is kept once.
struct SessionRecord {
    std::size_t conditions = 0;
    std::string source, sha256;
    std::optional<CivilTime> start;
    double duration_s = 0.0;
    bool usable = true;      // see muscle_seen
    bool anonymous = false;  // its person and date are those of one call
    std::size_t planned = 0, done = 0, missed = 0, unusable = 0;
    StepKind summary_kind = StepKind::hold;
    std::optional<double> reference_uv;
    KeptMeans means{};
    std::vector<StepRecord> steps;  // assessments only
    bool other_plan = false;        // see follows_its_plan
    std::vector<TimeSpan> cued;     // see cued_windows: of sessions without a plan only, which others' plans may still claim
    std::uint64_t numbers = 0;      // see mark_of_numbers; 0 where no muscle was seen
    std::string group;              // the value of the named column; "" = not stated
    std::optional<std::chrono::sys_days> reviewed;
};

// What the sessions list says beside the recording.
struct SessionContext {
    std::string group = {};                              // the value of the column that the audit is by
    std::optional<std::chrono::sys_days> reviewed = {};  // when a clinician reviewed the person
};

// Takes results one at a time, in any order; the score may go afterwards.
class AuditTally {
public:
    void add(const SessionScore& score, const SessionContext& context = {});

    // A recording that could not be scored. Only the kind is kept, since messages may name people.
    void add_refused(ErrorKind kind);

    // A person whom the sessions list names, whether or not there is a recording; "" is nobody.
    void add_listed(const std::string& person);

    // A result that hides its recording's name, so that its row of the sessions list, if it has one, is not known.
    void add_not_matched() { ++not_matched_; }
    std::size_t not_matched() const { return not_matched_; }

    // Those of the listed people of whom no result was added.
    std::size_t listed_only() const;

    // "" stands for results that name nobody.
    const std::map<std::string, std::vector<SessionRecord>>& people() const { return people_; }
    const std::map<ErrorKind, std::size_t>& refused() const { return refused_; }

    // A score with all that a course looks at for the kept measures; of its cycles no more than the cues of SessionRecord::cued.
    SessionScore score_of(const SessionRecord& record) const;

private:
    std::map<std::string, std::vector<SessionRecord>> people_;
    std::map<ErrorKind, std::size_t> refused_;
    std::set<std::string> listed_;
    std::size_t not_matched_ = 0;
    std::vector<SessionScore> conditions_;
    std::map<std::string, std::vector<std::size_t>> known_;  // conditions by a short text of theirs
};

}  // namespace tracehold
