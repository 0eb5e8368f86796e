#pragma once
// Names of groups that may leave the care team.
#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "audit/person_figures.hpp"

namespace tracehold {

inline constexpr std::string_view kOtherGroups = "other groups";

// For others: the values of a named column are free text, so that a group of fewer than min_cell people is as good as
// their names; and no group of any kind is called as a person is. Such people are counted in kOtherGroups. Sites keep
// their names, small ones too.
// Out: how many people were moved.
std::size_t pool_groups(std::vector<PersonFigures>& people, const std::vector<std::string>& codes,
                        const AuditSettings& settings);

}  // namespace tracehold
