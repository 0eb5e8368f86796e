#pragma once
// The words for postures that pages have sentences for. Any other word is kept as it is: it is told as a plan or recording states it.
#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>

namespace tracehold {

inline constexpr std::array<std::string_view, 7> kKnownPostures = {"lying", "sitting", "standing", "side_lying", "kneeling", "squatting", "walking"};

// "side lying" and "side-lying" are side_lying; case does not matter.
inline bool is_known_posture(std::string_view posture) {
    const auto same = [](unsigned char a, unsigned char b) { return std::tolower(a) == b || (b == '_' && (a == ' ' || a == '-')); };
    return std::any_of(kKnownPostures.begin(), kKnownPostures.end(), [&](std::string_view known) {
        return std::equal(posture.begin(), posture.end(), known.begin(), known.end(), same);
    });
}

}  // namespace tracehold
