// Prints, as Markdown, how well onsets and offsets are placed: this model for sessions of K contractions beside
// published methods.
//     onset_table [contractions a cell = 200] [seed = 1] [first cells = all] [K ... = 1 3 5 10]
// Every figure: mean absolute error in ms; for the model also the share of intervals that cover the truth and the share
// of claims more than 150 ms early (onsets) or late (offsets), in percent; '-N' where N contractions got no time. 20 %: the
// mean absolute error of the time at which a fifth of the height is passed, in ms, in sessions of the largest K. dB:
// 20 log10 of the RMS of plateau activity alone over the RMS of rest, both before the band-pass filter; rest 2 uV with
// a floor of 0.7 uV in it. Ramps lie within 30 % of the person's own. The referees see the same sessions as the largest
// K.
#include <fmt/core.h>

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <future>
#include <string>
#include <vector>

#include "support/onset_cells.hpp"
#include "support/onset_referees.hpp"
#include "support/onset_scores.hpp"

namespace tracehold::testing {
namespace {

OnsetCell make_cell(std::string name, CellShape shape, double ramp_s, CellFaults faults = {}) {
    OnsetCell cell;
    cell.name = std::move(name);
    cell.shape = shape;
    cell.ramp_s = ramp_s;
    cell.faults = faults;
    return cell;
}

std::vector<OnsetCell> all_cells() {
    using enum CellShape;
    std::vector<OnsetCell> cells{make_cell("abrupt", linear, 0.0),
                                 make_cell("linear 0.3 s", linear, 0.3),
                                 make_cell("linear 0.8 s", linear, 0.8),
                                 make_cell("cosine 0.3 s", cosine, 0.3),
                                 make_cell("exponential 0.3 s", exponential, 0.3),
                                 make_cell("quadratic 0.3 s", quadratic, 0.3),
                                 make_cell("0.3 s, hum 3 uV", linear, 0.3, {.hum_uv = 3.0}),
                                 make_cell("0.3 s, beats 40 uV", linear, 0.3, {.beats_uv = 40.0}),
                                 make_cell("0.3 s, rest creeps by 20 %", linear, 0.3, {.creep = 0.2}),
                                 make_cell("0.3 s, bursts in the rest", linear, 0.3, {.bursts = true}),
                                 make_cell("0.3 s, falling plateau", linear, 0.3, {.falling_plateau = true}),
                                 make_cell("0.3 s, 60 ms masked", linear, 0.3, {.masked = true}),
                                 make_cell("0.3 s, anticipated", linear, 0.3),
                                 make_cell("0.15 s, rapid 1 s / 2 s", linear, 0.15),
                                 make_cell("0.15 s, rapid 1 s / 0.5 s", linear, 0.15)};
    cells[12].reaction_low_s = -0.35, cells[12].reaction_high_s = 0.0;
    cells[13].work_s = 1.0, cells[13].rest_s = 2.0;
    cells[14].work_s = 1.0, cells[14].rest_s = 0.5, cells[14].reaction_low_s = 0.1, cells[14].reaction_high_s = 0.25;
    return cells;
}

struct RefereeScore {
    EventScore onset, offset;
};

// Every referee on one contraction, with three seconds before it and four after.
void add_contraction(std::vector<RefereeScore>& scores, const OnsetCell& cell, const OnsetSession& s, std::size_t k) {
    const TimeSpan w = s.windows[k];
    const SampleRange range = samples_in({w.begin_s - 3.0, w.end_s + 4.0}, Hertz{cell.rate_hz}, s.clean.uv.size());
    const std::span<const float> uv = std::span(s.clean.uv).subspan(range.begin, range.size());
    const double start = static_cast<double>(range.begin) / cell.rate_hz, begin = w.begin_s - start,
                 end = w.end_s - start;
    for (std::size_t r = 0; r < scores.size(); ++r) {
        const Referee referee = referees()[r].onset;
        const auto onset = referee({uv, cell.rate_hz, begin, begin + 0.55 * w.length_s() - 0.1});
        const auto offset = referee_offset(referee, uv, cell.rate_hz, end, begin + 0.45 * w.length_s());
        if (onset)
            scores[r].onset.add(s.onset_s[k] - start - *onset, false);
        else
            ++scores[r].onset.silent;
        if (offset)
            scores[r].offset.add(*offset + start - s.offset_s[k], false);
        else
            ++scores[r].offset.silent;
    }
}

std::vector<RefereeScore> score_referees(const OnsetCell& cell, int contractions, int session, std::uint64_t seed) {
    std::vector<RefereeScore> scores(referees().size());
    for (int done = 0; done < contractions; done += session) {
        const OnsetSession s = make_onset_session(cell, session, seed + static_cast<std::uint64_t>(done));
        if (cell.faults.masked) continue;  // the referees know no gaps
        for (std::size_t k = 0; k < s.windows.size(); ++k) add_contraction(scores, cell, s, k);
    }
    return scores;
}

std::string silent_text(const EventScore& score) { return score.silent > 0 ? fmt::format(" -{}", score.silent) : ""; }

std::string model_text(const EventScore& score) {
    return fmt::format("{:.0f} ({:.0f}, {:.1f}){}", score.mean_error_ms(), score.covered_pct(), score.early_pct(),
                       silent_text(score));
}

std::string referee_text(const EventScore& score) {
    if (score.answered == 0) return "none";
    return fmt::format("{:.0f} ({:.0f}){}", score.mean_error_ms(), score.early_pct(), silent_text(score));
}

std::string rows_of(const OnsetCell& cell, int contractions, std::uint64_t seed, const std::vector<int>& sessions) {
    std::vector<CellScore> model;
    for (const int k : sessions) model.push_back(score_cell(cell, contractions, k, seed));
    const std::vector<RefereeScore> others = score_referees(cell, contractions, sessions.back(), seed);
    std::string rows;
    for (const bool offset : {false, true}) {
        rows += fmt::format("| {} | {:.0f} | {} |", cell.name, cell.snr_db, offset ? "offset" : "onset");
        for (const CellScore& s : model) rows += fmt::format(" {} |", model_text(offset ? s.offset : s.onset));
        const EventScore& fifth = offset ? model.back().fall_20 : model.back().rise_20;
        rows += fmt::format(" {:.0f} |", fifth.mean_error_ms());
        for (const RefereeScore& s : others) rows += fmt::format(" {} |", referee_text(offset ? s.offset : s.onset));
        rows += '\n';
    }
    return rows;
}

// The contrasts of a cell side by side.
void print_table(int contractions, std::uint64_t seed, std::size_t first, const std::vector<int>& sessions) {
    std::string head = "| cell | dB | event |", rule = "|---|---|---|";
    for (const int k : sessions) head += fmt::format(" K={} |", k), rule += "---|";
    head += fmt::format(" 20 %, K={} |", sessions.back()), rule += "---|";
    for (const NamedReferee& r : referees()) head += fmt::format(" {} |", r.name), rule += "---|";
    fmt::print("{}\n{}\n", head, rule);
    std::vector<OnsetCell> cells = all_cells();
    cells.resize(std::min(first, cells.size()));
    for (OnsetCell cell : cells) {
        std::vector<std::future<std::string>> rows;
        for (const double db : {3.0, 6.0, 10.0, 20.0}) {
            cell.snr_db = db;
            rows.push_back(std::async(std::launch::async, rows_of, cell, contractions, seed, std::cref(sessions)));
        }
        for (std::future<std::string>& each : rows) fmt::print("{}", each.get());
        std::fflush(stdout);
    }
}

}  // namespace
}  // namespace tracehold::testing

int main(int argc, char** argv) {
    const int contractions = argc > 1 ? std::atoi(argv[1]) : 200;
    const auto seed = static_cast<std::uint64_t>(argc > 2 ? std::atoll(argv[2]) : 1);
    const std::size_t first = argc > 3 ? static_cast<std::size_t>(std::atoll(argv[3])) : std::size_t{100};
    std::vector<int> sessions;
    for (int i = 4; i < argc; ++i) sessions.push_back(std::atoi(argv[i]));
    if (sessions.empty()) sessions = {1, 3, 5, 10};
    tracehold::testing::print_table(contractions, seed, first, sessions);
    return 0;
}
