#include "tracehold/core/nearest_name.hpp"

#include <algorithm>
#include <cctype>
#include <vector>

namespace tracehold {
namespace {

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return out;
}

// d[i][j]: the cost of turning the first i characters of a into the first j of b by insertions, deletions, substitutions
// and swaps of neighbours.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) {
        for (std::size_t j = 0; j <= b.size(); ++j) {
            if (i == 0 || j == 0) {
                d[i][j] = i + j;
                continue;
            }
            const std::size_t change = d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, change});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
    }
    return d[a.size()][b.size()];
}

}  // namespace

std::optional<std::string> nearest_name(std::string_view word, std::span<const std::string_view> candidates) {
    constexpr std::size_t kLongestWord = 64, kMost = 2;
    if (word.size() > kLongestWord) return std::nullopt;
    std::optional<std::string> nearest;
    std::size_t least = kMost + 1;
    for (const std::string_view candidate : candidates) {
        if (candidate.size() > kLongestWord) continue;
        const std::size_t distance = edit_distance(lower(word), lower(candidate));
        if (distance > kMost || 2 * distance >= word.size()) continue;
        const std::size_t rank = lower(candidate).starts_with(lower(word)) ? 0 : distance;
        if (rank < least) {
            least = rank;
            nearest = candidate;
        }
    }
    return nearest;
}

std::string did_you_mean(std::string_view word, std::span<const std::string_view> candidates) {
    const auto name = nearest_name(word, candidates);
    return name ? "; did you mean '" + *name + "'?" : "";
}

}  // namespace tracehold
