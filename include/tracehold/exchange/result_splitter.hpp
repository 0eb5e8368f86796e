#pragma once
// Results of any number, one at a time: a text that arrives in pieces is cut into the results in it.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold {

// text: for read_session_json. line: where it begins, from 1.
// whole false: no closing brace, text is then what there was of it; or something else than a result, text is then empty.
struct ResultText {
    std::string text;
    std::size_t line = 1;
    bool whole = true;
};

// Holds one result in memory. Splits as read_session_results does where all is well. Where
// something is broken it goes on at the next line that begins with '{', and what lies before is one ResultText that is
// not whole. A result of more than 12 MiB is not whole.
class ResultSplitter {
public:
    // Appends what ends in this piece.
    void take(std::string_view piece, std::vector<ResultText>& out);

    // The text has ended.
    void finish(std::vector<ResultText>& out);

private:
    enum class State { between, inside, lost };

    std::size_t between(std::string_view piece, std::vector<ResultText>& out);
    std::size_t inside(std::string_view piece, std::vector<ResultText>& out);
    std::size_t lost(std::string_view piece);
    void begin();
    void give(bool whole, std::vector<ResultText>& out);

    State state_ = State::between;
    std::string text_;
    std::size_t line_ = 1, begin_line_ = 1, depth_ = 0;
    bool in_string_ = false, escaped_ = false, line_start_ = true, first_ = true;
};

}  // namespace tracehold
