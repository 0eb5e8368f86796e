#include "report/html_text.hpp"

#include <doctest/doctest.h>

#include <type_traits>

#include "support/hostile_texts.hpp"

using namespace tracehold;

namespace {

template <class Text>
concept CanBeWritten = requires(Html page, Text text) {
    page << text;
};

}  // namespace

TEST_CASE("only literals and escaped text get into a page") {
    static_assert(CanBeWritten<Html>);
    static_assert(!CanBeWritten<std::string>);
    static_assert(!CanBeWritten<std::string_view>);
    static_assert(!CanBeWritten<const char*>);
    static_assert(!std::is_constructible_v<Html, std::string>);
    CHECK((Html() << "<b>" << html_text("<b>")).markup() == "<b>&lt;b&gt;");
}

TEST_CASE("what means something in markup is written as an entity") {
    CHECK(html_text("<a href=\"x\" title='y'>&amp;</a>").markup() ==
          "&lt;a href=&quot;x&quot; title=&#39;y&#39;&gt;&amp;amp;&lt;/a&gt;");
    CHECK(html_text("18.2 ± 0.4 µV").markup() == "18.2 ± 0.4 µV");
    CHECK(html_text("").markup().empty());
}

TEST_CASE("control and bidi characters are shown and never sent") {
    CHECK(html_text("a\xE2\x80\xAE"
                    "b\xE2\x81\xA6\n\x1b\x07")
              .markup() == "a\\xE2\\x80\\xAEb\\xE2\\x81\\xA6\\x0A\\x1B\\x07");
    for (const std::string& text : test::hostile_texts()) {
        CAPTURE(text);
        const std::string markup = html_text(text).markup();
        CHECK(markup.find_first_of("<>\"'") == std::string::npos);
        for (const char c : markup) CHECK((static_cast<unsigned char>(c) >= 0x20 && c != 0x7F));
        CHECK(markup.find("\xE2\x80\xAE") == std::string::npos);
    }
}

TEST_CASE("emoji stay as they are, and words from right to left do not turn what stands beside them") {
    CHECK(html_text("a 😀 é").markup() == "a 😀 é");
    CHECK(html_text("שלום, 2026-03-03").markup() == "&#x2068;שלום&#x2069;, 2026-03-03");
    CHECK(html_text("of שלום כהן 12").markup() == "of &#x2068;שלום כהן&#x2069; 12");
    CHECK(html_text("سارة <1>").markup() == "&#x2068;سارة&#x2069; &lt;1&gt;");
}

TEST_CASE("a text of more than ten thousand characters ends with dots") {
    CHECK(html_text(std::string(10000, 'n')).markup().size() == 10000);
    CHECK(html_text(std::string(10001, 'n')).markup() == std::string(10000, 'n') + "...");
    CHECK(html_text("titles end sooner", 6).markup() == "titles...");
}

TEST_CASE("numbers in attributes carry no needless digits") {
    CHECK(html_number(12.0).markup() == "12");
    CHECK(html_number(12.04).markup() == "12");
    CHECK(html_number(12.25, 2).markup() == "12.25");
    CHECK(html_number(-0.04).markup() == "0");
    CHECK(html_number(100.0, 0).markup() == "100");
}

TEST_CASE("different anchors never give the same id") {
    CHECK(html_id("work_mean_uv") == "def-work_mean_uv");
    CHECK(html_id("a b") == "def-a.20b");
    CHECK(html_id("a.20b") != html_id("a b"));
    CHECK(html_id("\"><script>").find_first_of("<>\" ") == std::string::npos);
}
