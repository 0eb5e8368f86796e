// The fixed sentences that patients and referrers read.
#include "report/words.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <regex>
#include <string>
#include <vector>

#include "pages/reader_pages.hpp"
#include "support/golden.hpp"
#include "support/readability.hpp"
#include "report/local_text.hpp"
#include "tracehold/plan/postures.hpp"
#include "tracehold/course/rules.hpp"

using namespace tracehold;

namespace {

// A figure of one word and one syllable in each of its places.
std::string with_figures(std::string_view sentence) {
    std::string text;
    for (std::size_t i = 0; i < sentence.size(); ++i) {
        if (sentence[i] != '{') {
            text += sentence[i];
            continue;
        }
        text += '8';
        i += 2;
    }
    return text;
}

bool is_whole(std::string_view text) { return text.ends_with('.') || text.ends_with('?') || text.ends_with(':'); }

// Sentences stand alone; what is no sentence (names of things, signs of a list, headings) is read as one list with a
// full stop after each.
struct PatientTexts {
    std::vector<std::string> sentences;
    std::string rest;
    std::string all;
};

PatientTexts patient_texts(Language language) {
    PatientTexts texts;
    for (std::size_t i = 0; i < kSentences; ++i) {
        const Say key = static_cast<Say>(i);
        if (!is_for_patient(key)) continue;
        const std::string text = with_figures(sentence(key, language));
        if (is_whole(text))
            texts.sentences.push_back(text);
        else
            texts.rest += text + ". ";
        texts.all += text + (is_whole(text) ? " " : ". ");
    }
    return texts;
}

std::string listed(double (*formula)(std::string_view), Language language) {
    const PatientTexts texts = patient_texts(language);
    std::string list = fmt::format("{:6.1f}  all\n{:6.1f}  names, headings and signs as one list\n", formula(texts.all),
                                   formula(texts.rest));
    for (const std::string& text : texts.sentences) list += fmt::format("{:6.1f}  {}\n", formula(text), text);
    return list;
}

// A block of a page as it is read: a list is read out with a full stop after each item.
std::string read_out(const Block& block) {
    if (const auto* paragraph = std::get_if<Paragraph>(&block)) return paragraph->text;
    std::string text;
    if (const auto* list = std::get_if<List>(&block)) {
        for (const std::string& item : list->items) text += item + (is_whole(item) ? " " : ". ");
    }
    return text;
}

std::vector<std::string> blocks_of(const Report& report) {
    std::vector<std::string> texts;
    for (const Section& section : report.sections) {
        for (const Block& block : section.blocks) {
            if (const std::string text = read_out(block); !text.empty()) texts.push_back(text);
        }
    }
    return texts;
}

// The string literals of a source, adjacent ones as one; comments, #-lines and what only a compiler says are stepped over.
std::vector<std::string> literals_of(const std::string& source) {
    static const std::regex token(R"re(//[^\n]*|\n *#[^\n]*|(?:static_assert\(|throw )[^;]*;|"(?:\\.|[^"\\\n])*"(?:\s+"(?:\\.|[^"\\\n])*")*)re");
    std::vector<std::string> literals;
    for (std::sregex_iterator found(source.begin(), source.end(), token), end; found != end; ++found) {
        if (found->str().starts_with('"')) literals.push_back(std::regex_replace(found->str(), std::regex(R"re("\s+")re"), ""));
    }
    return literals;
}

// Two words side by side, or one that begins as a title does; what is written in HTML, SVG or CSS is not for reading.
bool is_for_readers(const std::string& literal) {
    static const std::regex words(R"re([A-Za-z]{2,}[,;:.)]? +\(?[A-Za-z]{2,}|\b[A-Z][a-z]{3,})re");
    static const std::regex markup(R"re(<[^>]*>|\w+=\\"[^"]*|\{[a-z-]+:)re");
    return std::regex_search(std::regex_replace(literal, markup, ""), words) && !std::regex_search(literal, std::regex(R"re(=\\"|@media|@page|color-scheme|font-family)re"));
}

}  // namespace

// A language is one folder: who translates or reviews reads it alone.
TEST_CASE("no sentence of a report stands outside the catalogue of its language") {
    REQUIRE(is_for_readers("\"No plan\""));
    REQUIRE(is_for_readers("\"Share\""));
    REQUIRE_FALSE(is_for_readers("\"<div class=\\\"answer\\\">\""));
    std::size_t sources = 0;
    for (const auto& entry : std::filesystem::directory_iterator(SOURCE_DIR "/src/report")) {
        if (!entry.is_regular_file() || entry.path().filename() == "page_style_rules.hpp") continue;  // fonts
        std::ifstream file(entry.path());
        const std::string source((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
        for (const std::string& literal : literals_of(source))
            CHECK_MESSAGE(!is_for_readers(literal), entry.path().filename().string(), ": ", literal);
        ++sources;
    }
    CHECK(sources > 60);
}

TEST_CASE("every posture that plans may name has its own words") {
    for (const std::string_view posture : kKnownPostures) {
        REQUIRE(known_posture(posture));
        std::string name(sentence(known_posture(posture)->name, Language::en));
        CHECK(name.starts_with(posture == "side_lying" ? std::string_view("lying on the side") : posture));
        CHECK(std::string_view(sentence(known_posture(posture)->how, Language::en)).size() > 10);
    }
    CHECK(posture_words("Side-Lying", Language::en) == "lying on the side");
    CHECK(posture_words("headstand", Language::en) == "\"headstand\"");
}

TEST_CASE("syllables of known words are counted as a dictionary parts them") {
    const std::map<std::string, std::size_t> english = {
        {"squeeze", 1},   {"muscle", 2},    {"therapist", 3}, {"quiet", 2},    {"lying", 2},  {"diary", 3},
        {"pregnant", 2},  {"bladder", 2},   {"bowel", 2},     {"recorder", 3}, {"raised", 1}, {"wanted", 2},
        {"ambulance", 3}, {"radiation", 4}, {"goals", 1},     {"breathe", 1}};
    for (const auto& [word, count] : english) CHECK_MESSAGE(test::english_syllables(word) == count, word);
    const std::map<std::string, std::size_t> german = {{"Muskel", 2}, {"Übung", 2},      {"Liegen", 2},
                                                       {"Pause", 2},  {"Fachperson", 3}, {"Anspannung", 3},
                                                       {"äußere", 3}, {"Ziel", 1}};
    for (const auto& [word, count] : german) CHECK_MESSAGE(test::german_syllables(word) == count, word);
    const std::map<std::string, std::size_t> french = {{"séance", 2}, {"muscle", 1}, {"relâchez", 3}, {"thérapeute", 3},
                                                       {"une", 1},    {"fois", 1},   {"appareil", 3}};
    for (const auto& [word, count] : french) CHECK_MESSAGE(test::french_syllables(word) == count, word);
}

// Closed forms of the formulas as published: 6 words of one syllable in one sentence.
TEST_CASE("the formulas give what their terms give") {
    CHECK(test::flesch_kincaid_grade("The cat sat on the mat.") == doctest::Approx(0.39 * 6 + 11.8 - 15.59));
    CHECK(test::vienna_text_formula("Der Hund lag auf dem Sand.") == doctest::Approx(0.1672 * 6 - 3.27 - 0.875));
    CHECK(test::kandel_moles("Le chat dort sur le lit.") == doctest::Approx(207 - 1.015 * 6 - 73.6));
}

// The aim for English is school year 6; every sentence keeps to it, so that no page can be harder.
TEST_CASE("every English sentence for patients is for readers of school year six or below") {
    const PatientTexts texts = patient_texts(Language::en);
    REQUIRE(texts.sentences.size() > 90);
    for (const std::string& text : texts.sentences) CHECK_MESSAGE(test::flesch_kincaid_grade(text) <= 6.0, text);
    CHECK(test::flesch_kincaid_grade(texts.rest) <= 6.0);
    CHECK(test::flesch_kincaid_grade(texts.all) <= 3.0);
}

// With the figures in them: the home sheet and the pages of a session and of a course.
TEST_CASE("every paragraph and list of the pages of patients is for school year six or below as in the golden list") {
    std::string list;
    for (const Report& report : {compose_home_sheet(*test::made_up_session().plan),
                                 compose_patient_report(test::made_up_session(), {.show_microvolts = true}),
                                 compose_patient_report(test::made_up_weeks("QX-17"), {.show_microvolts = true})}) {
        list += report.title + "\n";
        for (const std::string& text : blocks_of(report)) {
            CHECK_MESSAGE(test::flesch_kincaid_grade(text) <= 6.0, text);
            list += fmt::format("{:6.1f}  {}\n", test::flesch_kincaid_grade(text), text);
        }
    }
    CHECK_GOLDEN("readability_pages_en.txt", list);
}

// The scale begins at school year 4 and single sentences swing widely: a long word among five words is a fifth of
// them. The whole keeps below the scale's start, each sentence below school year 8 (our choice).
TEST_CASE("the German sentences for patients are below the start of their scale") {
    const PatientTexts texts = patient_texts(Language::de);
    CHECK(test::vienna_text_formula(texts.all) <= 4.0);
    for (const std::string& text : texts.sentences) CHECK_MESSAGE(test::vienna_text_formula(text) <= 8.0, text);
}

// On Flesch's scale 80 to 90 is 'easy' and 60 to 70 'standard' (from memory): the whole is easy, no sentence is harder
// than standard.
TEST_CASE("the French sentences for patients are easy on the scale of Flesch") {
    const PatientTexts texts = patient_texts(Language::fr);
    CHECK(test::kandel_moles(texts.all) >= 80.0);
    for (const std::string& text : texts.sentences) CHECK_MESSAGE(test::kandel_moles(text) >= 60.0, text);
}

TEST_CASE("each sentence for patients is listed with its value as in the golden lists") {
    CHECK_GOLDEN("readability_en.txt", listed(test::flesch_kincaid_grade, Language::en));
    CHECK_GOLDEN("readability_de.txt", listed(test::vienna_text_formula, Language::de));
    CHECK_GOLDEN("readability_fr.txt", listed(test::kandel_moles, Language::fr));
}

// Completeness and places for figures are checked when words.cpp is compiled; what a compiler cannot see is here.
TEST_CASE("no sentence is left in English in another language") {
    // Alike in both languages by chance, or by their nature.
    const auto may_be_alike = [](Say key) {
        constexpr std::array kAlike = {Say::date,      Say::date_first, Say::in_phase,   Say::share_of,
                                       Say::september, Say::november,   Say::april,      Say::august,
                                       Say::mean_of,   Say::limits,     Say::diary_date, Say::diary_questions,
                                       Say::m_hold,    Say::f_contrast, Say::day_of_month, Say::day_of_month_first};
        return std::find(kAlike.begin(), kAlike.end(), key) != kAlike.end();
    };
    for (const Language language : {Language::de, Language::fr}) {
        for (std::size_t i = 0; i < kSentences; ++i) {
            const Say key = static_cast<Say>(i);
            if (may_be_alike(key)) continue;
            CHECK_MESSAGE(sentence(key, language) != sentence(key, Language::en), sentence(key, language));
        }
    }
}

// Measures never call a person or a muscle any of these; 'strength' and 'force' are named only to say that they are not
// measured.
TEST_CASE("no sentence judges names a disease or speaks of force") {
    const std::map<Language, std::vector<std::string>> forbidden = {
        {Language::en,
         {"normal", "weak", "strong", "hyperton", "failed", "passed", "good", "bad", "poor", "cured", "must", "score",
          "tone"}},
        {Language::de,
         {"normal", "schwach", "stark an", "hyperton", "durchgefallen", "bestanden", "schlecht", "geheilt",
          "müssen Sie nicht"}},
        {Language::fr, {"normal", "faible", "fort", "hyperton", "réussi", "échou", "mauvais", "guéri"}}};
    for (const auto& [language, words] : forbidden) {
        for (std::size_t i = 0; i < kSentences; ++i) {
            const Say key = static_cast<Say>(i);
            if (!is_for_patient(key)) continue;
            for (const std::string& word : words)
                CHECK_MESSAGE(sentence(key, language).find(word) == std::string_view::npos, sentence(key, language));
        }
    }
}

TEST_CASE("the questions of the built-in table stand in the catalogue word for word") {
    std::size_t found = 0;
    for (const Rule& rule : default_rules()) {
        for (std::size_t i = static_cast<std::size_t>(Say::q_resting); i <= static_cast<std::size_t>(Say::q_beyond);
             ++i)
            found += rule.text == sentence(static_cast<Say>(i), Language::en) ? 1 : 0;
    }
    CHECK(found == default_rules().size());
}
