#include "read/voltage_unit.hpp"

#include <string>

#include "read/text_cell.hpp"

namespace tracehold {

std::optional<double> microvolts_per(std::string_view unit) {
    std::string name = lower_case(trimmed(unit));
    // U+00B5, U+03BC; the same letter in either place.
    for (const std::string_view micro : {"\xC2\xB5", "\xCE\xBC"}) {
        if (name.starts_with(micro)) {
            name.erase(0, 1);
            name[0] = 'u';
        }
    }
    if (name == "uv" || name == "microvolt" || name == "microvolts" || name == "uvolt" || name == "uvolts") return 1.0;
    if (name == "mv" || name == "millivolt" || name == "millivolts") return 1e3;
    if (name == "nv" || name == "nanovolt" || name == "nanovolts") return 1e-3;
    if (name == "v" || name == "volt" || name == "volts") return 1e6;
    return std::nullopt;
}

}  // namespace tracehold
