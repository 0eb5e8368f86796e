#include "support/edf_slow_samples.hpp"

#include <charconv>
#include <string>

namespace tracehold::test {
namespace {

double number_at(std::string_view bytes, std::size_t at, std::size_t width) {
    double value = 0.0;
    std::from_chars(bytes.data() + at, bytes.data() + at + width, value);
    return value;
}

// Bytes as digits of base 256, least first; the upper half of the range stands for negative numbers.
double digital(std::string_view bytes, std::size_t at, std::size_t width) {
    double value = 0.0, place = 1.0;
    for (std::size_t i = 0; i < width; ++i, place *= 256.0) value += place * static_cast<unsigned char>(bytes[at + i]);
    return value < place / 2.0 ? value : value - place;
}

}  // namespace

std::vector<double> slow_edf_samples(std::string_view bytes, std::size_t signal) {
    const std::size_t width = bytes[0] == '0' ? 2 : 3;
    const auto signals = static_cast<std::size_t>(number_at(bytes, 252, 4));
    const auto records = static_cast<std::size_t>(number_at(bytes, 236, 8));
    const auto samples_of = [&](std::size_t s) {
        return static_cast<std::size_t>(number_at(bytes, 256 + 216 * signals + 8 * s, 8));
    };
    const auto limit = [&](std::size_t column) { return number_at(bytes, 256 + column * signals + 8 * signal, 8); };
    std::vector<double> out;
    for (std::size_t record = 0; record < records; ++record) {
        for (std::size_t i = 0; i < samples_of(signal); ++i) {
            std::size_t at = 256 * (signals + 1);
            for (std::size_t r = 0; r <= record; ++r) {
                for (std::size_t s = 0; s < (r < record ? signals : signal); ++s) at += width * samples_of(s);
            }
            const double share = (digital(bytes, at + width * i, width) - limit(120)) / (limit(128) - limit(120));
            out.push_back(share * (limit(112) - limit(104)) + limit(104));
        }
    }
    return out;
}

}  // namespace tracehold::test
