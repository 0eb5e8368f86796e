// Braces, brackets and strings are all that is looked at; a raw line break in a string, or a brace that begins a line
// within a result, is no JSON that any writer of results makes: there a line was cut off.
#include "tracehold/exchange/result_splitter.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kMostBytes = std::size_t{12} << 20;  // our choice: one of a day has 7 MB, and read, a hostile one takes twenty times its bytes

constexpr std::array<bool, 256> table_of(std::string_view marks) {
    std::array<bool, 256> table{};
    for (const char c : marks) table[static_cast<unsigned char>(c)] = true;
    return table;
}

constexpr auto kOutside = table_of("{}[]\"\n");
constexpr auto kInString = table_of("\"\\\n");

std::size_t next_mark(std::string_view text, const std::array<bool, 256>& marks) {
    std::size_t i = 0;
    while (i < text.size() && !marks[static_cast<unsigned char>(text[i])]) ++i;
    return i;
}

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }

}  // namespace

void ResultSplitter::take(std::string_view piece, std::vector<ResultText>& out) {
    while (!piece.empty()) {
        const std::size_t used = state_ == State::between  ? between(piece, out)
                                 : state_ == State::inside ? inside(piece, out)
                                                           : lost(piece);
        piece.remove_prefix(used);
    }
}

void ResultSplitter::finish(std::vector<ResultText>& out) {
    if (state_ == State::inside) give(false, out);
    state_ = State::between;
}

void ResultSplitter::begin() {
    state_ = State::inside;
    begin_line_ = line_;
    text_ = "{";
    depth_ = 1;
    in_string_ = escaped_ = line_start_ = false;
}

void ResultSplitter::give(bool whole, std::vector<ResultText>& out) {
    out.push_back({std::exchange(text_, {}), begin_line_, whole});
    state_ = whole ? State::between : State::lost;
}

std::size_t ResultSplitter::between(std::string_view piece, std::vector<ResultText>& out) {
    // The mark may come in pieces; its bytes are nothing else at the start of a text.
    const bool mark = first_ && kByteOrderMark.find(piece[0]) != std::string_view::npos;
    const char c = piece[0];
    if (!mark) first_ = false;
    if (c == '{') {
        begin();
    } else if (c == '\n') {
        ++line_;
    } else if (!is_blank(c) && !mark) {
        begin_line_ = line_;
        give(false, out);
        line_start_ = false;
    }
    return 1;
}

std::size_t ResultSplitter::inside(std::string_view piece, std::vector<ResultText>& out) {
    std::size_t used = 0;
    const auto give_used = [&](bool whole) {
        text_ += piece.substr(0, used);
        give(whole, out);
        return used;
    };
    for (; used < piece.size(); ++used) {
        if (std::exchange(escaped_, false)) continue;
        const std::size_t plain = next_mark(piece.substr(used), in_string_ ? kInString : kOutside);
        used += plain;
        if (plain > 0) line_start_ = false;
        if (used == piece.size()) break;
        const char c = piece[used];
        const bool cut_off = (c == '\n' && in_string_) || (c == '{' && line_start_);
        if (cut_off) return give_used(false);  // and read on from here
        line_start_ = c == '\n';
        if (c == '\n') ++line_;
        if (c == '"') in_string_ = !in_string_;
        if (c == '\\') escaped_ = true;
        if (in_string_) continue;
        if (c == '{' || c == '[') ++depth_;
        if ((c == '}' || c == ']') && --depth_ == 0) {
            ++used;
            return give_used(true);
        }
    }
    text_ += piece;
    if (text_.size() > kMostBytes) give(false, out);
    return used;
}

std::size_t ResultSplitter::lost(std::string_view piece) {
    if (piece[0] == '{' && line_start_) {
        begin();
        return 1;
    }
    line_start_ = piece[0] == '\n';
    if (line_start_) ++line_;
    return 1;
}

}  // namespace tracehold
