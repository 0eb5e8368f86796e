#pragma once
// What a course says of one measure.
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold {

// There is no 'better': whether more is wanted is the clinician's to say.
enum class Statement { more, less, no_change_shown, not_enough };
std::string_view to_string(Statement statement);

// What decided the size of the measurement error.
enum class ErrorSource { own_repeats, published };
std::string_view to_string(ErrorSource source);

// value: the session mean; one a usable session that has one, in order of time.
struct CoursePoint {
    std::size_t session = 0;  // index into Phase::sessions
    double value = 0.0;
    bool compared = true;  // false: measured by another threshold than the one now in force, no figure of the change rests on it
    bool at_least = false;  // endurance that had not ended by the cue to relax: how long it would have lasted is not known
    bool operator==(const CoursePoint&) const = default;
};

// The sessions whose mean stands for one end of the course. Every day weighs the same.
struct CourseBlock {
    double value = 0.0;  // geometric mean on the log scale
    std::chrono::sys_days from{}, to{};
    std::size_t days = 0, sessions = 0;
    bool operator==(const CourseBlock&) const = default;
};

// The last weeks lie level: the interval of the change over them holds 0 and stays inside the measurement error, and
// rules out the pace of the whole course where that has a direction.
struct Plateau {
    std::chrono::sys_days from{}, to{};
    std::size_t sessions = 0;
    double change = 0.0, low = 0.0, high = 0.0;  // over these weeks, change_unit
    std::string text{};
};

// One measure over one phase. On the log scale (amplitudes) changes, errors and slopes are percent, otherwise in the
// measure's own unit: change_unit. Always true: without change there is no statement but not_enough; more and less
// only where change is beyond needed_rise or needed_fall, p_adjusted <= 0.05 and both point the same way.
struct MeasureChange {
    std::string key{};
    std::string title{}, unit{};  // as in course_measures()
    bool primary = false;         // one of the few that are tested, and accounted for together
    std::vector<CoursePoint> points{};
    std::optional<CourseBlock> baseline{}, current{};
    std::string change_unit{};                           // "%" or unit
    bool relative = false;  // change_unit is a share of the value; else "%" of a measure in % are percentage points
    std::optional<double> change{};                      // current against baseline
    std::optional<double> change_low{}, change_high{};   // 95 % interval, from own repeats
    std::optional<double> sem{};                         // of one session, from the baseline's repeats
    std::optional<double> mdc95{};                       // one session against another: 1.96 sqrt(2) sem, upwards
    std::optional<double> needed_rise{}, needed_fall{};  // what the change of the blocks has to exceed; both positive
    ErrorSource error_source = ErrorSource::published;   // what decided needed_*
    // Too few days for a statement: whether change exceeds the published error. No claim: that error is of one session and not of
    // this person's, and a few days show no course. Empty where there is no change to tell, or no published error of the measure.
    std::optional<bool> beyond_published{};
    std::optional<double> slope_per_week{}, slope_low{}, slope_high{};  // Theil-Sen, change_unit a week
    std::optional<double> p{};             // Mann-Kendall, two-sided, serial correlation allowed for
    std::optional<double> p_adjusted{};    // primary: over all tested measures of the course (Holm)
    std::optional<Statement> statement{};  // empty: described only, not tested (reason says so)
    std::string text{};                    // the statement in plain words with its figures
    std::string reason{};                  // where there is no statement, or not enough for one, or none is shown of a change beyond the error
    std::optional<Plateau> plateau{};      // primary measures only
};

// Too few days for a statement, but a first and a now value.
bool only_side_by_side(const MeasureChange& change);

// Beyond the measurement error, and yet no change shown: what the trend lacks.
enum class Astray {
    no,
    no_direction,  // the days follow none, or not that of the change
    unsure,        // they follow it, p at most 0.05 by itself, and not with all measures that are tested together
};
Astray astray(const MeasureChange& change);

// "14.2 to 19.8 µV (+39 %)". In: with baseline, current and change.
std::string went_text(const MeasureChange& change);

// "+44 % or -31 %": one factor is another percentage either way; "0.75 s". In: with needed_*.
std::string needed_text(const MeasureChange& change);

std::size_t compared_points(const MeasureChange& change);

// Of the compared ones those that are a lower limit only: with any of them a change may be larger or smaller than it reads.
std::size_t lower_limits(const MeasureChange& change);

}  // namespace tracehold
