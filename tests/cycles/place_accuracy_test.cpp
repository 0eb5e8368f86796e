// How well contractions are placed, against bounds that a worse model fails. The whole table is printed by onset_table.
#include <doctest/doctest.h>

#include <array>
#include <string>

#include "support/onset_cells.hpp"
#include "support/onset_scores.hpp"

namespace tracehold::testing {
namespace {

constexpr int kContractions = 160;  // in sessions of ten
constexpr std::uint64_t kSeed = 77;

struct Bounds {
    const char* name;
    CellShape shape;
    double ramp_s;
    std::array<double, 4> error_ms;  // mean absolute, at 3, 6, 10 and 20 dB
    double early_pct;
};

// The first four: the aims for 200 contractions a cell. The last two have no aims; theirs is what 600 contractions
// gave.
constexpr std::array kBounds{Bounds{"abrupt", CellShape::linear, 0.0, {12, 6, 4, 4}, 1},
                             Bounds{"linear 0.3 s", CellShape::linear, 0.3, {38, 30, 21, 8}, 1},
                             Bounds{"linear 0.8 s", CellShape::linear, 0.8, {75, 57, 38, 15}, 5},
                             Bounds{"cosine 0.3 s", CellShape::cosine, 0.3, {46, 42, 36, 18}, 1},
                             Bounds{"exponential 0.3 s", CellShape::exponential, 0.3, {49, 25, 11, 4}, 1},
                             Bounds{"quadratic 0.3 s", CellShape::quadratic, 0.3, {90, 79, 48, 14}, 1}};

// Contractions of one session err together, so 160 of them are 16 sessions: the standard error of their mean error is
// about 0.085 of it, 0.12 where one session in ten is taken for another shape (10 dB, exponential). Three of them are
// allowed. Coverage: a cell's share has a standard error of about 6 %, a shape's (4 levels, both events) of about 2 %.
constexpr double kErrorAllowance = 1.25;
constexpr double kShapeAllowance = 1.36;
constexpr double kLeastCoveredCell_pct = 78.0;   // 90 less two
constexpr double kLeastCoveredShape_pct = 88.0;  // 90 less one
constexpr double kEarlyAllowance_pct = 4.0;

void check_event(const EventScore& score, const Bounds& bounds, double aim_ms) {
    const bool aimed = bounds.shape == CellShape::linear || bounds.shape == CellShape::cosine;
    CHECK(score.silent <= kContractions / 20);
    CHECK(score.mean_error_ms() <= (aimed ? kErrorAllowance : kShapeAllowance) * aim_ms);
    CHECK(score.covered_pct() >= kLeastCoveredCell_pct);
    CHECK(score.early_pct() <= bounds.early_pct + kEarlyAllowance_pct);
}

// Both events of a shape at all levels, each level checked on its own as well.
EventScore check_shape(const Bounds& bounds) {
    constexpr std::array kSnr_db{3.0, 6.0, 10.0, 20.0};
    EventScore both;
    for (std::size_t i = 0; i < kSnr_db.size(); ++i) {
        OnsetCell cell;
        cell.shape = bounds.shape;
        cell.ramp_s = bounds.ramp_s;
        cell.snr_db = kSnr_db[i];
        const CellScore score = score_cell(cell, kContractions, 10, kSeed);
        const std::string where =
            std::string(bounds.name) + " at " + std::to_string(static_cast<int>(cell.snr_db)) + " dB";
        CAPTURE(where);
        CHECK(score.missed == 0);
        check_event(score.onset, bounds, bounds.error_ms[i]);
        check_event(score.offset, bounds, bounds.error_ms[i]);
        both.answered += score.onset.answered + score.offset.answered;
        both.covered += score.onset.covered + score.offset.covered;
    }
    return both;
}

TEST_CASE("onsets and offsets of sessions of ten are as near as the model was built for") {
    EventScore all;
    for (const Bounds& bounds : kBounds) {
        const EventScore both = check_shape(bounds);
        CAPTURE(bounds.name);
        CHECK(both.covered_pct() >= kLeastCoveredShape_pct);
        all.answered += both.answered;
        all.covered += both.covered;
    }
    // Together 7680 intervals: 90-97 % wanted, a point more allowed where unlikely shapes widen them.
    CHECK(all.covered_pct() >= 92.0);
    CHECK(all.covered_pct() <= 98.0);
}

struct Trouble {
    const char* name;
    CellFaults faults;
    double error_ms;
};

TEST_CASE("hum beats bursts creep gaps and falling plateaus cost little at 10 dB") {
    // 21 ms without a fault; the bounds are the measured errors with the allowance above.
    for (const Trouble& t :
         {Trouble{"hum", {.hum_uv = 3.0}, 32.0}, Trouble{"beats", {.beats_uv = 40.0}, 32.0},
          Trouble{"bursts", {.bursts = true}, 30.0}, Trouble{"creep", {.creep = 0.2}, 48.0},
          Trouble{"gaps", {.masked = true}, 34.0}, Trouble{"falling plateau", {.falling_plateau = true}, 55.0}}) {
        OnsetCell cell;
        cell.faults = t.faults;
        const CellScore score = score_cell(cell, kContractions, 10, kSeed);
        CAPTURE(t.name);
        CHECK(score.missed == 0);
        CHECK(score.onset.mean_error_ms() <= t.error_ms);
        CHECK(score.offset.mean_error_ms() <= t.error_ms);
    }
}

// Recordings look like this as well: the envelope goes in a straight line or a curve from rest to plateau, and rises and falls
// differ; the intervals of a model with one shape for both, added to the power of rest, miss them.
TEST_CASE("rises from rest to plateau and falls of another shape are placed, and the intervals hold them") {
    struct Kind {
        const char* name;
        CellShape shape, fall;
        bool from_rest;
        std::array<double, 3> onset_ms, offset_ms;  // measured, with the allowance above
    };
    EventScore all;
    for (const Kind& kind : {Kind{"straight", CellShape::linear, CellShape::linear, true, {52, 28, 15}, {52, 27, 15}},
                             Kind{"rounded", CellShape::cosine, CellShape::cosine, true, {28, 39, 19}, {31, 36, 18}},
                             Kind{"fast, then slow", CellShape::exponential, CellShape::quadratic, false, {17, 9, 4}, {110, 39, 16}}}) {
        for (std::size_t i = 0; i < 3; ++i) {
            const double snr_db = std::array{10.0, 16.0, 24.0}[i];
            OnsetCell cell;
            cell.shape = kind.shape, cell.fall_shape = kind.fall, cell.from_rest = kind.from_rest;
            cell.ramp_s = 0.4, cell.snr_db = snr_db;
            const CellScore score = score_cell(cell, kContractions, 10, kSeed);
            CAPTURE(kind.name);
            CAPTURE(snr_db);
            CHECK(score.missed == 0);
            CHECK(score.onset.mean_error_ms() <= kind.onset_ms[i]);
            CHECK(score.offset.mean_error_ms() <= kind.offset_ms[i]);
            CHECK(score.onset.covered_pct() >= kLeastCoveredCell_pct);
            CHECK(score.offset.covered_pct() >= kLeastCoveredCell_pct);
            all.answered += score.onset.answered + score.offset.answered;
            all.covered += score.onset.covered + score.offset.covered;
        }
    }
    CHECK(all.covered_pct() >= kLeastCoveredShape_pct);
}

TEST_CASE("rapid contractions with half a second between them get times only where rest is seen") {
    OnsetCell cell;
    cell.ramp_s = 0.15;
    cell.work_s = 1.0, cell.rest_s = 0.5;
    cell.reaction_low_s = 0.1, cell.reaction_high_s = 0.25;
    const CellScore score = score_cell(cell, kContractions, 10, kSeed);
    CHECK(score.missed == 0);
    CHECK(score.onset.mean_error_ms() <= 25.0);
    CHECK(score.onset.covered_pct() >= kLeastCoveredCell_pct);
    CHECK(score.offset.covered_pct() >= kLeastCoveredCell_pct);
}

TEST_CASE("intervals of rises slower than any that is modelled hold their starts all the same") {
    OnsetCell cell;
    cell.ramp_s = 2.0, cell.work_s = 8.0, cell.rest_s = 8.0, cell.snr_db = 16.0;
    const CellScore score = score_cell(cell, kContractions, 10, kSeed);
    CHECK(score.missed == 0);
    CHECK(score.onset.covered_pct() >= kLeastCoveredCell_pct);
    CHECK(score.offset.covered_pct() >= kLeastCoveredCell_pct);
}

TEST_CASE("other sampling rates are placed as well as they can be") {
    for (const double rate : {500.0, 1000.0, 4000.0}) {
        OnsetCell cell;
        cell.rate_hz = rate;
        const CellScore score = score_cell(cell, kContractions, 10, kSeed);
        CAPTURE(rate);
        CHECK(score.missed == 0);
        CHECK(score.onset.mean_error_ms() <= (rate < 1000.0 ? 45.0 : 34.0));
        CHECK(score.onset.covered_pct() >= kLeastCoveredCell_pct);
    }
}

TEST_CASE("contractions that were not performed are not found and those that were are") {
    CellScore sum;
    for (const double db : {3.0, 6.0, 10.0, 20.0}) {
        OnsetCell cell;
        cell.snr_db = db;
        cell.faults.missed = true;
        const CellScore score = score_cell(cell, kContractions, 10, kSeed);
        sum.absent += score.absent, sum.invented += score.invented;
        sum.performed += score.performed, sum.missed += score.missed;
    }
    REQUIRE(sum.absent == 128);
    CHECK(sum.invented == 0);
    CHECK(sum.missed == 0);
}

}  // namespace
}  // namespace tracehold::testing
