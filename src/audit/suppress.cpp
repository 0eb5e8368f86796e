// Denominators first: a small one is hidden, and then the next larger ones until at least two are hidden that come to
// min_cell or more together. Then numerators: those of hidden rows and those with a small yes or no are hidden, and
// then the next larger rows until the hidden rows, taken together, are no small count and leave every hidden number
// room. Where all rows are hidden and that is not enough, the row of all is hidden. Hidden rows with known sums r and
// known columns (y, n) form a transport table, where yes of a row goes from max(0, r - n) to min(r, y), and reaches
// both. Limit: it protects one table against its own margins; what other tables tell is the caller's (CountRow::closed).
#include "audit/suppress.hpp"

#include <algorithm>
#include <numeric>

namespace tracehold {
namespace {

class RowSuppression {
public:
    RowSuppression(const CountRow& all, RowShown all_shown, std::span<const CountRow> rows, const TableShape& shape)
        : all_(all), all_shown_(all_shown), rows_(rows), shape_(shape), shown_(rows.size()) {
        order_.resize(rows.size());
        std::iota(order_.begin(), order_.end(), std::size_t{0});
        std::stable_sort(order_.begin(), order_.end(),
                         [&](std::size_t a, std::size_t b) { return rows[a].total() < rows[b].total(); });
    }

    void hide_denominators();
    void hide_numerators();
    void show_what_is_plain();

    std::vector<RowShown> rows() const { return shown_; }
    RowShown all() const { return all_shown_; }

private:
    bool small(std::size_t count) const { return count > 0 && count < shape_.min_cell; }
    bool small_total(const CountRow& row) const {
        return row.closed || small(row.total()) || small(row.people) || (row.people > 0 && tells_people(row));
    }
    // Nobody is behind less than one thing: the things bound the people.
    bool tells_people(const CountRow& row) const {
        return shape_.hide_people && row.total() + 1 < row.people + shape_.min_cell;
    }
    bool small_part(const CountRow& row) const {
        return small(row.yes) || small(row.no) || small(row.people_yes) || small(row.people_no);
    }
    bool enough(std::size_t count, std::size_t people) const {
        return count >= shape_.min_cell && people >= shape_.min_cell;
    }
    std::size_t people_known(std::size_t rows) const { return shape_.own_people ? rows : 0; }
    std::size_t hidden_rows(bool RowShown::*part) const {
        return static_cast<std::size_t>(
            std::count_if(shown_.begin(), shown_.end(), [&](const RowShown& row) { return !(row.*part); }));
    }
    CountRow hidden_sum(bool RowShown::*part) const;
    bool denominators_safe() const;
    bool numerators_safe() const;
    bool has_room(const CountRow& row, const CountRow& hidden) const;
    bool hide_next(bool RowShown::*part);

    CountRow all_;
    RowShown all_shown_;
    std::span<const CountRow> rows_;
    TableShape shape_;
    std::vector<RowShown> shown_;
    std::vector<std::size_t> order_;  // small rows first
};

// The people behind rows that share people are at least those of the largest row.
CountRow RowSuppression::hidden_sum(bool RowShown::*part) const {
    CountRow sum;
    const auto join = [&](std::size_t& people, std::size_t more) {
        people = shape_.own_people ? people + more : std::max(people, more);
    };
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        if (shown_[i].*part) continue;
        sum.yes += rows_[i].yes;
        sum.no += rows_[i].no;
        join(sum.people_yes, rows_[i].people_yes);
        join(sum.people_no, rows_[i].people_no);
        join(sum.people, rows_[i].people);
    }
    return sum;
}

// The smallest shown row that counts anything; false where there is none.
bool RowSuppression::hide_next(bool RowShown::*part) {
    for (const std::size_t i : order_) {
        if (!(shown_[i].*part) || rows_[i].total() == 0) continue;
        shown_[i].*part = false;
        return true;
    }
    return false;
}

// Where the row of all is hidden, one hidden row would do for the arithmetic; but then it would be plain that it is a
// small one. That a row is there at all says that somebody is behind it: the others take one each from the sum.
bool RowSuppression::denominators_safe() const {
    const std::size_t hidden = hidden_rows(&RowShown::denominator);
    if (hidden == 0) return all_shown_.denominator || !shape_.add_up;
    const CountRow sum = hidden_sum(&RowShown::denominator);
    const std::size_t others = hidden - 1;
    return hidden >= 2 && sum.total() >= shape_.min_cell + others &&
           sum.people >= shape_.min_cell + people_known(others) && !tells_people(sum);
}

void RowSuppression::hide_denominators() {
    if (small_total(all_)) all_shown_.denominator = false;
    for (std::size_t i = 0; i < rows_.size(); ++i) shown_[i].denominator = !small_total(rows_[i]);
    while (!denominators_safe()) {
        if (hide_next(&RowShown::denominator)) continue;
        if (!all_shown_.denominator) break;
        all_shown_.denominator = false;
    }
    if (!all_shown_.denominator) all_shown_.numerator = false;
}

bool RowSuppression::has_room(const CountRow& row, const CountRow& hidden) const {
    const std::size_t least = row.total() > hidden.no ? row.total() - hidden.no : 0;
    const std::size_t most = std::min(row.total(), hidden.yes);
    return most + 1 >= least + shape_.min_cell;
}

bool RowSuppression::numerators_safe() const {
    if (!shape_.add_up) return true;
    const std::size_t rows = hidden_rows(&RowShown::numerator);
    if (!all_shown_.numerator) return rows >= 2;
    if (rows == 0) return true;
    const CountRow hidden = hidden_sum(&RowShown::numerator);
    if (hidden.yes > 0 && !enough(hidden.yes, hidden.people_yes)) return false;
    if (hidden.no > 0 && !enough(hidden.no, hidden.people_no)) return false;
    if (hidden.yes == 0 || hidden.no == 0) return true;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const bool sum_known = shown_[i].denominator && !shown_[i].numerator;
        if (sum_known && !has_room(rows_[i], hidden)) return false;
    }
    return true;
}

void RowSuppression::hide_numerators() {
    if (small_part(all_)) all_shown_.numerator = false;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        shown_[i].numerator = shown_[i].denominator && !small_part(rows_[i]);
    }
    while (!numerators_safe()) {
        if (hide_next(&RowShown::numerator)) continue;
        if (!all_shown_.numerator) break;
        all_shown_.numerator = false;
    }
}

void RowSuppression::show_what_is_plain() {
    if (!shape_.add_up || !all_shown_.numerator) return;
    const CountRow hidden = hidden_sum(&RowShown::numerator);
    for (RowShown& row : shown_) {
        if (hidden.yes == 0 || (hidden.no == 0 && row.denominator)) row.numerator = true;
    }
}

bool is_small(std::size_t count, std::size_t min_cell) { return count > 0 && count < min_cell; }

bool flow_safe(const std::vector<FlowPart*>& parts, std::size_t min_cell) {
    std::size_t hidden = 0, sum = 0, known = 0;
    for (const FlowPart* part : parts) {
        if (part->shown) continue;
        ++hidden;
        sum += part->count;
        known += part->at_least;
    }
    return hidden == 0 || (hidden >= 2 && sum + 1 >= min_cell + known);
}

FlowPart* smallest_shown(const std::vector<FlowPart*>& parts, const FlowPart* known) {
    FlowPart* smallest = nullptr;
    for (FlowPart* part : parts) {
        if (!part->shown || part->count == 0 || part == known) continue;
        if (smallest == nullptr || part->count < smallest->count) smallest = part;
    }
    return smallest;
}

}  // namespace

std::vector<RowShown> suppress_rows(const CountRow& all, RowShown& all_shown, std::span<const CountRow> rows,
                                    const TableShape& shape) {
    RowSuppression table(all, all_shown, rows, shape);
    table.hide_denominators();
    table.hide_numerators();
    table.show_what_is_plain();
    all_shown = table.all();
    return table.rows();
}

// A stage whose own reasons cannot keep a hidden one joins the next stage: the count between them is hidden. What is left
// at the end hides nothing: a reader has it from elsewhere.
void suppress_flow(std::vector<FlowBlock>& blocks, std::size_t min_cell) {
    std::vector<FlowPart*> open;
    const FlowPart* left_at_end = blocks.empty() ? nullptr : &blocks.front().parts.front();
    for (FlowBlock& block : blocks) {
        for (FlowPart& part : block.parts) {
            if (is_small(part.count, min_cell)) part.shown = false;
            open.push_back(&part);
        }
        while (!flow_safe(open, min_cell)) {
            FlowPart* next = smallest_shown(open, left_at_end);
            if (next == nullptr) break;
            next->shown = false;
        }
        block.total_shown = flow_safe(open, min_cell) && !is_small(block.total, min_cell);
        if (block.total_shown) open.clear();
    }
}

}  // namespace tracehold
