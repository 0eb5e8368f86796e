// Several results in one text: where each begins and ends is found by its braces, then each is read alone, so that the
// limits are those of one result and an error is known by its line.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstddef>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/exchange/compare_results.hpp"
#include "tracehold/exchange/read_results.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kSchemaBegin = "\"tracehold.session/";

struct OtherKind {
    std::string_view mark, kind;
};
constexpr std::array kOtherKinds = {
    OtherKind{"\"tracehold.plan/", "plan"},
    OtherKind{"\"tracehold.scenario/", "scenario"},
    OtherKind{"\"tracehold.truth/", "truth"},
    OtherKind{"\"tracehold.rules/", "rules"},
    OtherKind{"\"tracehold.course/", "course"},
    OtherKind{"\"tracehold.audit/", "audit"},
    OtherKind{"\"tracehold.inspection/", "inspection"},
    OtherKind{"\"tracehold.validation/", "validation"},
    OtherKind{"\"urn:tracehold:", "schema"},
    OtherKind{"\"resourceType\"", "FHIR"},
    OtherKind{"\"Name\": \"tracehold\"", "events"},
};

// Line and column (in characters) of the next byte, both from 1.
struct Position {
    std::size_t line = 1;
    std::size_t column = 1;

    void pass(std::string_view text) {
        for (const char c : text) {
            const bool within_character = (static_cast<unsigned char>(c) & 0xC0) == 0x80;
            column += within_character ? 0 : 1;
            if (c == '\n') ++line, column = 1;
        }
    }
};

std::size_t blanks_at_start(std::string_view text) { return std::min(text.find_first_not_of(" \t\r\n"), text.size()); }

std::size_t mark_at_start(std::string_view text) {
    return text.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0;
}

// In: begins with '{'. Out: bytes up to the '}' that closes it; all of them where none does.
std::size_t object_length(std::string_view text) {
    std::size_t depth = 0;
    bool in_string = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (in_string && c == '\\')
            ++i;
        else if (c == '"')
            in_string = !in_string;
        else if (!in_string && c == '{')
            ++depth;
        else if (!in_string && c == '}' && --depth == 0)
            return i + 1;
    }
    return text.size();
}

std::string line_and_column(Position at) { return fmt::format("{}:{}", at.line, at.column); }

// A place inside one result (line:column, JSON pointer or "") as a place in the whole text.
std::string place_in_all(const std::string& place, Position begin) {
    const std::size_t colon = place.find(':');
    if (place.empty()) return fmt::format("line {}", begin.line);
    if (place[0] == '/' || colon == std::string::npos) return fmt::format("line {}, {}", begin.line, place);
    const auto line = static_cast<std::size_t>(parse_whole(place.substr(0, colon)).value_or(1));
    const auto column = static_cast<std::size_t>(parse_whole(place.substr(colon + 1)).value_or(1));
    return line_and_column({begin.line + line - 1, line == 1 ? begin.column + column - 1 : column});
}

SessionScore read_one(std::string_view text, const std::string& source, Position begin) {
    try {
        return read_session_json(text, source);
    } catch (const Error& error) {
        throw Error(error.kind, error.source, place_in_all(error.place, begin), error.message, error.hint);
    }
}

constexpr std::string_view kWriters = "'tracehold score --format json' or ndjson writes what is read here";

[[noreturn]] void refuse_list(const std::string& source, const std::string& place) {
    throw Error(ErrorKind::malformed, source, place, "a list of results: saw '[', expected one result after the other, each from '{' to '}'",
                "'jq -c .[]' takes a list apart");
}

[[noreturn]] void refuse_other(std::string_view rest, const std::string& source, Position at) {
    if (rest.starts_with('[')) refuse_list(source, line_and_column(at));
    const std::string_view line = rest.substr(0, std::min(rest.find_first_of("\r\n"), rest.size()));
    const std::string saw = rest.empty() ? "the end of the text" : fmt::format("'{}'", shown(line, 20));
    throw Error(ErrorKind::malformed, source, line_and_column(at),
                fmt::format("no result here: saw {}, expected '{{' and a result", saw),
                std::string(kWriters));
}

// Calls use(text, where it begins) for each result.
template <class Use>
void for_each_result(std::string_view text, const std::string& source, Use use) {
    Position at;
    text.remove_prefix(mark_at_start(text));
    const auto pass = [&](std::size_t size) {
        at.pass(text.substr(0, size));
        text.remove_prefix(size);
    };
    bool any = false;
    for (pass(blanks_at_start(text)); !text.empty() || !any; pass(blanks_at_start(text))) {
        if (!text.starts_with('{')) refuse_other(text, source, at);
        const std::size_t size = object_length(text);
        use(text.substr(0, size), at);
        any = true;
        pass(size);
    }
}

}  // namespace

ResultsRead read_what_results(std::string_view text, const std::string& source) {
    ResultsRead read;
    const auto or_refused = [&](auto&& work) {
        try {
            work();
        } catch (const Error& error) {
            read.refused.push_back(error);
        }
    };
    or_refused([&] {
        for_each_result(text, source, [&](std::string_view one, Position begin) {
            or_refused([&] { read.scores.push_back(read_one(one, source, begin)); });
        });
    });
    return read;
}

std::vector<SessionScore> read_session_results(std::string_view text, const std::string& source) {
    ResultsRead read = read_what_results(text, source);
    if (!read.refused.empty()) throw read.refused.front();
    return std::move(read.scores);
}

std::vector<ResultPart> result_texts(std::string_view text, const std::string& source) {
    std::vector<ResultPart> texts;
    for_each_result(text, source, [&](std::string_view one, Position begin) { texts.push_back({one, begin.line}); });
    return texts;
}

void refuse_list_of_results(std::string_view bytes, const std::string& source) {
    bytes.remove_prefix(mark_at_start(bytes));
    Position at;
    at.pass(bytes.substr(0, blanks_at_start(bytes)));
    if (bytes.substr(blanks_at_start(bytes)).starts_with('[')) refuse_list(source, line_and_column(at));
}

bool looks_like_results(std::string_view bytes) {
    bytes.remove_prefix(mark_at_start(bytes));
    bytes.remove_prefix(blanks_at_start(bytes));
    return (bytes.starts_with('{') || bytes.starts_with('[')) && bytes.find(kSchemaBegin) != std::string_view::npos;
}

std::string_view other_kind_of_json(std::string_view bytes) {
    for (const auto& [mark, kind] : kOtherKinds) {
        if (bytes.find(mark) != std::string_view::npos) return kind;
    }
    return "";
}

}  // namespace tracehold
