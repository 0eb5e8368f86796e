#include "support/onset_scores.hpp"

#include <cmath>

namespace tracehold::testing {

namespace {

void add_event(EventScore& score, const std::optional<EventTime>& event, double truth_s, double sign) {
    if (!event) {
        ++score.silent;
        return;
    }
    score.add(sign * (truth_s - event->time_s), event->low_s <= truth_s && truth_s <= event->high_s);
}

void add_fifth(EventScore& score, std::optional<double> time_s, double truth_s, double sign) {
    if (time_s)
        score.add(sign * (truth_s - *time_s), false);
    else
        ++score.silent;
}

}  // namespace

void EventScore::add(double early_by_s, bool inside) {
    constexpr double kEarly_s = 0.15;
    ++answered;
    covered += inside ? 1 : 0;
    early += early_by_s > kEarly_s ? 1 : 0;
    error_sum_s += std::abs(early_by_s);
}

CellScore score_cell(const OnsetCell& cell, int contractions, int session, std::uint64_t seed) {
    CellScore score;
    for (int done = 0; done < contractions; done += session) {
        const OnsetSession s = make_onset_session(cell, session, seed + static_cast<std::uint64_t>(done));
        const std::vector<Placement> placed = place_contractions(s.clean, {}, s.windows);
        for (std::size_t k = 0; k < placed.size(); ++k) {
            (s.performed[k] ? score.performed : score.absent) += 1;
            if (!s.performed[k])
                score.invented += placed[k].detected ? 1 : 0;
            else if (!placed[k].detected)
                ++score.missed;
            if (!s.performed[k] || !placed[k].detected) continue;
            add_event(score.onset, placed[k].onset, s.onset_s[k], 1.0);
            add_event(score.offset, placed[k].offset, s.offset_s[k], -1.0);
            add_fifth(score.rise_20, placed[k].rise_20_s, s.rise_20_s[k], 1.0);
            add_fifth(score.fall_20, placed[k].fall_20_s, s.fall_20_s[k], -1.0);
        }
    }
    return score;
}

}  // namespace tracehold::testing
