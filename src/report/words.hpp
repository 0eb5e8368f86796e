#pragma once
// What patients and referrers read, in their language. A sentence that is missing, out of order or has other places for
// figures than the English one does not compile (words.cpp); neither does a call with too few or too many figures.
// Words that judge a person, name a disease or speak of force do not occur; a test looks for them.
#include <fmt/format.h>

#include <cstddef>
#include <string>
#include <string_view>

#include "report/sentences.hpp"
#include "report/en/patients_and_referrers.hpp"
#include "tracehold/report/language.hpp"

namespace tracehold {

// As the catalogue has it, with its places for figures.
std::string_view sentence(Say key, Language language);

// The sentence with its figures.
template <Say key, class... Figures>
std::string say(Language language, const Figures&... figures) {
    static_assert(places_in(kWordsEn[static_cast<std::size_t>(key)].text) == (1u << sizeof...(figures)) - 1u,
                  "as many figures as the sentence has places");
    return fmt::format(fmt::runtime(sentence(key, language)), figures...);
}

}  // namespace tracehold
