#pragma once
// How easy a text is to read, by published formulas. Words are runs of letters, figures and apostrophes; sentences end
// with . ! ? or :. Syllables are counted by rules of spelling that rather count one too many.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold::test {

std::vector<std::string> words_of(std::string_view text);
std::size_t sentences_in(std::string_view text);  // at least 1

std::size_t english_syllables(std::string_view word);
std::size_t german_syllables(std::string_view word);
std::size_t french_syllables(std::string_view word);  // as spoken: a mute e at the end does not count

// School year in the USA: 0.39 words per sentence + 11.8 syllables per word - 15.59. Kincaid, Fishburne, Rogers &
// Chissom 1975 (coefficients from memory, as they are printed everywhere).
double flesch_kincaid_grade(std::string_view english);

// School year, 4 to 15: 0.1935 MS + 0.1672 SL + 0.1297 IW - 0.0327 ES - 0.875; MS percent of words of three or more
// syllables, SL words per sentence, IW percent of words of more than six letters, ES percent of words of one syllable.
// The first of the Vienna formulas for texts of fact, Bamberger & Vanecek 1984 (from memory).
double vienna_text_formula(std::string_view german);

// 0 to 100, higher is easier: 207 - 1.015 words per sentence - 73.6 syllables per word. Kandel & Moles 1958 (from
// memory): Flesch's formula for French.
double kandel_moles(std::string_view french);

}  // namespace tracehold::test
