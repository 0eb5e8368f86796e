#include "report/wrap_text.hpp"

#include <algorithm>

#include "report/text_width.hpp"
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

// Bytes of what fits in so many columns, at least one character.
std::size_t bytes_of(std::string_view text, std::size_t columns) {
    std::size_t bytes = 0, used = 0;
    while (bytes < text.size()) {
        const std::size_t length = std::min(std::max<std::size_t>(1, utf8_length(text.substr(bytes))), text.size() - bytes);
        used += text_columns(text.substr(bytes, length));
        if (used > columns && bytes > 0) break;
        bytes += length;
    }
    return bytes;
}

}  // namespace

std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    for (std::string_view word : words_of(text)) {
        while (!word.empty()) {
            const std::size_t length = text_columns(word);
            if (used > 0 && used + 1 + length > width) {
                lines.emplace_back();
                used = 0;
            }
            const std::size_t bytes = bytes_of(word, width);
            if (used > 0) lines.back() += ' ';
            lines.back() += word.substr(0, bytes);
            used += (used > 0 ? 1 : 0) + text_columns(word.substr(0, bytes));
            word.remove_prefix(bytes);
        }
    }
    return lines;
}

std::string flush_left(std::string_view text, std::size_t width) {
    const std::size_t length = text_columns(text);
    return std::string(text) + std::string(width > length ? width - length : 0, ' ');
}

std::string flush_right(std::string_view text, std::size_t width) {
    const std::size_t length = text_columns(text);
    return std::string(width > length ? width - length : 0, ' ') + std::string(text);
}

std::size_t longest_word(std::string_view text) {
    std::size_t longest = 0;
    for (const std::string_view word : words_of(text)) longest = std::max(longest, text_columns(word));
    return longest;
}

}  // namespace tracehold
