#pragma once
// What stands on every page that a patient takes home.
#include <cstddef>
#include <string_view>

#include "report/words.hpp"
#include "tracehold/report/language.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// When to stop and call, when an ambulance is needed, when to ask before the probe is used.
Section stop_section(Language language);

// How to sit or lie; posture: as the plan or recording states it, "" = not stated.
Section posture_section(std::string_view posture, Language language);

// What the page cannot say, and whose word comes first.
Section closing_section(Language language);
Section sheet_closing_section(Language language);  // of a sheet that tells of no recording

// That a translation was not reviewed; no blocks in English.
Section review_section(Language language);

// An item that tells how many; none of nothing.
template <Say one, Say many>
void add_count(List& list, std::size_t count, Language language) {
    if (count == 1) list.items.push_back(say<one>(language));
    if (count > 1) list.items.push_back(say<many>(language, count));
}

}  // namespace tracehold
