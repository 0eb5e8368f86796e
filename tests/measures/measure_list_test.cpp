#include "tracehold/measures/measure_list.hpp"

#include <doctest/doctest.h>

#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

using namespace tracehold;

TEST_CASE("the list holds every measure once and in the order of the definitions") {
    const std::vector<std::string> keys{"work_mean_uv",
                                        "hold_mean_uv",
                                        "rest_mean_uv",
                                        "peak_uv",
                                        "best_second_uv",
                                        "lift_uv",
                                        "area_uvs",
                                        "reaction_s",
                                        "time_to_hold_s",
                                        "release_s",
                                        "above_threshold_pct",
                                        "reached_threshold",
                                        "fade_pct",
                                        "steadiness_cv_pct",
                                        "median_frequency_hz",
                                        "median_frequency_slope_pct_per_s",
                                        "endurance_s",
                                        "endurance_censored",
                                        "stray_s",
                                        "coactivity_pct",
                                        "coactivity_correlation"};
    REQUIRE(measure_list().size() == keys.size());
    for (std::size_t i = 0; i < keys.size(); ++i) {
        CHECK(measure_list()[i].key == keys[i]);
        CHECK(measure_index(keys[i]) == i);
    }
    CHECK_FALSE(measure_index("work_mean"));
    CHECK_FALSE(measure_index(""));
}

TEST_CASE("every measure explains itself in full") {
    for (const Measure& measure : measure_list()) {
        CAPTURE(std::string(measure.key));
        CHECK(static_cast<bool>(measure.compute));
        CHECK_FALSE(measure.title.empty());
        CHECK_FALSE(measure.family.empty());
        CHECK_FALSE(measure.source.empty());
        CHECK_FALSE(measure.ucum.empty());
        for (const std::string_view text : {measure.definition, measure.edges}) {
            CHECK(text.size() > 15);
            CHECK(text.back() == '.');
            CHECK(text.find("  ") == std::string_view::npos);
        }
        CHECK(measure.edges.find("Null") != std::string_view::npos);
    }
}

TEST_CASE("the key carries the unit") {
    const std::vector<std::pair<std::string, std::string>> endings{
        {"_pct_per_s", "%/s"}, {"_uvs", "µV·s"}, {"_uv", "µV"}, {"_pct", "%"}, {"_hz", "Hz"}, {"_s", "s"}};
    for (const Measure& measure : measure_list()) {
        CAPTURE(std::string(measure.key));
        std::string unit;
        for (const auto& [ending, of] : endings) {
            if (unit.empty() && measure.key.ends_with(ending)) unit = of;
        }
        CHECK(measure.unit == unit);
    }
}

TEST_CASE("no text judges a person or calls activity something else") {
    for (const Measure& measure : measure_list()) {
        for (const std::string_view text : {measure.title, measure.definition, measure.edges, measure.source}) {
            for (const char* word : {" tone", "strength", "normal", "weak", "hyperton", " pass ", "patient"}) {
                CAPTURE(std::string(text));
                CHECK(text.find(word) == std::string_view::npos);
            }
        }
    }
}

TEST_CASE("families follow one another without coming back") {
    std::set<std::string_view> closed;
    std::string_view current;
    for (const Measure& measure : measure_list()) {
        if (measure.family == current) continue;
        CHECK(closed.insert(measure.family).second);
        current = measure.family;
    }
}
