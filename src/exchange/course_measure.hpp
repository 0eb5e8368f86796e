#pragma once
#include <string_view>

#include "tracehold/course/course_measures.hpp"

namespace tracehold {

// The line of course_measures() with this key; null pointer if there is none.
inline const CourseMeasure* find_course_measure(std::string_view key) {
    for (const CourseMeasure& measure : course_measures()) {
        if (measure.key == key) return &measure;
    }
    return nullptr;
}

}  // namespace tracehold
