#pragma once
// The languages of those pages that speak to patients and referrers. The clinician's pages are English.
#include <array>
#include <string_view>

namespace tracehold {

enum class Language { en, de, fr };
inline constexpr std::array kLanguages = {Language::en, Language::de, Language::fr};

// The language tag (BCP 47), as Report::language holds it: "en", "de", "fr".
std::string_view to_string(Language language);

// The language of a tag, by its first letters; English for any that is not there.
Language language_of(std::string_view tag);

}  // namespace tracehold
