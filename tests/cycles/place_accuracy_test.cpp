// How well contractions are placed, against bounds that a worse model fails. The whole table is printed by onset_table.
#include <doctest/doctest.h>

#include <array>
#include <string>

#include "support/onset_cells.hpp"
#include "support/onset_scores.hpp"

namespace tracehold::testing {
namespace {

constexpr int kContractions = 160;  // in sessions of ten
constexpr int kOfEachShape = 200;
constexpr std::uint64_t kSeed = 77;

// Everything is made from one seed, so that the same program measures the same: bounds are what it measured, and a
// little for other compilers and libraries.
double a_little_more(double measured_ms) { return 1.02 * measured_ms + 1.0; }

struct Measured {
    const char* name;
    CellShape shape;
    double ramp_s;
    std::array<double, 4> onset_ms, offset_ms;  // mean absolute error at 3, 6, 10 and 20 dB
    std::array<double, 4> fifth_ms;             // of the time of 20 %, of rise or fall, whichever is the larger
    double least_covered_pct, early_pct;        // of any level, onsets or offsets
};

constexpr std::array kMeasured{Measured{"abrupt",
                                        CellShape::linear,
                                        0.0,
                                        {8.4, 4.5, 2.6, 1.9},
                                        {13.7, 3.4, 2.3, 1.7},
                                        {10.1, 4.3, 2.6, 1.9},
                                        96.5,
                                        0.0},
                               Measured{"linear 0.3 s",
                                        CellShape::linear,
                                        0.3,
                                        {35.3, 26.3, 20.8, 8.1},
                                        {36.7, 26.8, 20.1, 6.5},
                                        {30.3, 21.4, 14.1, 4.6},
                                        97.0,
                                        0.0},
                               Measured{"linear 0.8 s",
                                        CellShape::linear,
                                        0.8,
                                        {73.0, 53.2, 33.4, 10.8},
                                        {78.1, 58.4, 36.3, 12.1},
                                        {61.6, 43.8, 24.8, 7.3},
                                        95.5,
                                        4.5},
                               Measured{"cosine 0.3 s",
                                        CellShape::cosine,
                                        0.3,
                                        {49.7, 45.0, 37.7, 15.0},
                                        {47.1, 44.1, 39.1, 11.8},
                                        {23.4, 17.0, 11.7, 4.5},
                                        92.0,
                                        0.0},
                               Measured{"exponential 0.3 s",
                                        CellShape::exponential,
                                        0.3,
                                        {44.9, 23.7, 12.3, 4.1},
                                        {48.0, 23.5, 8.7, 3.7},
                                        {24.5, 12.9, 7.8, 3.0},
                                        93.0,
                                        0.5},
                               Measured{"quadratic 0.3 s",
                                        CellShape::quadratic,
                                        0.3,
                                        {99.2, 84.9, 50.4, 13.4},
                                        {90.1, 77.5, 46.1, 13.6},
                                        {28.8, 21.7, 14.9, 5.0},
                                        88.0,
                                        0.0}};

constexpr double kLeastCoveredCell_pct =
    78.0;  // 90 less two standard errors of a cell of 160, where nothing is said of it
constexpr double kLeastCoveredShape_pct = 88.0;  // 90 less one of a shape's
constexpr double kFewCovered_pct = 2.0;          // four of 200
constexpr double kFewEarly_pct = 0.5;            // one of 200

void check_event(const EventScore& score, const Measured& measured, double error_ms) {
    CHECK(score.silent == 0);
    CHECK(score.mean_error_ms() <= a_little_more(error_ms));
    CHECK(score.covered_pct() >= measured.least_covered_pct - kFewCovered_pct);
    CHECK(score.early_pct() <= measured.early_pct + kFewEarly_pct);
}

void add(EventScore& all, const EventScore& score) { all.answered += score.answered, all.covered += score.covered; }

TEST_CASE("onsets and offsets of sessions of ten are as near as the model was built for") {
    constexpr std::array kSnr_db{3.0, 6.0, 10.0, 20.0};
    EventScore onsets, offsets;
    for (const Measured& measured : kMeasured) {
        EventScore both;
        for (std::size_t i = 0; i < kSnr_db.size(); ++i) {
            OnsetCell cell;
            cell.shape = measured.shape;
            cell.ramp_s = measured.ramp_s;
            cell.snr_db = kSnr_db[i];
            const CellScore score = score_cell(cell, kOfEachShape, 10, kSeed);
            CAPTURE(measured.name);
            CAPTURE(cell.snr_db);
            CHECK(score.missed == 0);
            check_event(score.onset, measured, measured.onset_ms[i]);
            check_event(score.offset, measured, measured.offset_ms[i]);
            CHECK(score.rise_20.mean_error_ms() <= a_little_more(measured.fifth_ms[i]));
            CHECK(score.fall_20.mean_error_ms() <= a_little_more(measured.fifth_ms[i]));
            add(onsets, score.onset), add(both, score.onset);
            add(offsets, score.offset), add(both, score.offset);
        }
        CHECK(both.covered_pct() >= kLeastCoveredShape_pct);
    }
    // Of 4800 each; 95 % was aimed at, unlikely shapes widen them. Too wide is as wrong as too narrow.
    CHECK(onsets.covered_pct() >= 95.5);  // measured: 96.3
    CHECK(onsets.covered_pct() <= 97.1);
    CHECK(offsets.covered_pct() >= 95.9);  // measured: 96.7
    CHECK(offsets.covered_pct() <= 97.5);
}

TEST_CASE("one contraction alone and three are placed by what few tell of their shape") {
    struct Few {
        int session, contractions;
        double onset_ms, offset_ms, least_covered_pct;
    };
    for (const Few& few : {Few{1, 200, 22.4, 22.7, 99.5}, Few{3, 198, 21.0, 22.3, 99.0}}) {
        const CellScore score = score_cell({}, few.contractions, few.session, kSeed);
        CAPTURE(few.session);
        CHECK(score.missed == 0);
        CHECK(score.onset.silent + score.offset.silent == 0);
        CHECK(score.onset.mean_error_ms() <= a_little_more(few.onset_ms));
        CHECK(score.offset.mean_error_ms() <= a_little_more(few.offset_ms));
        CHECK(score.onset.covered_pct() >= few.least_covered_pct - kFewCovered_pct);
        CHECK(score.offset.covered_pct() >= few.least_covered_pct - kFewCovered_pct);
    }
}

struct Trouble {
    const char* name;
    CellFaults faults;
    std::array<double, 3> onset_ms, offset_ms;  // measured for abrupt rises and such of 0.3 and 0.8 s
    std::array<double, 3> onset_covered_pct, offset_covered_pct;
    double reaction_low_s = 0.15, reaction_high_s = 0.5;
};

// The least covered are the ends of abrupt contractions whose plateau falls and flutters: they lie 10 ms off in
// intervals as narrow as those of steady ones.
TEST_CASE("hum beats bursts creep gaps falling plateaus and anticipation cost little at 10 dB") {
    const Trouble troubles[] = {
        {"hum", {.hum_uv = 3.0}, {2.9, 21.8, 42.8}, {2.5, 19.8, 40.9}, {98.1, 99.4, 97.5}, {99.4, 98.8, 96.2}},
        {"beats", {.beats_uv = 40.0}, {2.8, 24.5, 39.9}, {2.5, 20.2, 37.8}, {97.5, 98.1, 97.5}, {99.4, 98.1, 97.5}},
        {"bursts", {.bursts = true}, {2.6, 22.5, 34.9}, {2.3, 20.0, 37.0}, {99.4, 96.2, 95.0}, {99.4, 99.4, 95.0}},
        {"creep", {.creep = 0.2}, {3.0, 38.0, 46.8}, {2.5, 31.7, 49.3}, {98.1, 90.6, 91.9}, {99.4, 96.2, 94.4}},
        {"gaps", {.masked = true}, {4.7, 21.5, 35.6}, {3.8, 20.4, 38.4}, {99.4, 98.1, 94.4}, {99.4, 99.4, 95.6}},
        {"falling plateau",
         {.falling_plateau = true},
         {2.6, 27.0, 39.9},
         {9.7, 33.8, 63.8},
         {98.8, 94.4, 93.8},
         {85.0, 95.0, 95.0}},
        {"anticipation",
         {},
         {2.6, 23.6, 31.0},
         {2.3, 19.6, 37.0},
         {100.0, 96.9, 98.1},
         {99.4, 98.1, 94.4},
         -0.35,
         0.0}};
    for (const Trouble& t : troubles) {
        for (std::size_t i = 0; i < 3; ++i) {
            OnsetCell cell;
            cell.ramp_s = std::array{0.0, 0.3, 0.8}[i];
            cell.faults = t.faults;
            cell.reaction_low_s = t.reaction_low_s, cell.reaction_high_s = t.reaction_high_s;
            const CellScore score = score_cell(cell, kContractions, 10, kSeed);
            CAPTURE(t.name);
            CAPTURE(cell.ramp_s);
            CHECK(score.missed == 0);
            CHECK(score.onset.silent + score.offset.silent == 0);
            CHECK(score.onset.mean_error_ms() <= a_little_more(t.onset_ms[i]));
            CHECK(score.offset.mean_error_ms() <= a_little_more(t.offset_ms[i]));
            CHECK(score.onset.covered_pct() >= t.onset_covered_pct[i] - kFewCovered_pct);
            CHECK(score.offset.covered_pct() >= t.offset_covered_pct[i] - kFewCovered_pct);
        }
    }
}

// Recordings look like this as well: the envelope goes in a straight line or a curve from rest to plateau, and rises
// and falls differ; the intervals of a model with one shape for both, added to the power of rest, miss them.
TEST_CASE("rises from rest to plateau and falls of another shape are placed, and the intervals hold them") {
    struct Kind {
        const char* name;
        CellShape shape, fall;
        bool from_rest;
        std::array<double, 3> onset_ms, offset_ms;  // measured, with the allowance above
    };
    EventScore all;
    for (const Kind& kind :
         {Kind{"straight", CellShape::linear, CellShape::linear, true, {52, 28, 15}, {52, 27, 15}},
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
