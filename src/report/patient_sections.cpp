#include "report/patient_sections.hpp"

#include <initializer_list>

#include "report/local_text.hpp"
#include "report/words.hpp"

namespace tracehold {
namespace {

std::string how_to(std::string_view posture, Language language) {
    if (posture.empty()) return say<Say::posture_unknown>(language);
    if (const auto known = known_posture(posture)) return std::string(sentence(known->how, language));
    return say<Say::posture_named>(language, posture_words(posture, language));
}

}  // namespace

Section stop_section(Language language) {
    Section section{say<Say::stop_title>(language), {}};
    const auto add = [&](Say lead, Tone tone, std::initializer_list<Say> signs) {
        section.blocks.emplace_back(Paragraph{std::string(sentence(lead, language)), tone});
        List list;
        for (const Say sign : signs) list.items.emplace_back(sentence(sign, language));
        section.blocks.emplace_back(std::move(list));
    };
    add(Say::emergency_if, Tone::reject, {Say::emergency_legs, Say::emergency_numb, Say::emergency_hold, Say::emergency_pass});
    add(Say::stop_if, Tone::caution,
        {Say::stop_pain, Say::stop_bleeding, Say::stop_fever, Say::stop_blood, Say::stop_urine, Say::stop_lump,
         Say::stop_rash, Say::stop_broken});
    section.blocks.emplace_back(Paragraph{say<Say::our_number>(language)});
    add(Say::ask_first_if, Tone::caution,
        {Say::ask_pregnant, Say::ask_surgery, Say::ask_infection, Say::ask_prolapse, Say::ask_behind, Say::ask_allergy,
         Say::ask_implant});
    return section;
}

Section posture_section(std::string_view posture, Language language) {
    return {say<Say::sit_or_lie>(language),
            {Paragraph{how_to(posture, language)}, Paragraph{say<Say::posture_shown>(language)}}};
}

Section closing_section(Language language) {
    return {"", {Paragraph{say<Say::therapist_first>(language) + " " + say<Say::patient_limits>(language)}}};
}

Section sheet_closing_section(Language language) {
    return {"", {Paragraph{say<Say::therapist_first>(language) + " " + say<Say::sheet_limits>(language)}}};
}

Section review_section(Language language) {
    if (language == Language::en) return {};
    return {"", {Paragraph{say<Say::not_reviewed>(language)}}};
}

}  // namespace tracehold
