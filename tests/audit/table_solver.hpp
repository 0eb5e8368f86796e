#pragma once
// A reader who wants the hidden counts: knows everything shown, that counts are whole and not negative, and the sums.
// Exact: goes through all tables, row by row, by the sums that they can reach.
#include <algorithm>
#include <cstddef>
#include <optional>
#include <set>
#include <utility>
#include <vector>

namespace tracehold::test {

// What is shown of a row: empty = hidden. yes + no = total.
struct SeenRow {
    std::optional<std::size_t> yes, total;
};

struct PossibleRow {
    std::set<std::size_t> yes, no, total;
};

class TableSolver {
public:
    // most: no row of the reader's tables is larger than this, where nothing else bounds it.
    TableSolver(std::vector<SeenRow> rows, SeenRow all, std::size_t most)
        : rows_(std::move(rows)), all_(all), most_(most), width_(most + 1) {
        solve();
    }

    const std::vector<PossibleRow>& rows() const { return possible_; }
    const PossibleRow& all() const { return possible_all_; }

private:
    using Pair = std::pair<std::size_t, std::size_t>;  // yes, no

    std::vector<Pair> pairs_of(const SeenRow& row) const {
        std::vector<Pair> pairs;
        for (std::size_t yes = 0; yes <= most_; ++yes) {
            if (row.yes && yes != *row.yes) continue;
            for (std::size_t no = 0; yes + no <= most_; ++no) {
                if (!row.total || yes + no == *row.total) pairs.emplace_back(yes, no);
            }
        }
        return pairs;
    }
    std::size_t at(Pair sum) const { return sum.first * width_ + sum.second; }
    bool fits(Pair sum) const { return sum.first + sum.second <= most_; }
    std::vector<bool> nothing() const {
        std::vector<bool> sums(width_ * width_, false);
        sums[0] = true;
        return sums;
    }
    std::vector<Pair> listed(const std::vector<bool>& sums) const {
        std::vector<Pair> pairs;
        for (std::size_t i = 0; i < sums.size(); ++i) {
            if (sums[i]) pairs.emplace_back(i / width_, i % width_);
        }
        return pairs;
    }
    std::vector<bool> plus(const std::vector<bool>& sums, const std::vector<Pair>& row) const {
        std::vector<bool> more(width_ * width_, false);
        for (const Pair& sum : listed(sums)) {
            for (const Pair& pair : row) {
                const Pair both{sum.first + pair.first, sum.second + pair.second};
                if (fits(both)) more[at(both)] = true;
            }
        }
        return more;
    }

    void solve() {
        std::vector<std::vector<Pair>> choices;
        for (const SeenRow& row : rows_) choices.push_back(pairs_of(row));
        std::vector<std::vector<bool>> before{nothing()};
        for (const auto& row : choices) before.push_back(plus(before.back(), row));
        // Sums still to come that lead to a total the reader thinks possible, taken from the end.
        std::vector<bool> wanted(width_ * width_, false);
        for (const Pair& total : pairs_of(all_)) {
            wanted[at(total)] = true;
            if (before.back()[at(total)]) note(possible_all_, total);
        }
        possible_.resize(rows_.size());
        for (std::size_t i = rows_.size(); i-- > 0;) {
            std::vector<bool> earlier(width_ * width_, false);
            for (const Pair& sum : listed(before[i])) {
                for (const Pair& pair : choices[i]) {
                    const Pair both{sum.first + pair.first, sum.second + pair.second};
                    if (!fits(both) || !wanted[at(both)]) continue;
                    note(possible_[i], pair);
                    earlier[at(sum)] = true;
                }
            }
            wanted = std::move(earlier);
        }
    }

    static void note(PossibleRow& row, Pair pair) {
        row.yes.insert(pair.first);
        row.no.insert(pair.second);
        row.total.insert(pair.first + pair.second);
    }

    std::vector<SeenRow> rows_;
    SeenRow all_;
    std::size_t most_, width_;
    std::vector<PossibleRow> possible_;
    PossibleRow possible_all_;
};

}  // namespace tracehold::test
