#include "tracehold/read/listed_file.hpp"

namespace tracehold {

std::string_view without_dot(std::string_view path) {
    while (path.starts_with("./")) path.remove_prefix(2);
    return path;
}

ListedAs listed_as(std::string_view file, std::string_view path) {
    file = without_dot(file);
    path = without_dot(path);
    if (file.empty()) return ListedAs::another;
    if (file == path) return ListedAs::path;
    if (!path.ends_with(file) || path[path.size() - file.size() - 1] != '/') return ListedAs::another;
    return file.find('/') == std::string_view::npos ? ListedAs::base_name : ListedAs::ending;
}

}  // namespace tracehold
