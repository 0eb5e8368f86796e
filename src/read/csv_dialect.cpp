#include "read/csv_dialect.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "read/decimal.hpp"

namespace tracehold {
namespace {

struct Candidate {
    char delimiter = ';';
    std::size_t width = 0;
    double score = 0.0;  // sum over the lines of the commonest width of the share of cells that are numbers
};

bool is_number(CellLook look) { return look != CellLook::empty && look != CellLook::word; }

Candidate try_delimiter(std::span<const SampleLine> lines, char delimiter) {
    struct Score {
        double sum = 0.0;
        std::size_t lines = 0;
    };
    std::map<std::size_t, Score> score_of_width;
    for (const SampleLine& line : lines) {
        const auto cells = cells_of(line.text, delimiter);
        std::size_t numbers = 0, words = 0;
        for (const TextCell& cell : cells) {
            const CellLook look = look_at(cell.text);
            numbers += is_number(look);
            words += look == CellLook::word;
        }
        if (numbers > 0) {
            Score& score = score_of_width[cells.size()];
            score.sum += static_cast<double>(numbers) / static_cast<double>(numbers + words);
            ++score.lines;
        }
    }
    Candidate best{delimiter};
    for (const auto& [width, score] : score_of_width) {
        const bool prose = 3.0 * score.sum < static_cast<double>(score.lines);  // a number here and there among words
        if (!prose && score.sum > best.score) best = {delimiter, width, score.sum};
    }
    return best;
}

bool has_leading_zero(std::string_view whole) { return whole.size() > 1 && whole[0] == '0'; }

// In: every data line is two whole numbers with a comma between.
bool comma_is_decimal(std::span<const SampleLine> lines) {
    const SampleLine* header = nullptr;
    for (const SampleLine& line : lines) {
        const auto cells = cells_of(line.text, ',');
        const bool pair =
            cells.size() == 2 && look_at(cells[0].text) == CellLook::whole && look_at(cells[1].text) == CellLook::whole;
        if (pair && (has_leading_zero(cells[1].text) || cells[0].text == "-0")) return true;
        if (!pair && header == nullptr && look_at(trimmed(line.text)) != CellLook::whole) header = &line;
    }
    return header != nullptr && header->text.find(',') == std::string_view::npos;
}

}  // namespace

std::vector<TextCell> cells_of(std::string_view line, char delimiter) {
    std::vector<TextCell> cells;
    const char *p = line.data(), *end = p + line.size();
    for (;; ++p) {
        cells.push_back(cell_at(p, end, delimiter));
        p = cells.back().next;
        if (p == end || cells.size() > kMostColumns) return cells;
    }
}

FractionCell find_fraction(std::span<const SampleLine> rows, std::size_t width) {
    struct Pair {
        bool possible = true;
        FractionCell first{};
    };
    std::vector<Pair> pairs(width);  // each column with the one before it
    for (const SampleLine& row : rows) {
        const auto cells = cells_of(row.text, ',');
        for (std::size_t c = 1; c < width && cells.size() == width; ++c) {
            const std::string_view whole = cells[c - 1].text, behind = cells[c].text;
            if (whole.empty() && behind.empty()) continue;
            Pair& pair = pairs[c];
            const bool digits = !behind.empty() && behind.find_first_not_of("0123456789") == std::string_view::npos;
            pair.possible = pair.possible && digits && look_at(whole) == CellLook::whole;
            const bool is_proof = has_leading_zero(behind) || whole == "-0";
            if (is_proof && pair.first.line == 0) pair.first = {row.number, cells[c], row.text};
        }
    }
    const auto found = std::find_if(pairs.begin(), pairs.end(), [](const Pair& pair) { return pair.possible && pair.first.line > 0; });
    return found == pairs.end() ? FractionCell{} : found->first;
}

CsvDialect guess_dialect(std::span<const SampleLine> lines) {
    constexpr std::array<char, 5> kDelimiters = {';', '\t', '|', ',', ' '};
    std::array<Candidate, 5> candidates;
    std::transform(kDelimiters.begin(), kDelimiters.end(), candidates.begin(),
                   [&](char delimiter) { return try_delimiter(lines, delimiter); });
    const auto better = [](const Candidate& a, const Candidate& b) {
        if (std::abs(a.score - b.score) > 1e-6) return a.score > b.score;
        return (a.width > 1) > (b.width > 1);
    };
    const auto best = std::min_element(candidates.begin(), candidates.end(), better);
    const Candidate& single = candidates[0];
    const bool doubtful =
        best->delimiter == ',' && best->width == 2 && single.width == 1 && single.score > best->score - 1e-6;
    if (doubtful && comma_is_decimal(lines)) return {single.delimiter, single.width};
    return {best->delimiter, best->width};
}

char guess_decimal(std::string_view data, char delimiter, std::span<const SampleLine> rows) {
    const bool point = data.find('.') != std::string_view::npos, comma = data.find(',') != std::string_view::npos;
    if (delimiter == ',') {
        for (const SampleLine& row : rows) {
            for (const TextCell& cell : cells_of(row.text, delimiter)) {
                if (cell.quoted && look_at(cell.text) == CellLook::comma) return ',';
            }
        }
        return '.';
    }
    if (point != comma) return comma ? ',' : '.';
    std::ptrdiff_t balance = 0;
    for (const char *p = data.data(), *end = p + data.size(); p != end;) {
        const TextCell cell = cell_at(p, end, delimiter);
        const CellLook look = look_at(cell.text);
        balance += (look == CellLook::point) - (look == CellLook::comma);
        p = cell.next == end ? end : is_line_end(*cell.next) ? after_line_end(cell.next, end) : cell.next + 1;
    }
    return balance < 0 ? ',' : '.';
}

}  // namespace tracehold
