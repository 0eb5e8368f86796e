#pragma once
// The words for postures that pages have sentences for. Any other word is kept as it is: it is told as a plan or recording states it.
#include <algorithm>
#include <array>
#include <cctype>
#include <cstddef>
#include <optional>
#include <string_view>

namespace tracehold {

inline constexpr std::array<std::string_view, 7> kKnownPostures = {"lying", "sitting", "standing", "side_lying", "kneeling", "squatting", "walking"};

// Where it stands in that list. "side lying" and "side-lying" are side_lying; case does not matter.
inline std::optional<std::size_t> posture_place(std::string_view posture) {
    const auto same = [](unsigned char a, unsigned char b) { return std::tolower(a) == b || (b == '_' && (a == ' ' || a == '-')); };
    const auto found = std::find_if(kKnownPostures.begin(), kKnownPostures.end(), [&](std::string_view known) {
        return std::equal(posture.begin(), posture.end(), known.begin(), known.end(), same);
    });
    if (found == kKnownPostures.end()) return std::nullopt;
    return static_cast<std::size_t>(found - kKnownPostures.begin());
}

inline bool is_known_posture(std::string_view posture) { return posture_place(posture).has_value(); }

}  // namespace tracehold
