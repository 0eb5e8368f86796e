#include "report/words.hpp"

#include "report/de/patients_and_referrers.hpp"
#include "report/fr/patients_and_referrers.hpp"

namespace tracehold {
namespace {

// The first sentence that is missing, out of order, or has other places for figures than the English one;
// kSentences: none.
constexpr std::size_t first_fault(const Catalogue& words) {
    for (std::size_t i = 0; i < kSentences; ++i) {
        const Sentence& sentence = words[i];
        if (sentence.key != static_cast<Say>(i) || sentence.text.empty()) return i;
        if (places_in(sentence.text) != places_in(kWordsEn[i].text)) return i;
    }
    return kSentences;
}

static_assert(first_fault(kWordsEn) == kSentences, "the English catalogue is complete and in order");
static_assert(first_fault(kWordsDe) == kSentences, "the German catalogue is complete and in order");
static_assert(first_fault(kWordsFr) == kSentences, "the French catalogue is complete and in order");

}  // namespace

std::string_view sentence(Say key, Language language) {
    const auto i = static_cast<std::size_t>(key);
    switch (language) {
        case Language::de: return kWordsDe[i].text;
        case Language::fr: return kWordsFr[i].text;
        case Language::en: break;
    }
    return kWordsEn[i].text;
}

std::string_view to_string(Language language) {
    switch (language) {
        case Language::de: return "de";
        case Language::fr: return "fr";
        case Language::en: break;
    }
    return "en";
}

Language language_of(std::string_view tag) {
    for (const Language language : kLanguages) {
        if (tag.starts_with(to_string(language))) return language;
    }
    return Language::en;
}

}  // namespace tracehold
