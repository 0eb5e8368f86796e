#include <doctest/doctest.h>

#include "support/golden.hpp"
#include "tracehold/exchange/write_inspection.hpp"

using namespace tracehold;

namespace {

Inspection made_up_inspection() {
    const Quality quality{.masked_s = 0.5, .findings = {{"flat", Severity::caution, "flat for 0.5 s", {{3.0, 3.5}}}}};
    return {.source = "a.edf",
            .sha256 = std::string(64, 'a'),
            .format = FileFormat::edf_plus_d,
            .person = "P-014",
            .start = parse_civil_time("2026-03-02T07:40:00"),
            .posture = "lying",
            .duration_s = 12.5,
            .channels = {{.label = "EMG PFM", .rate_hz = 1000.0, .kind = ChannelKind::raw, .unit = "uV", .samples = 12500, .valid = 12000, .low = -40.5,
                          .high = 41.25, .quality = quality, .noise_floor_uv = 1.5},
                         {.label = "Pressure", .rate_hz = 10.0, .kind = ChannelKind::other, .samples = 125, .unclean = "it holds no voltage"}},
            .marks = {{1.0, 0.0, "contract"}},
            .gaps = {{5.0, 5.5}},
            .notes = {{"gap", "record 5", "half a second is missing"}}};
}

}  // namespace

TEST_CASE("golden: the JSON of an inspection") { CHECK_GOLDEN("inspection.json", inspection_json(made_up_inspection())); }
