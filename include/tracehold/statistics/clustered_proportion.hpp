#pragma once
#include <cstddef>
#include <optional>
#include <span>

#include "tracehold/statistics/proportions.hpp"

namespace tracehold {

// What one person contributes to a share that counts several things a person. count <= total.
struct Cluster {
    std::size_t count = 0;
    std::size_t total = 0;
    bool operator==(const Cluster&) const = default;
};

// Share of all things, with a Wilson interval for as many independent things as they are worth: the total divided by
// the design effect (variance of the ratio between persons over that of independent things, at least 1). With one
// person, or 0 or all of the things, where no variance can be seen, they are worth one a person.
// Out: empty without any thing. Clusters of total 0 are left out. All clusters of 1: as wilson(), up to the factor k / (k - 1).
// Source: Kish 1965 (design effect), Korn & Graubard 1998 (effective sample size in an interval); both from memory.
std::optional<Proportion> clustered_proportion(std::span<const Cluster> clusters);

}  // namespace tracehold
