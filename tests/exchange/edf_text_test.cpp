#include "exchange/edf_text.hpp"

#include <doctest/doctest.h>

#include "support/hostile_texts.hpp"
#include "support/plain_readers.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;

namespace {

std::vector<std::string> all_hostile_texts() {
    std::vector<std::string> texts = test::hostile_texts();
    const auto made = test::made_hostile_texts(1000, 20260302);
    texts.insert(texts.end(), made.begin(), made.end());
    return texts;
}

Recording with_marks(const std::vector<std::string>& texts) {
    Recording recording;
    recording.start = parse_civil_time("2026-03-02T07:30:05");
    recording.channels.resize(1);
    recording.channels[0].label = "EMG PFM";
    recording.channels[0].rate = Hertz{200.0};
    for (int i = 0; i < 400; ++i) recording.channels[0].samples.push_back(static_cast<float>(i % 7 - 3));
    for (std::size_t i = 0; i < texts.size(); ++i) recording.marks.push_back({0.001 * static_cast<double>(i), 0.0, texts[i]});
    return recording;
}

}  // namespace

TEST_CASE("an annotation holds no control character but tab and line ends") {
    CHECK(edf_annotation_text("tense\t1\r\n2 µ ✓") == "tense\t1\r\n2 µ ✓");
    CHECK(edf_annotation_text(std::string("a\x14" "b\x15" "c\0d\x1b", 8)) == "a\\x14b\\x15c\\x00d\\x1B");
    CHECK(edf_annotation_text("\xFF\xE2\x80\xAE") == "\\xFF\\xE2\\x80\\xAE");
    for (const std::string& text : all_hostile_texts()) {
        CAPTURE(text);
        std::string safe = edf_annotation_text(text);
        CHECK(is_utf8(safe));
        CHECK(edf_annotation_text(safe) == safe);
        std::erase_if(safe, [](char c) { return c == '\t' || c == '\r' || c == '\n'; });
        CHECK_FALSE(test::has_control(safe));
    }
}

TEST_CASE("hostile texts of marks read back as they were escaped and none makes another mark") {
    std::vector<std::string> texts;
    for (const std::string& text : all_hostile_texts()) {
        if (!text.empty()) texts.push_back(text);
    }
    const Recording again = read_edf(recording_edf(with_marks(texts)), "f");
    REQUIRE(again.marks.size() == texts.size());
    CHECK(again.notes.empty());
    for (std::size_t i = 0; i < texts.size(); ++i) CHECK(again.marks[i].text == edf_annotation_text(texts[i]));
}
