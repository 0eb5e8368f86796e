#include "report/referrer_parts.hpp"

#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

std::string referrer_title(const std::string& person, const std::string& when, Language language) {
    return say<Say::referrer_title>(language, person.empty() ? say<Say::nobody>(language) : shown(person),
                                    when.empty() ? say<Say::no_date>(language) : when);
}

Section referrer_limits(Language language) {
    return {say<Say::limits>(language), {Paragraph{say<Say::referrer_limits>(language)}}};
}

std::string kind_words(StepKind kind, Language language) {
    return std::string(sentence(kind == StepKind::rapid       ? Say::kind_of_rapid
                                : kind == StepKind::endurance ? Say::kind_of_endurance
                                : kind == StepKind::rest      ? Say::kind_of_rest
                                                              : Say::kind_of_hold,
                                language));
}

std::string referrer_name(std::string_view measure, Language language) {
    constexpr std::array kNames = {std::pair{"hold_mean_uv", Say::m_hold}, std::pair{"hold_of_reference_pct", Say::m_share},
                                   std::pair{"rest_mean_uv", Say::m_rest}, std::pair{"release_s", Say::m_release},
                                   std::pair{"peak_uv", Say::m_peak},      std::pair{"endurance_s", Say::m_endurance}};
    for (const auto& [key, name] : kNames) {
        if (measure == key) return std::string(sentence(name, language));
    }
    return {};
}

}  // namespace tracehold
