#include "tracehold/course/course.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {

std::string_view to_string(Statement statement) {
    switch (statement) {
        case Statement::more: return "more";
        case Statement::less: return "less";
        case Statement::no_change_shown: return "no_change_shown";
        case Statement::not_enough: return "not_enough";
    }
    return "unknown";
}

std::string_view to_string(ErrorSource source) {
    switch (source) {
        case ErrorSource::own_repeats: return "own_repeats";
        case ErrorSource::published: return "published";
    }
    return "unknown";
}

std::size_t wholly_due(double planned) {
    constexpr double kRounding = 1e-9;  // three sevenths and four sevenths are one
    return static_cast<std::size_t>(std::max(0.0, std::floor(planned + kRounding)));
}

}  // namespace tracehold
