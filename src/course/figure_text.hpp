#pragma once
// Numbers inside sentences: rounded for reading only.
#include <string>
#include <string_view>

namespace tracehold {

// By unit: s two decimals, % none, else one; one more below 1, none from 100 on.
int decimals_of(double value, std::string_view unit);
std::string figure(double value, std::string_view unit);            // "19.8"
std::string with_unit(double value, std::string_view unit);         // "19.8 µV"
std::string signed_figure(double value, std::string_view unit);     // "+39", "-12", "0"
std::string signed_with_unit(double value, std::string_view unit);  // "+39 %"

}  // namespace tracehold
