#pragma once
// What both pages of a referrer share.
#include <array>
#include <string>
#include <string_view>

#include "tracehold/plan/plan.hpp"
#include "tracehold/report/language.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// "Summary for the referrer: P-01, 3 March 2026"; when: "" = not known.
std::string referrer_title(const std::string& person, const std::string& when, Language language);

// What the page cannot say.
Section referrer_limits(Language language);

// "holds", in the language.
std::string kind_words(StepKind kind, Language language);

// The measures a referrer reads of, with their names in the language; "" for any other.
std::string referrer_name(std::string_view measure, Language language);
inline constexpr std::array<std::string_view, 4> kReferrerMeasures = {"hold_mean_uv", "hold_of_reference_pct",
                                                                      "rest_mean_uv", "release_s"};

}  // namespace tracehold
