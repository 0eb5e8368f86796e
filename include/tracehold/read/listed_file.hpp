#pragma once
// Whether a list that speaks of many recordings speaks of this one.
#include <string_view>

namespace tracehold {

// How the word in a list's column 'file' fits the path of a recording; './' before either means nothing.
enum class ListedAs {
    another,    // it is of another file
    base_name,  // the name alone, without a folder: of every recording that is called so
    ending,     // ends the path at a folder's border
    path        // is the path
};
ListedAs listed_as(std::string_view file, std::string_view path);

// Without any './' before it.
std::string_view without_dot(std::string_view path);

}  // namespace tracehold
