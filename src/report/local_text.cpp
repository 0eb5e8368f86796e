#include "report/local_text.hpp"

#include <algorithm>
#include <array>

#include "report/page_words.hpp"
#include "report/words.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/plan/postures.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// French has the singular up to two.
bool is_one(double count, Language language) { return language == Language::fr ? count < 2.0 : count == 1.0; }

template <Say one, Say many>
std::string counted_words(double count, Language language) {
    const std::string number = local_number(number_text(count), language);
    return is_one(count, language) ? say<one>(language, number) : say<many>(language, number);
}

}  // namespace

std::string local_number(std::string_view written, Language language) {
    std::string text = with_minus(written);
    const char mark = page_words(to_string(language)).decimal_mark.front();
    std::replace(text.begin(), text.end(), '.', mark);
    return text;
}

std::string seconds_words(double seconds, Language language) {
    return counted_words<Say::seconds_one, Say::seconds>(seconds, language);
}

std::string seconds_words(double seconds, std::string_view written, Language language) {
    const bool one = language == Language::fr ? is_one(seconds, language) : written == "1";
    return one ? say<Say::seconds_one>(language, written) : say<Say::seconds>(language, written);
}

std::string weeks_words(double weeks, Language language) {
    return counted_words<Say::weeks_one, Say::weeks>(weeks, language);
}

std::string days_words(double days, Language language) {
    return counted_words<Say::days_one, Say::days>(days, language);
}

std::string times_words(double count, Language language) {
    if (count == 1.0) return say<Say::once>(language);
    if (count == 2.0) return say<Say::twice>(language);
    return say<Say::times>(language, local_number(number_text(count), language));
}

std::string both_words(std::string text, Language language) {
    for (const AllTwo& words : page_words(to_string(language)).all_two) {
        const std::size_t at = words.all.empty() ? std::string::npos : text.find(words.all);
        if (at != std::string::npos) text.replace(at, words.all.size(), words.both);
    }
    return text;
}

std::string day_words(std::chrono::sys_days day, Language language) {
    const std::chrono::year_month_day date{day};
    if (date.year() < std::chrono::year{1000}) return date_text({day, std::nullopt});  // a count of days, of anonymous people
    const auto month = static_cast<std::size_t>(Say::january) + static_cast<unsigned>(date.month()) - 1;
    const std::string name(sentence(static_cast<Say>(month), language));
    const unsigned number = static_cast<unsigned>(date.day());
    const int year = static_cast<int>(date.year());
    return number == 1 ? say<Say::date_first>(language, number, name, year)
                       : say<Say::date>(language, number, name, year);
}

std::string period_words(std::chrono::sys_days first, std::chrono::sys_days last, Language language) {
    if (first == last) return day_words(first, language);
    const std::chrono::year_month_day from{first}, to{last};
    const bool one_month = from.year() == to.year() && from.month() == to.month() && from.year() >= std::chrono::year{1000};
    const unsigned day = static_cast<unsigned>(from.day());
    const std::string begin = !one_month ? day_words(first, language)
                              : day == 1 ? say<Say::day_of_month_first>(language, day)
                                         : say<Say::day_of_month>(language, day);
    return say<Say::from_to>(language, begin, day_words(last, language));
}

std::string posture_words(std::string_view posture, Language language) {
    const auto known = known_posture(posture);
    return known ? std::string(sentence(known->name, language)) : say<Say::quoted>(language, shown(posture));
}

std::optional<KnownPosture> known_posture(std::string_view posture) {
    static constexpr std::array<KnownPosture, kKnownPostures.size()> kSaid = {{{Say::lying, Say::lying_how},
                                                                              {Say::sitting, Say::sitting_how},
                                                                              {Say::standing, Say::standing_how},
                                                                              {Say::side_lying, Say::side_lying_how},
                                                                              {Say::kneeling, Say::kneeling_how},
                                                                              {Say::squatting, Say::squatting_how},
                                                                              {Say::walking, Say::walking_how}}};
    const auto place = posture_place(posture);
    return place ? std::optional(kSaid[*place]) : std::nullopt;
}

Say kind_name(StepKind kind) {
    return kind == StepKind::rapid       ? Say::kind_rapid
           : kind == StepKind::endurance ? Say::kind_endurance
                                         : Say::kind_hold;
}

}  // namespace tracehold
