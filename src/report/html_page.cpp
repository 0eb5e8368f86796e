#include <algorithm>
#include <variant>

#include "report/html_blocks.hpp"
#include "report/page_style.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

// As a language tag is written; anything else is left to English.
Html page_language(const Report& report) {
    const auto letters = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-'; };
    const bool tag = !report.language.empty() && std::all_of(report.language.begin(), report.language.end(), letters);
    return html_text(tag ? report.language : "en");
}

// The policy comes right after the character set, before anything it could be late for.
Html before_style(const Report& report, const std::string& sheet) {
    Html head;
    head << "<!DOCTYPE html>\n<html lang=\"" << page_language(report)
         << "\">\n<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\""
            "default-src 'none'; style-src '"
         << html_text(policy_hash(sheet))
         << "'; base-uri 'none'; form-action 'none'\">\n<meta name=\"viewport\" content=\"width=device-width, "
            "initial-scale=1\">\n<meta name=\"referrer\" content=\"no-referrer\">\n<meta name=\"color-scheme\" "
            "content=\"light dark\">\n<title>"
         << html_text(report.title, kLongestHtmlTitle) << "</title>\n<style>";
    return head;
}

bool is_blank(const Section& section) { return section.heading.empty() && section.blocks.empty(); }

void write_section(HtmlBlocks& page, const Section& section) {
    if (is_blank(section)) return;
    if (section.heading.empty())
        page.no_heading();
    else
        page.heading(section.heading);
    for (const Block& block : section.blocks) {
        std::visit([&](const auto& content) { page.add(content); }, block);
    }
}

}  // namespace

std::string render_html(const Report& report, const PageStyle& style) {
    HtmlBlocks content(report);
    for (const Section& section : report.sections) write_section(content, section);
    const PageWords& words = page_words(report.language);
    Html page;
    page << "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#content\">" << html_text(words.skip)
         << "</a>\n<header><h1>" << html_text(report.title, kLongestHtmlTitle)
         << "</h1></header>\n<main id=\"content\">\n"
         << content.content() << "</main>\n<footer>" << html_text(kName) << " " << html_text(kVersion)
         << "</footer>\n</body>\n</html>\n";
    const std::string sheet = style_sheet(style, report.title);
    return before_style(report, sheet).markup() + sheet + page.markup();
}

}  // namespace tracehold
