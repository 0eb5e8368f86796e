#pragma once
// What a session's contractions have in common: the typical length of a rise and how much it varies.
#include <cstddef>
#include <span>
#include <vector>

namespace tracehold {

// One hypothesis of a person's rises: the probability of each length (they sum to 1) and the weight of the hypothesis
// before anything was seen (those sum to 1 as well).
struct RiseHabit {
    double weight = 0.0;
    std::vector<double> of_length;
};
std::vector<RiseHabit> make_rise_habits();

// What one session says, from the log evidence of each contraction for each length: [contraction][length].
struct RisePosterior {
    double log_evidence = 0.0;                   // of all contractions together
    std::vector<std::vector<double>> of_length;  // probability of each length, per contraction
};
RisePosterior learn_rises(std::span<const std::vector<double>> log_evidence, std::span<const RiseHabit> habits);

// Divides by their sum, which is given back. In: a sum above 0.
double scale_to_one(std::span<double> values);

}  // namespace tracehold
