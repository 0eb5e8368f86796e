#pragma once
#include <span>
#include <string_view>

namespace tracehold {

// A word or figure of a course beside its measures: how it is made. key: as in JSON.
struct CourseTerm {
    std::string_view key;
    std::string_view title;
    std::string_view unit;
    std::string_view definition;
    std::string_view edges;
    std::string_view source;
};

// In the order in which one needs them. Keys differ from those of the measures.
std::span<const CourseTerm> course_terms();

// Null where there is none.
const CourseTerm* find_course_term(std::string_view key);

}  // namespace tracehold
