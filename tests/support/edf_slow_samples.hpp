#pragma once
// The slow twin of the EDF sample reader: every sample on its own, straight from the text of the specification.
#include <cstddef>
#include <string_view>
#include <vector>

namespace tracehold::test {

// Physical values of one signal (from 0) in its own unit, record after record, gaps not looked at. In: a faultless
// file.
std::vector<double> slow_edf_samples(std::string_view bytes, std::size_t signal);

}  // namespace tracehold::test
