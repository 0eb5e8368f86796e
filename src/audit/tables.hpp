#pragma once
// The true counts behind the cells of an audit.
#include <map>
#include <string>
#include <vector>

#include "audit/person_figures.hpp"
#include "audit/suppress.hpp"
#include "tracehold/statistics/clustered_proportion.hpp"

namespace tracehold {

// What a row has gathered of its people.
struct Gathered {
    CountRow counts;
    std::vector<Cluster> people;  // measures that count recordings
    std::vector<double> values;   // for the median
    std::size_t missing = 0;      // people of the row with nothing to count, where people are counted once
};

// own_people: as in TableShape, of the months. months_add_up: the months add up to all.
struct MeasureTable {
    Gathered all;
    std::map<std::string, Gathered> months, groups;
    bool counts_recordings = false;
    bool months_own_people = true, months_add_up = true;
};

// In the order of audit_measures().
struct Tables {
    MeasureTable signal, adherence, coming, change, rest, review;
};

// end: the last day of the audit: who has not come to review by then may still. tells_reviews: whether a review is known
// of anybody; where none is, nobody wrote them down, and then nobody can be late.
struct ReviewBasis {
    std::chrono::sys_days end;
    bool tells_reviews = true;
};
void gather(Tables& tables, const PersonFigures& person, const AuditSettings& settings, const ReviewBasis& reviews);

}  // namespace tracehold
