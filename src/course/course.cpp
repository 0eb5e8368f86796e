#include "tracehold/course/course.hpp"

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

}  // namespace tracehold
