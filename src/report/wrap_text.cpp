#include "report/wrap_text.hpp"

#include <algorithm>

#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

std::vector<std::string_view> words_of(std::string_view text) {
    std::vector<std::string_view> words;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        if (end > 0) words.push_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return words;
}

// Bytes of the first count code points.
std::size_t bytes_of(std::string_view text, std::size_t count) {
    std::size_t bytes = 0;
    for (; count > 0 && bytes < text.size(); --count)
        bytes += std::max<std::size_t>(1, utf8_length(text.substr(bytes)));
    return std::min(bytes, text.size());
}

}  // namespace

std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    for (std::string_view word : words_of(text)) {
        while (!word.empty()) {
            const std::size_t length = utf8_count(word);
            if (used > 0 && used + 1 + length > width) {
                lines.emplace_back();
                used = 0;
            }
            const std::size_t taken = std::min(length, width);
            const std::size_t bytes = bytes_of(word, taken);
            if (used > 0) lines.back() += ' ';
            lines.back() += word.substr(0, bytes);
            used += (used > 0 ? 1 : 0) + taken;
            word.remove_prefix(bytes);
        }
    }
    return lines;
}

std::string flush_left(std::string_view text, std::size_t width) {
    const std::size_t length = utf8_count(text);
    return std::string(text) + std::string(width > length ? width - length : 0, ' ');
}

std::string flush_right(std::string_view text, std::size_t width) {
    const std::size_t length = utf8_count(text);
    return std::string(width > length ? width - length : 0, ' ') + std::string(text);
}

std::size_t longest_word(std::string_view text) {
    std::size_t longest = 0;
    for (const std::string_view word : words_of(text)) longest = std::max(longest, utf8_count(word));
    return longest;
}

}  // namespace tracehold
