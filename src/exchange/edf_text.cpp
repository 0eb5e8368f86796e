#include "exchange/edf_text.hpp"

#include <algorithm>

#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {

std::string edf_annotation_text(std::string_view text) {
    constexpr std::string_view kAllowed = "\t\r\n";
    std::string out;
    while (!text.empty()) {
        const std::size_t length = std::max<std::size_t>(1, utf8_length(text));
        const std::string_view letter = text.substr(0, length);
        out += kAllowed.find(letter[0]) != std::string_view::npos ? std::string(letter) : shown(letter);
        text.remove_prefix(length);
    }
    return out;
}

}  // namespace tracehold
