#pragma once
#include <string>
#include <string_view>

namespace tracehold {

// The one escaper for the texts of EDF+ annotations: UTF-8, no control characters but tab and line ends (EDF+ 2.2.2), so
// that no text ends its list or starts another. Others, bidi characters, and bytes that are no UTF-8, become \xNN.
std::string edf_annotation_text(std::string_view text);

}  // namespace tracehold
