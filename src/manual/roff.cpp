#include "manual/man_pages.hpp"

namespace tracehold {

std::string roff_text(std::string_view text) {
    std::string out;
    bool line_begins = true;
    for (const char c : text) {
        if (line_begins && (c == '.' || c == '\'')) out += "\\&";
        line_begins = c == '\n';
        if (c == '\\')
            out += "\\e";
        else if (c == '-')
            out += "\\-";
        else
            out += c;
    }
    return out;
}

}  // namespace tracehold
