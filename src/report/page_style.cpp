#include "report/page_style.hpp"

#include <fmt/format.h>

#include <array>

#include "report/page_style_rules.hpp"
#include "report/text_width.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/core/version.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLongestFoot = 90;  // code points: one line of paper

constexpr std::array kPalette = {
    PageColor{"paper", "#ffffff", "#14171e", "paper", 0.0},
    PageColor{"panel", "#f5f3ee", "#1c212b", "paper", 0.0},
    PageColor{"ink", "#1c2230", "#e9ebf1", "paper", 7.0},
    PageColor{"quiet", "#545e70", "#aab3c3", "panel", 4.5},
    PageColor{"rule", "#dcdee3", "#333b49", "paper", 0.0},
    PageColor{"edge", "#7a8392", "#7c8698", "paper", 3.0},
    PageColor{"link", "#2f2f86", "#b9bbff", "panel", 4.5},
    PageColor{"data", "#3c398f", "#a8a6ff", "paper", 4.5},
    PageColor{"under", "#e6e6f3", "#272a46", "paper", 0.0},
    PageColor{"band", "#dfe2ea", "#2b3242", "paper", 0.0},
    PageColor{"later", "#a34a12", "#ffb27d", "paper", 4.5},
    PageColor{"laterband", "#f6dfce", "#43301f", "paper", 0.0},
    PageColor{"work", "#8d6b00", "#dcb44a", "paper", 3.0},
    PageColor{"tint", "#f8f2e0", "#26231a", "paper", 0.0},
    PageColor{"threshold", "#a62a58", "#ff8fb0", "tint", 4.5},
    PageColor{"target", "#0f6a59", "#63d2b8", "tint", 4.5},
    PageColor{"caution", "#7a5200", "#f0c565", "panel", 4.5},
    PageColor{"reject", "#9c1b30", "#ff95a2", "panel", 4.5},
};

std::string variables(bool dark) {
    std::string text;
    for (const PageColor& color : kPalette)
        text += fmt::format("--{}:{};", color.name, dark ? color.dark : color.light);
    return text;
}

bool is_plain(std::string_view sequence) {
    const char c = sequence.front();
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    return sequence.size() == 1 && (letter || (c >= '0' && c <= '9') || c == ' ');
}

std::string css_text(std::string_view raw) {
    const std::string safe = shown(raw, kLongestFoot);
    std::string out;
    for (std::string_view rest = safe; !rest.empty();) {
        const std::string_view sequence = rest.substr(0, utf8_length(rest));
        out += is_plain(sequence) ? std::string(sequence) : fmt::format("\\{:x} ", code_point(sequence));
        rest.remove_prefix(sequence.size());
    }
    return out;
}

const char* css_size(Paper paper) { return paper == Paper::a4 ? "A4" : "letter"; }

}  // namespace

// The rule stands at the beginning of a line, where no text of a page does.
bool is_printed_on(std::string_view page, Paper paper) {
    return page.find(fmt::format("\n@page{{size:{};", css_size(paper))) != std::string_view::npos;
}

std::span<const PageColor> page_palette() { return kPalette; }

std::string style_sheet(const PageStyle& style, std::string_view title) {
    const std::string light = variables(false);
    std::string sheet =
        fmt::format(":root{{{}color-scheme:light dark}}\n@media (prefers-color-scheme:dark){{:root{{{}}}}}\n", light,
                    variables(true));
    sheet += kScreenRules;
    if (style.large_type) sheet += ":root{font-size:125%}\n";
    sheet += fmt::format("@media print{{:root{{{}color-scheme:light}}\n{}}}\n", light, kPrintRules);
    if (style.large_type) sheet += "@media print{:root{font-size:13pt}main ul{break-inside:avoid}}\n";
    if (style.small_print) sheet += "@media print{:root{font-size:9pt}p,li{max-width:none}}\n";
    sheet += fmt::format(
        "@page{{size:{};margin:16mm 15mm 18mm;@bottom-left{{content:\"{}\";font:8pt sans-serif;color:#545e70}}"
        "@bottom-center{{content:\"{}\";font:8pt sans-serif;color:#545e70}}"
        "@bottom-right{{content:counter(page) \" / \" counter(pages);font:8pt sans-serif;color:#545e70}}}}\n",
        css_size(style.paper), css_text(title), css_text(fmt::format("{} {}", kName, kVersion)));
    return sheet;
}

std::string policy_hash(std::string_view bytes) {
    static constexpr std::string_view kDigits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const std::string hex = sha256_hex(bytes);
    const auto nibble = [&](std::size_t i) {
        const char c = i < hex.size() ? hex[i] : '0';
        return static_cast<unsigned>(c <= '9' ? c - '0' : c - 'a' + 10);
    };
    // Three hex digits are two of base 64; 64 hex digits end with one digit of padding.
    std::string out = "sha256-";
    for (std::size_t i = 0; i < hex.size(); i += 3) {
        const unsigned bits = nibble(i) << 8 | nibble(i + 1) << 4 | nibble(i + 2);
        out += kDigits[bits >> 6];
        out += kDigits[bits & 63];
    }
    out.resize(std::string_view("sha256-").size() + 43);
    return out + "=";
}

}  // namespace tracehold
