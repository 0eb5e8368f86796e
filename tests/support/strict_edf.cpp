#include "support/strict_edf.hpp"

#include <cstdlib>

namespace tracehold::test {
namespace {

struct Refused {};

// Text flush left, blanks behind it, printable ASCII.
std::string text_at(std::string_view bytes, std::size_t at, std::size_t width) {
    if (at + width > bytes.size()) throw Refused{};
    std::string text(bytes.substr(at, width));
    for (const char c : text) {
        if (c < 32 || c > 126) throw Refused{};
    }
    while (!text.empty() && text.back() == ' ') text.pop_back();
    if (!text.empty() && text.front() == ' ') throw Refused{};
    return text;
}

// -123.45 and nothing else.
double plain_number_at(std::string_view bytes, std::size_t at, std::size_t width = 8) {
    const std::string text = text_at(bytes, at, width);
    std::size_t digits = 0, points = 0;
    for (std::size_t i = text.starts_with('-') ? 1 : 0; i < text.size(); ++i) {
        if (text[i] == '.') ++points;
        else if (text[i] >= '0' && text[i] <= '9') ++digits;
        else throw Refused{};
    }
    if (digits == 0 || points > 1) throw Refused{};
    return std::strtod(text.c_str(), nullptr);
}

std::size_t count_at(std::string_view bytes, std::size_t at, std::size_t width = 8) {
    const double number = plain_number_at(bytes, at, width);
    if (number < 1 || number > 1e6 || number != static_cast<double>(static_cast<long>(number))) throw Refused{};
    return static_cast<std::size_t>(number);
}

struct Limits {
    double physical_min, physical_max, digital_min, digital_max;
};

double sample_at(std::string_view bytes, std::size_t at, std::size_t width, const Limits& limits) {
    double value = 0.0, place = 1.0;
    for (std::size_t i = 0; i < width; ++i, place *= 256.0) value += place * static_cast<unsigned char>(bytes[at + i]);
    if (value >= place / 2.0) value -= place;
    const double share = (value - limits.digital_min) / (limits.digital_max - limits.digital_min);
    return limits.physical_min + share * (limits.physical_max - limits.physical_min);
}

Limits limits_at(std::string_view bytes, std::size_t signals, std::size_t s) {
    const auto field = [&](std::size_t column) { return plain_number_at(bytes, 256 + column * signals + 8 * s); };
    const Limits limits{field(104), field(112), field(120), field(128)};
    if (limits.digital_min >= limits.digital_max || limits.physical_min == limits.physical_max) throw Refused{};
    return limits;
}

std::vector<StrictSignal> read(std::string_view bytes) {
    const bool bdf = bytes.starts_with("\xFF" "BIOSEMI");
    if (!bdf && !bytes.starts_with("0       ")) throw Refused{};
    const std::size_t width = bdf ? 3 : 2;
    const std::string reserved = text_at(bytes, 192, 44);
    if (!reserved.empty() && reserved != "24BIT") throw Refused{};
    const std::size_t signals = count_at(bytes, 252, 4), records = count_at(bytes, 236);
    const double record_s = plain_number_at(bytes, 244);
    if (signals > 50 || record_s <= 0.0 || plain_number_at(bytes, 184) != 256.0 * static_cast<double>(signals + 1)) throw Refused{};
    std::vector<StrictSignal> out(signals);
    std::vector<std::size_t> counts(signals);
    std::size_t record_samples = 0;
    for (std::size_t s = 0; s < signals; ++s) {
        counts[s] = count_at(bytes, 256 + 216 * signals + 8 * s);
        record_samples += counts[s];
        out[s].label = text_at(bytes, 256 + 16 * s, 16);
        out[s].unit = text_at(bytes, 256 + 96 * signals + 8 * s, 8);
        out[s].rate_hz = static_cast<double>(counts[s]) / record_s;
        if (out[s].rate_hz > 1e6) throw Refused{};
    }
    if (bytes.size() != 256 * (signals + 1) + records * record_samples * width) throw Refused{};
    std::size_t at = 256 * (signals + 1);
    for (std::size_t record = 0; record < records; ++record) {
        for (std::size_t s = 0; s < signals; ++s) {
            const Limits limits = limits_at(bytes, signals, s);
            for (std::size_t i = 0; i < counts[s]; ++i, at += width) out[s].samples.push_back(sample_at(bytes, at, width, limits));
        }
    }
    return out;
}

}  // namespace

std::optional<std::vector<StrictSignal>> read_strict_edf(std::string_view bytes) {
    try {
        return read(bytes);
    } catch (const Refused&) {
        return std::nullopt;
    }
}

}  // namespace tracehold::test
