#pragma once
// Texts that a file, a name or a note may hold and that no output may obey.
#include <string>
#include <vector>

namespace tracehold::test {

inline std::vector<std::string> hostile_texts() {
    return {"<script>alert(1)</script>",
            "<b>bold</b> & &amp; \"quotes\" 'single'",
            "a | b || c \\| d",
            "**bold** _it_ ~~no~~ `code` ``` # head",
            "- item",
            "12. item",
            "3) item",
            "+ plus",
            "=SUM(A1:A9)",
            "  =1+1",
            "@cmd|' /C calc'!A0",
            "\t=1+1",
            "+1",
            "-1",
            "＝1+1",
            "[link](http://example.org) ![image](x)",
            "see www.example.org and https://example.org/x?y",
            "\x1b[31mred\x1b[0m \x1b]0;title\x07",
            "bell\x07 back\x08 null",
            std::string("nul\0byte", 8),
            "line\nbreak\r\nand\ttab",
            "right \xE2\x80\xAEto left\xE2\x80\xAC and \xE2\x81\xA6isolate\xE2\x81\xA9",
            "C1 \xC2\x9B"
            "31m",
            "DEL \x7f",
            "not UTF-8 \xFF\xC3( \xE2\x82",
            "emoji \xF0\x9F\x98\x80 combining e\xCC\x81",
            "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D 12, \xD8\xB3\xD8\xA7\xD8\xB1\xD8\xA9 3",
            "comma, quote \" and 'apostrophe'",
            "{} {0} %s %n",
            "---",
            "===",
            std::string(300, 'x'),
            std::string(200, '|'),
            std::string(12000, '<')};
}

}  // namespace tracehold::test
