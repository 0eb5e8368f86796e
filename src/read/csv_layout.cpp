#include "read/csv_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <optional>

#include "read/csv_columns.hpp"
#include "read/csv_dialect.hpp"
#include "read/decimal.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kSampleLines = 2000;  // our choice: a second or two of signal
constexpr std::size_t kSampleBytes = std::size_t{1} << 20;

bool is_comment(std::string_view line) { return trimmed(line).starts_with('#'); }

// The first lines, blank ones left out.
std::vector<SampleLine> first_lines(std::string_view text, const std::string& source) {
    std::vector<SampleLine> lines;
    const char *const begin = text.data(), *const end = begin + text.size();
    const char* p = begin;
    for (std::size_t number = 1; p != end; ++number) {
        const char* stop = line_end(p, end);
        const std::string_view line{p, static_cast<std::size_t>(stop - p)};
        if (line.size() > kLongestLine) {
            throw Error(
                ErrorKind::malformed, source, fmt::format("{}:1", number),
                fmt::format("the line is too long: saw {} bytes, expected at most {}", line.size(), kLongestLine));
        }
        if (!trimmed(line).empty()) lines.push_back({number, line});
        p = after_line_end(stop, end);
        if (lines.size() >= kSampleLines || static_cast<std::size_t>(p - begin) >= kSampleBytes) break;
    }
    return lines;
}

// How many cells of each column are numbers, stamps and words, over the lines of the common width that hold a number at
// all.
struct Tally {
    std::size_t numbers = 0, stamps = 0, words = 0;
    void add(CellLook look) {
        words += look == CellLook::word;
        stamps += look == CellLook::stamp;
        numbers += look == CellLook::whole || look == CellLook::point || look == CellLook::comma;
    }
};

ColumnLook tallied_look(const Tally& tally) {
    if (tally.stamps > tally.numbers && tally.stamps > tally.words) return ColumnLook::stamp;
    if (tally.numbers > 0 && tally.numbers >= tally.words) return ColumnLook::number;
    return tally.words + tally.stamps > 0 ? ColumnLook::word : ColumnLook::empty;
}

struct LineLook {
    bool right_width = false;
    std::size_t numbers = 0;  // stamps too
    std::size_t words = 0;
    std::vector<CellLook> cells;
};

LineLook look_at_line(std::string_view line, const CsvLayout& layout) {
    LineLook look;
    for (const TextCell& cell : cells_of(line, layout.delimiter)) {
        look.cells.push_back(look_at(cell.text));
        look.words += look.cells.back() == CellLook::word;
        look.numbers += look.cells.back() != CellLook::word && look.cells.back() != CellLook::empty &&
                        look.cells.back() != CellLook::missing;
    }
    look.right_width = look.cells.size() == layout.width;
    return look;
}

std::vector<ColumnLook> column_looks(const std::vector<LineLook>& lines, std::size_t width) {
    std::vector<Tally> tallies(width);
    for (const LineLook& line : lines) {
        if (!line.right_width || line.numbers == 0) continue;
        for (std::size_t c = 0; c < width; ++c) tallies[c].add(line.cells[c]);
    }
    std::vector<ColumnLook> looks(width);
    std::transform(tallies.begin(), tallies.end(), looks.begin(), tallied_look);
    return looks;
}

// What the first filled cell of a column looks like, over the whole file, for named columns that the first lines leave
// empty.
void look_further(CsvLayout& layout, std::string_view data) {
    const auto undecided = [&](std::size_t c) {
        return c < layout.names.size() && layout.looks[c] == ColumnLook::empty && !layout.names[c].empty();
    };
    const auto ends_here = [&](const char* q) { return *q == layout.delimiter || is_line_end(*q); };
    std::size_t open = 0, at = 0;
    for (std::size_t c = 0; c < layout.names.size(); ++c) open += undecided(c);
    for (const char *p = data.data(), *end = p + data.size(); p != end && open > 0;) {
        const char* next = nullptr;
        if (const bool is_simple = layout.delimiter != ' ' && *p != '"' && *p != ' ' && *p != '\t'; is_simple && (ends_here(p) || !undecided(at))) {
            next = std::find_if(p, end, [&](const char& c) { return ends_here(&c); });
        } else {
            const TextCell cell = cell_at(p, end, layout.delimiter);
            next = cell.next;
            if (undecided(at)) {
                Tally tally;
                tally.add(look_at(cell.text));
                layout.looks[at] = tallied_look(tally);
                open -= layout.looks[at] != ColumnLook::empty;
            }
        }
        const bool row_ends = next == end || is_line_end(*next);
        at = row_ends ? 0 : at + 1;
        p = row_ends ? after_line_end(next, end) : next + 1;
    }
}

bool is_sound_row(const LineLook& line, const std::vector<ColumnLook>& looks) {
    if (!line.right_width || line.numbers == 0) return false;
    for (std::size_t c = 0; c < looks.size(); ++c) {
        const bool number_column = looks[c] == ColumnLook::number || looks[c] == ColumnLook::stamp;
        if (number_column && line.cells[c] == CellLook::word) return false;
    }
    return true;
}

// Names of the columns in a line of words, as many as columns or empty if the line is no header. A delimiter that ends
// only the data rows, or only the header, is forgiven.
std::vector<std::string> header_names(std::string_view line, const CsvLayout& layout) {
    std::vector<std::string> names;
    bool words = false;
    for (const TextCell& cell : cells_of(line, layout.delimiter)) {
        const CellLook look = look_at(cell.text);
        if (look != CellLook::word && look != CellLook::empty && look != CellLook::missing) return {};
        words = words || look == CellLook::word;
        names.push_back(unquoted(cell));
    }
    if (!words) return {};
    if (names.size() == layout.width + 1 && names.back().empty()) names.pop_back();
    if (names.size() + 1 == layout.width && layout.looks.back() == ColumnLook::empty) names.emplace_back();
    constexpr std::size_t kLongestName = 80;  // of a file of one column: longer lines are prose
    const bool prose = layout.width == 1 && (line.size() > kLongestName || line.find(':') != std::string_view::npos);
    return names.size() == layout.width && !prose ? names : std::vector<std::string>{};
}

// In a row of units: of a column that has none.
bool stands_for_no_unit(const std::string& name) {
    static constexpr std::array<std::string_view, 9> kWords = {"", "-", "--", "n/a", "na", "none", "text", "string", "label"};
    return std::find(kWords.begin(), kWords.end(), lower_case(bare_unit(name))) != kWords.end();
}

bool all_units(const std::vector<std::string>& names) {
    const auto unit = [](const std::string& name) { return stands_for_no_unit(name) || is_unit_text(name); };
    const bool any = std::any_of(names.begin(), names.end(), [](const std::string& name) { return name.empty() || is_unit_text(name); });
    return any && std::all_of(names.begin(), names.end(), unit);
}

// Sample lines [first, data) are the header, with or without a row of units, and what stands between it and the data.
struct Header {
    std::size_t first = 0;
    std::size_t lines = 0;
    std::vector<std::string> names;
};

// A '#' line is a header only if it names a time: most are remarks.
std::vector<std::string> names_in(std::string_view line, const CsvLayout& layout) {
    if (!is_comment(line)) return header_names(line, layout);
    auto names = header_names(trimmed(trimmed(line).substr(1)), layout);
    const bool named = std::any_of(names.begin(), names.end(), [](const auto& name) { return is_time_name(name); });
    return named && layout.width > 1 ? names : std::vector<std::string>{};
}

// The last line of names above sample line `data`.
std::optional<Header> find_header(const CsvLayout& layout, const std::vector<SampleLine>& lines, std::size_t data) {
    for (std::size_t i = data; i-- > 0;) {
        Header header{i, 1, names_in(lines[i].text, layout)};
        if (header.names.empty()) continue;
        if (!all_units(header.names) || i == 0) return header;
        const auto above = names_in(lines[i - 1].text, layout);
        if (above.empty()) return header;
        for (std::size_t c = 0; c < above.size(); ++c) {
            const std::string unit = bare_unit(header.names[c]);
            header.names[c] = stands_for_no_unit(unit) ? above[c] : fmt::format("{} [{}]", above[c], unit);
        }
        return Header{i - 1, 2, std::move(header.names)};
    }
    return std::nullopt;
}

// A line that reads like the header of a recording: some cell of it names a time or a voltage.
bool is_header_like(std::string_view line) {
    for (const char delimiter : {',', ';', '\t', '|'}) {
        for (const TextCell& cell : cells_of(line, delimiter)) {
            if (is_time_name(cell.text) || names_a_voltage(cell.text)) return true;
        }
    }
    return false;
}

[[noreturn]] void refuse(const std::vector<SampleLine>& lines, const std::string& source) {
    const std::string_view last = lines.back().text;
    if (is_comment(last) || is_header_like(last)) {
        throw Error(ErrorKind::too_short, source, "",
                    "no samples: saw a header only, expected rows of numbers below it", "copy or export it again");
    }
    throw Error(ErrorKind::not_recognised, source, "",
                "no rows of numbers: saw " + shown(trimmed(last)) + ", expected a recording",
                "give a CSV, EDF or BDF file");
}

// Rows with numbers and words between the header and the first sound row are data with a fault if the header is one of
// a recording beyond doubt. Else they are remarks ('Subject;12'), and so was the header. Returns where the data begin.
std::size_t settle_header(std::optional<Header>& header, const std::vector<SampleLine>& lines,
                          const std::vector<LineLook>& looks, std::size_t first_sound) {
    if (!header) return first_sound;
    for (std::size_t i = header->first + header->lines; i < first_sound; ++i) {
        if (!looks[i].right_width || looks[i].numbers == 0) continue;
        if (is_header_like(lines[header->first].text)) return i;
        header.reset();
        return first_sound;
    }
    return first_sound;
}

CsvLayout layout_of(const std::vector<SampleLine>& lines, const std::string& source) {
    std::vector<SampleLine> plain;
    std::copy_if(lines.begin(), lines.end(), std::back_inserter(plain),
                 [](const auto& l) { return !is_comment(l.text); });
    const CsvDialect dialect = guess_dialect(plain);
    if (dialect.width == 0) refuse(lines, source);
    if (dialect.width > kMostColumns) {
        throw Error(ErrorKind::malformed, source, "",
                    fmt::format("too many columns: expected at most {}", kMostColumns));
    }
    CsvLayout layout;
    layout.delimiter = dialect.delimiter;
    layout.width = dialect.width;
    return layout;
}

// Whether the names above the data are fewer than the cells of a row, or nothing above it says how many there should be.
bool may_split_numbers(const CsvLayout& layout, const std::optional<Header>& header, std::span<const SampleLine> above, std::string_view data) {
    const auto is_shorter = [&](const SampleLine& line) { return cells_of(line.text, layout.delimiter).size() < layout.width; };
    if (header) return is_shorter(above[header->first]);
    if (above.empty()) return data.find('.') == std::string_view::npos;
    return std::any_of(above.begin(), above.end(), [&](const SampleLine& line) { return is_header_like(line.text) && is_shorter(line); });
}

void refuse_split_numbers(const CsvLayout& layout, const std::string& source) {
    const FractionCell found = find_fraction(layout.rows, layout.width);
    if (found.line == 0) return;
    throw Error(ErrorKind::malformed, source, fmt::format("{}:{}", found.line, found.cell.begin - found.row.data() + 1),
                fmt::format("decimal commas and commas between the columns: saw '{}', expected one of the two{}", shown(found.row), kCommaIsBoth),
                kOneComma);
}

}  // namespace

SaidLine said_line(const SampleLine& sample, char delimiter) {
    std::string_view line = trimmed(sample.text);
    while (line.starts_with('#')) line = trimmed(line.substr(1));
    SaidLine said{sample.number, "", "", std::string(line)};
    std::pair<std::string, std::string> key_value;
    const auto cells = cells_of(line, delimiter);
    const bool pair = delimiter != ' ' && cells.size() >= 2 &&
                      std::all_of(cells.begin() + 2, cells.end(), [](const TextCell& cell) { return cell.text.empty(); });
    if (pair && !cells[1].text.empty() && line.find(':') == std::string_view::npos) {
        said.key = lower_case(unquoted(cells[0]));
        said.value = unquoted(cells[1]);
    } else if (split_key_value(line, key_value)) {
        said.key = key_value.first;
        said.value = key_value.second;
        while (said.value.ends_with(delimiter)) said.value.pop_back();
    }
    return said;
}

bool split_key_value(std::string_view line, std::pair<std::string, std::string>& key_value) {
    constexpr std::size_t kLongestKey = 40;
    const std::size_t at = line.find_first_of(":=");
    if (at == std::string_view::npos || at == 0 || at > kLongestKey) return false;
    std::string_view value = trimmed(line.substr(at + 1));
    if (line.substr(at).starts_with(":=")) value = trimmed(value.substr(1));
    if (value.size() >= 2 && value.front() == '"' && value.back() == '"') value = value.substr(1, value.size() - 2);
    key_value = {lower_case(trimmed(line.substr(0, at))), std::string(value)};
    return true;
}

CsvLayout find_layout(std::string_view text, const std::string& source) {
    const auto lines = first_lines(text, source);
    if (lines.empty()) throw Error(ErrorKind::too_short, source, "", "the file holds nothing but blank lines: expected a recording", "copy or export it again");
    CsvLayout layout = layout_of(lines, source);
    std::vector<LineLook> looks;
    for (const SampleLine& line : lines) {
        looks.push_back(is_comment(line.text) ? LineLook{} : look_at_line(line.text, layout));
    }
    layout.looks = column_looks(looks, layout.width);
    const auto sound =
        std::find_if(looks.begin(), looks.end(), [&](const auto& line) { return is_sound_row(line, layout.looks); });
    if (sound == looks.end()) refuse(lines, source);
    const auto first_sound = static_cast<std::size_t>(sound - looks.begin());
    auto header = find_header(layout, lines, first_sound);
    const std::size_t first = settle_header(header, lines, looks, first_sound);
    for (std::size_t i = 0; i < first; ++i) {
        const bool in_header = header && i >= header->first && i < header->first + header->lines;
        if (!in_header) layout.said.push_back(said_line(lines[i], layout.delimiter));
    }
    if (header) {
        layout.header = lines[header->first].text;
        layout.names = std::move(header->names);
    }
    layout.rows.assign(lines.begin() + static_cast<std::ptrdiff_t>(first), lines.end());
    layout.data = lines[first].text.data();
    layout.data_line = lines[first].number;
    const std::string_view data = text.substr(static_cast<std::size_t>(layout.data - text.data()));
    layout.decimal = guess_decimal(data, layout.delimiter, layout.rows);
    if (layout.delimiter == ',' && may_split_numbers(layout, header, std::span(lines).first(first), data)) refuse_split_numbers(layout, source);
    look_further(layout, data);
    return layout;
}

}  // namespace tracehold
