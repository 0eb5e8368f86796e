#pragma once
// Figures, lengths, counts and days as the sentences of one language need them.
#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "report/sentences.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/report/language.hpp"

namespace tracehold {

// "1.5", "1,5": a number that stands written already, with the decimal mark of the language.
std::string local_number(std::string_view written, Language language);

// "8 seconds"; as short as the number allows, or as it stands written already ("0.70"). French counts by one up to 2.
std::string seconds_words(double seconds, Language language);
std::string seconds_words(double seconds, std::string_view written, Language language);
std::string weeks_words(double weeks, Language language);
std::string days_words(double days, Language language);

// "once", "twice", "3 times".
std::string times_words(double count, Language language);

// "3 March 2026", "3. März 2026", "3 mars 2026".
std::string day_words(std::chrono::sys_days day, Language language);

// "both" for "all 2", in a sentence of the words.
std::string both_words(std::string text, Language language);

// "2 to 13 March 2026", "28 February 2026 to 13 March 2026"; of one day that day.
std::string period_words(std::chrono::sys_days first, std::chrono::sys_days last, Language language);

// "lying" and its like in the language; any other posture as it was stated, in quotes.
std::string posture_words(std::string_view posture, Language language);

// What is said of one of kKnownPostures: its name, and how to take it.
struct KnownPosture {
    Say name, how;
};
std::optional<KnownPosture> known_posture(std::string_view posture);

// "long squeezes", as patients read it.
Say kind_name(StepKind kind);

}  // namespace tracehold
