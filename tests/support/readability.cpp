#include "support/readability.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace tracehold::test {
namespace {

// Letters with marks become one byte each, so that rules can look at neighbours: vowels keep their sound.
std::string plain_letters(std::string_view text, bool with_umlauts) {
    struct Pair {
        std::string_view from;
        char to;
    };
    static constexpr std::array kPairs = {
        Pair{"à", 'a'}, Pair{"â", 'a'}, Pair{"é", 'E'}, Pair{"è", 'E'}, Pair{"ê", 'E'}, Pair{"ë", 'E'},
        Pair{"î", 'i'}, Pair{"ï", 'i'}, Pair{"ô", 'o'}, Pair{"û", 'u'}, Pair{"ù", 'u'}, Pair{"œ", 'o'},
        Pair{"ç", 'c'}, Pair{"À", 'a'}, Pair{"É", 'E'}, Pair{"ß", 's'}, Pair{"µ", 'm'}, Pair{"ä", 'A'},
        Pair{"ö", 'O'}, Pair{"ü", 'U'}, Pair{"Ä", 'A'}, Pair{"Ö", 'O'}, Pair{"Ü", 'U'}};
    std::string out;
    while (!text.empty()) {
        const auto pair =
            std::find_if(kPairs.begin(), kPairs.end(), [&](const Pair& each) { return text.starts_with(each.from); });
        if (pair != kPairs.end()) {
            out += with_umlauts ? pair->to : static_cast<char>(std::tolower(pair->to));
            text.remove_prefix(pair->from.size());
            continue;
        }
        out += static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
        text.remove_prefix(1);
    }
    return out;
}

bool is_one_of(char c, std::string_view set) { return set.find(c) != std::string_view::npos; }

std::size_t groups_of(std::string_view word, std::string_view vowels) {
    std::size_t groups = 0;
    for (std::size_t i = 0; i < word.size(); ++i)
        groups += is_one_of(word[i], vowels) && (i == 0 || !is_one_of(word[i - 1], vowels)) ? 1 : 0;
    return groups;
}

std::size_t count_of(std::string_view word, std::string_view part) {
    std::size_t count = 0;
    for (std::size_t at = word.find(part); at != std::string_view::npos; at = word.find(part, at + 1)) ++count;
    return count;
}

// Two vowels that are spoken apart: di-ary, ra-di-a-tion; not the ones of -tion, -cial.
std::size_t hiatus_in(std::string_view word) {
    std::size_t count = 0;
    for (const std::string_view pair : {"ia", "io", "iu", "eo", "ua", "yi", "ye", "uie"}) {
        for (std::size_t at = word.find(pair); at != std::string_view::npos; at = word.find(pair, at + 1))
            count += at > 0 && is_one_of(word[at - 1], "tsc") && pair[0] == 'i' ? 0 : 1;
    }
    return count;
}

// The e of make, makes, raised: written, not spoken. After l it is (muscle), and the -ed of ended.
bool has_mute_end(std::string_view word) {
    const std::size_t n = word.size();
    const auto consonant = [&](std::size_t from_end) {
        return n > from_end && !is_one_of(word[n - 1 - from_end], "aeiouy");
    };
    if (word.ends_with("e")) return consonant(1) && !(word.ends_with("le") && consonant(2));
    if (word.ends_with("es"))
        return consonant(2) && !is_one_of(word[n - 3], "sxzcgh") && !(n > 3 && word[n - 3] == 'l' && consonant(3));
    return word.ends_with("ed") && consonant(2) && !is_one_of(word[n - 3], "td");
}

struct Counts {
    double words = 0.0, sentences = 1.0, syllables = 0.0, one = 0.0, three = 0.0, longer_than_six = 0.0;
};

std::size_t letters_in(std::string_view word) {
    return static_cast<std::size_t>(std::count_if(
        word.begin(), word.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

Counts counts_of(std::string_view text, std::size_t (*syllables)(std::string_view)) {
    Counts counts;
    counts.sentences = static_cast<double>(sentences_in(text));
    for (const std::string& word : words_of(text)) {
        const std::size_t parts = syllables(word);
        counts.words += 1.0;
        counts.syllables += static_cast<double>(parts);
        counts.one += parts == 1 ? 1.0 : 0.0;
        counts.three += parts >= 3 ? 1.0 : 0.0;
        counts.longer_than_six += letters_in(word) > 6 ? 1.0 : 0.0;
    }
    return counts;
}

}  // namespace

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    const auto finish = [&] {
        if (std::any_of(word.begin(), word.end(), [](unsigned char c) { return std::isalnum(c) != 0 || c >= 0x80; }))
            words.push_back(word);
        word.clear();
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        const bool blank = c == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) == 0xA0;
        if (blank) ++i;
        if (!blank && (std::isalnum(c) != 0 || c >= 0x80 || c == '\''))
            word += text[i];
        else
            finish();
    }
    finish();
    return words;
}

std::size_t sentences_in(std::string_view text) {
    std::size_t ends = 0;
    for (std::size_t i = 0; i < text.size(); ++i)
        ends += is_one_of(text[i], ".!?:") && (i + 1 == text.size() || text[i + 1] == ' ') ? 1 : 0;
    return std::max<std::size_t>(ends, 1);
}

std::size_t english_syllables(std::string_view raw) {
    const std::string word = plain_letters(raw, false);
    const std::size_t found = groups_of(word, "aeiouy") + hiatus_in(word) - (has_mute_end(word) ? 1 : 0);
    return std::max<std::size_t>(found, 1);
}

std::size_t german_syllables(std::string_view raw) {
    const std::string word = plain_letters(raw, true);
    std::size_t vowels = 0;
    for (const char c : word) vowels += is_one_of(c, "aeiouyAOU") ? 1 : 0;
    for (const std::string_view pair : {"ei", "ai", "au", "Au", "eu", "ie", "aa", "ee", "oo", "qu"})
        vowels -= std::min(vowels, count_of(word, pair));
    return std::max<std::size_t>(vowels, 1);
}

std::size_t french_syllables(std::string_view raw) {
    std::string word = plain_letters(raw, true);
    for (std::size_t at = word.find("qu"); at != std::string::npos; at = word.find("qu")) word.replace(at, 2, "k");
    std::size_t groups = groups_of(word, "aeiouyEAOU");
    for (const std::string_view apart : {"Ea", "Ei", "Eo", "Eu"}) groups += count_of(word, apart);  // sé-ance
    const std::size_t tail = word.ends_with("es") ? 2 : word.ends_with("e") ? 1 : 0;
    const bool mute = tail > 0 && word.size() > tail && !is_one_of(word[word.size() - tail - 1], "aeiouyE");
    if (mute && groups > 1) --groups;
    return std::max<std::size_t>(groups, 1);
}

double flesch_kincaid_grade(std::string_view english) {
    const Counts counts = counts_of(english, english_syllables);
    return 0.39 * counts.words / counts.sentences + 11.8 * counts.syllables / counts.words - 15.59;
}

double vienna_text_formula(std::string_view german) {
    const Counts counts = counts_of(german, german_syllables);
    const double percent = 100.0 / counts.words;
    return 0.1935 * counts.three * percent + 0.1672 * counts.words / counts.sentences +
           0.1297 * counts.longer_than_six * percent - 0.0327 * counts.one * percent - 0.875;
}

double kandel_moles(std::string_view french) {
    const Counts counts = counts_of(french, french_syllables);
    return 207.0 - 1.015 * counts.words / counts.sentences - 73.6 * counts.syllables / counts.words;
}

}  // namespace tracehold::test
