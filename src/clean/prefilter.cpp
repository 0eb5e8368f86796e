#include "clean/prefilter.hpp"

#include <algorithm>
#include <cctype>
#include <string>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

char lower(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

// The number after "key:" (or "key " or "key="), where key starts a word; with k or kHz times 1000. DC and words give
// nothing.
std::optional<double> number_after(const std::string& text, std::string_view key) {
    for (std::size_t at = text.find(key); at != std::string::npos; at = text.find(key, at + 1)) {
        if (at > 0 && std::isalnum(static_cast<unsigned char>(text[at - 1]))) continue;
        const std::size_t begin = text.find_first_not_of(" :=", at + key.size());
        if (begin == std::string::npos) continue;
        const std::size_t end = std::min(text.find_first_not_of("0123456789.", begin), text.size());
        const auto value = parse_number(text.substr(begin, end - begin));
        if (!value || *value <= 0.0) continue;
        const std::size_t unit = text.find_first_not_of(' ', end);
        return unit != std::string::npos && text[unit] == 'k' ? *value * 1000.0 : *value;
    }
    return std::nullopt;
}

}  // namespace

Prefilter parse_prefilter(std::string_view text) {
    std::string small(text);
    std::transform(small.begin(), small.end(), small.begin(), lower);
    Prefilter out{number_after(small, "hp"), number_after(small, "lp"), number_after(small, "n")};
    if (!out.notch) out.notch = number_after(small, "notch");
    return out;
}

}  // namespace tracehold
