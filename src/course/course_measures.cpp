#include "tracehold/course/course_measures.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/muscle_seen.hpp"

namespace tracehold {
namespace {

constexpr std::array<std::string_view, 6> kAmplitudes = {"work_mean_uv", "hold_mean_uv",   "rest_mean_uv",
                                                         "peak_uv",      "best_second_uv", "area_uvs"};
constexpr std::array<std::string_view, 4> kPrimary = {"hold_mean_uv", kHoldOfReference, "rest_mean_uv", "release_s"};

template <std::size_t N>
bool is_one_of(const std::array<std::string_view, N>& keys, std::string_view key) {
    return std::find(keys.begin(), keys.end(), key) != keys.end();
}

CourseMeasure hold_of_reference() {
    return {.key = kHoldOfReference,
            .title = "Hold as share of the session's best second",
            .unit = "%",
            .ucum = "%",
            .definition =
                "Session mean of the hold mean, as percent of the highest best second of the same session. What "
                "changes both alike, as a new electrode or another gain, leaves it as it is. The reference "
                "contraction of the plan, measured at a visit, has no part in it.",
            .source = "our choice, because amplitudes differ between set-ups far more than within one session",
            .log_scale = true,
            .primary = true};
}

std::vector<CourseMeasure> all_measures() {
    std::vector<CourseMeasure> list;
    for (const Measure& measure : measure_list()) {
        if (measure.form != MeasureForm::amount) continue;
        list.push_back({.key = measure.key,
                        .title = measure.title,
                        .unit = measure.unit,
                        .ucum = measure.ucum,
                        .definition = measure.definition,
                        .source = measure.source,
                        .log_scale = is_one_of(kAmplitudes, measure.key),
                        .primary = is_one_of(kPrimary, measure.key)});
        if (measure.key == "hold_mean_uv") list.push_back(hold_of_reference());
    }
    return list;
}

}  // namespace

std::span<const CourseMeasure> course_measures() {
    static const std::vector<CourseMeasure> list = all_measures();
    return list;
}

std::string_view assessed_measure(StepKind kind) {
    switch (kind) {
        case StepKind::rest: return "rest_mean_uv";
        case StepKind::rapid: return "peak_uv";
        case StepKind::hold: return "hold_mean_uv";
        case StepKind::endurance: return "endurance_s";
    }
    return {};
}

std::optional<double> session_value(const SessionScore& score, const StepScore* step, std::string_view key) {
    if (!muscle_seen(score)) return std::nullopt;
    if (key == kHoldOfReference) {
        const auto hold_uv = session_value(score, step, "hold_mean_uv");
        const auto& reference_uv = score.reference_uv.value;
        if (!hold_uv || !reference_uv || *reference_uv <= 0.0) return std::nullopt;
        return 100.0 * *hold_uv / *reference_uv;
    }
    const auto& summaries = step != nullptr ? step->measures : score.measures;
    const auto index = measure_index(key);
    if (!index || *index >= summaries.size()) return std::nullopt;
    return summaries[*index].mean;
}

}  // namespace tracehold
