#pragma once
// Recordings that are there twice, under two names.
#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "app/inputs.hpp"

namespace tracehold {

// input -> the first of those with the same bytes, as indices of the inputs.
struct Copies {
    std::map<std::size_t, std::size_t> same;     // the list and the corrections say the same of both
    std::map<std::size_t, std::size_t> at_odds;  // they don't, of all with these bytes; the first is here too, with the second
};

// Only inputs of equal size are read, and whole only where they begin alike. Those that cannot be read, and standard input, are copies of nothing: the work itself says
// what is wrong with them.
Copies find_copies(const std::vector<std::string>& inputs, const Options& options, const Companions& companions);

}  // namespace tracehold
