#include "report/text_width.hpp"

#include <algorithm>
#include <array>

#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

struct Block {
    std::uint32_t first, last;
};

constexpr std::array kWide = {Block{0x1100, 0x115F},   Block{0x2E80, 0x303E},   Block{0x3041, 0xA4CF},  Block{0xAC00, 0xD7A3},
                              Block{0xF900, 0xFAFF},   Block{0xFE30, 0xFE6F},   Block{0xFF01, 0xFF60},  Block{0xFFE0, 0xFFE6},
                              Block{0x1F300, 0x1F64F}, Block{0x1F680, 0x1F6FF}, Block{0x1F900, 0x1F9FF}, Block{0x20000, 0x3FFFD}};
constexpr std::array kMarks = {Block{0x0300, 0x036F}, Block{0x1AB0, 0x1AFF}, Block{0x1DC0, 0x1DFF},
                               Block{0x20D0, 0x20FF}, Block{0xFE00, 0xFE0F}, Block{0xFE20, 0xFE2F}};
constexpr std::array kRightToLeft = {Block{0x0590, 0x08FF}, Block{0xFB1D, 0xFDFF}, Block{0xFE70, 0xFEFC}, Block{0x10800, 0x10FFF},
                                     Block{0x1E800, 0x1EFFF}};

template <std::size_t n>
bool is_in(const std::array<Block, n>& blocks, std::uint32_t code) {
    return std::any_of(blocks.begin(), blocks.end(), [&](const Block& block) { return code >= block.first && code <= block.last; });
}

}  // namespace

std::uint32_t code_point(std::string_view sequence) {
    const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(sequence[i])); };
    if (sequence.size() == 1) return byte(0);
    std::uint32_t code = byte(0) & (0x7Fu >> sequence.size());
    for (std::size_t i = 1; i < sequence.size(); ++i) code = (code << 6) | (byte(i) & 0x3Fu);
    return code;
}

bool is_right_to_left(std::uint32_t code) { return is_in(kRightToLeft, code); }

std::size_t text_columns(std::string_view text) {
    std::size_t columns = 0;
    while (!text.empty()) {
        const std::size_t length = std::max<std::size_t>(1, utf8_length(text));
        const std::uint32_t code = code_point(text.substr(0, length));
        columns += is_in(kWide, code) ? 2 : is_in(kMarks, code) ? 0 : 1;
        text.remove_prefix(length);
    }
    return columns;
}

}  // namespace tracehold
