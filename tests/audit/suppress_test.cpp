#include "audit/suppress.hpp"

#include <doctest/doctest.h>

#include <numeric>
#include <random>
#include <vector>

#include "audit/table_solver.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

CountRow row_of(std::size_t yes, std::size_t no) { return {yes, no, yes, no, yes + no}; }

CountRow sum_of(const std::vector<CountRow>& rows) {
    CountRow sum;
    for (const CountRow& row : rows) {
        sum.yes += row.yes;
        sum.no += row.no;
    }
    return row_of(sum.yes, sum.no);
}

SeenRow seen(const CountRow& row, RowShown shown) {
    SeenRow out;
    if (shown.numerator) out.yes = row.yes;
    if (shown.denominator) out.total = row.total();
    return out;
}

struct Solved {
    RowShown all{};
    std::vector<RowShown> rows;
    std::size_t given_back = 0;  // hidden counts with one possible value
    std::size_t narrow = 0;      // with fewer than min_cell
    std::size_t hidden = 0;
    std::size_t small_shown = 0;  // counts of 1 to min_cell - 1 among the shown
};

bool small(std::size_t count, std::size_t least) { return count > 0 && count < least; }

void judge(Solved& out, const CountRow& row, RowShown shown, const PossibleRow& possible, std::size_t least) {
    const auto hidden = [&](const std::set<std::size_t>& values, std::size_t truth) {
        ++out.hidden;
        CHECK(values.count(truth) == 1);  // the solver never rules out the truth
        out.given_back += values.size() < 2 ? 1 : 0;
        out.narrow += values.size() < least ? 1 : 0;
    };
    if (!shown.numerator) hidden(possible.yes, row.yes);
    if (!shown.denominator) hidden(possible.total, row.total());
    if (shown.numerator && small(row.yes, least)) ++out.small_shown;
    if (shown.denominator && small(row.total(), least)) ++out.small_shown;
    if (shown.numerator && shown.denominator && small(row.no, least)) ++out.small_shown;
}

// Everything a reader can find out of one table, as suppressed by 'choose'.
template <class Choose>
Solved solved(const std::vector<CountRow>& rows, std::size_t least, Choose choose) {
    Solved out;
    const CountRow all = sum_of(rows);
    out.rows = choose(all, out.all, rows);
    std::vector<SeenRow> shown;
    for (std::size_t i = 0; i < rows.size(); ++i) shown.push_back(seen(rows[i], out.rows[i]));
    const TableSolver solver(shown, seen(all, out.all), all.total() + 2 * least);
    for (std::size_t i = 0; i < rows.size(); ++i) judge(out, rows[i], out.rows[i], solver.rows()[i], least);
    judge(out, all, out.all, solver.all(), least);
    return out;
}

Solved suppressed(const std::vector<CountRow>& rows, std::size_t least, RowShown all = {}) {
    return solved(rows, least, [&](const CountRow& sum, RowShown& all_shown, const std::vector<CountRow>& own) {
        all_shown = all;
        return suppress_rows(sum, all_shown, own, {.min_cell = least});
    });
}

// What must not be done: hide the small ones and nothing else.
Solved only_small_hidden(const std::vector<CountRow>& rows, std::size_t least) {
    return solved(rows, least, [&](const CountRow& sum, RowShown& all_shown, const std::vector<CountRow>& own) {
        const auto shown_of = [&](const CountRow& row) {
            RowShown shown;
            shown.denominator = !small(row.total(), least);
            shown.numerator = shown.denominator && !small(row.yes, least) && !small(row.no, least);
            return shown;
        };
        all_shown = shown_of(sum);
        std::vector<RowShown> shown;
        for (const CountRow& row : own) shown.push_back(shown_of(row));
        return shown;
    });
}

// Many zeros, many small counts, some larger ones.
std::size_t some_count(std::mt19937& random) {
    switch (random() % 4) {
        case 0: return 0;
        case 1: return 1 + random() % 4;
        default: return random() % 14;
    }
}

std::vector<CountRow> some_table(std::mt19937& random) {
    std::vector<CountRow> rows;
    const std::size_t n = 1 + random() % 5;
    for (std::size_t i = 0; i < n; ++i) rows.push_back(row_of(some_count(random), some_count(random)));
    return rows;
}

}  // namespace

TEST_CASE("the solver finds what simple sums give away") {
    const TableSolver solver({{3, 10}, {std::nullopt, 8}, {5, std::nullopt}}, {12, 30}, 40);
    CHECK(solver.rows()[1].yes == std::set<std::size_t>{4});
    CHECK(solver.rows()[2].total == std::set<std::size_t>{12});
    const TableSolver open({{std::nullopt, 8}, {std::nullopt, 6}}, {5, 14}, 40);
    CHECK(open.rows()[0].yes == std::set<std::size_t>{0, 1, 2, 3, 4, 5});
    CHECK(open.rows()[1].no == std::set<std::size_t>{1, 2, 3, 4, 5, 6});
}

TEST_CASE("no hidden cell can be computed from the rest") {
    std::mt19937 random(20260302);
    std::size_t tables = 0, hidden = 0, naive = 0;
    for (const std::size_t least : {5, 3}) {
        for (int i = 0; i < 400; ++i, ++tables) {
            const auto rows = some_table(random);
            const Solved out = suppressed(rows, least);
            CAPTURE(tables);
            CHECK(out.given_back == 0);
            CHECK(out.narrow == 0);
            CHECK(out.small_shown == 0);
            hidden += out.hidden;
            naive += only_small_hidden(rows, least).given_back;
        }
    }
    MESSAGE(tables << " tables, " << hidden << " hidden counts, none given back; " << naive
                   << " without secondary suppression");
    CHECK(hidden > 1000);
    CHECK(naive > 300);  // the solver does find what primary suppression alone gives away
}

TEST_CASE("nor where the row of all was hidden before") {
    std::mt19937 random(17);
    for (int i = 0; i < 150; ++i) {
        const auto rows = some_table(random);
        for (const RowShown all : {RowShown{false, true}, RowShown{false, false}}) {
            const Solved out = suppressed(rows, 5, all);
            CAPTURE(i);
            CHECK((!out.all.numerator && (all.denominator || !out.all.denominator)));
            const bool nothing_to_hide = sum_of(rows).total() == 0;
            if (!nothing_to_hide) CHECK(out.given_back == 0);
            CHECK(out.small_shown == 0);
        }
    }
}

TEST_CASE("a lone small row takes the next one along") {
    const std::vector<CountRow> rows = {row_of(20, 20), row_of(2, 1), row_of(6, 6), row_of(30, 10)};
    const Solved out = suppressed(rows, 5);
    CHECK(out.all == RowShown{});
    CHECK(out.rows[1] == RowShown{false, false});
    CHECK(out.rows[2] == RowShown{false, false});
    CHECK(out.rows[0] == RowShown{});
    CHECK(out.rows[3] == RowShown{});
}

TEST_CASE("a table without small counts is shown whole") {
    const Solved out = suppressed({row_of(5, 0), row_of(9, 7), row_of(0, 0), row_of(0, 12)}, 5);
    CHECK(out.hidden == 0);
}

TEST_CASE("one row that is small hides all of it") {
    CHECK(suppressed({row_of(2, 1)}, 5).all == RowShown{false, false});
    CHECK(suppressed({row_of(50, 3)}, 5).all == RowShown{false, true});
}

TEST_CASE("no rows and empty rows hide nothing") {
    CHECK(suppressed({}, 5).hidden == 0);
    CHECK(suppressed({row_of(0, 0), row_of(0, 0)}, 5).hidden == 0);
}

TEST_CASE("many recordings of few people are as small as the people") {
    const CountRow few{40, 30, 3, 2, 4};
    RowShown all;
    const auto shown =
        suppress_rows({140, 130, 40, 30, 50}, all, std::vector<CountRow>{few, {100, 100, 37, 28, 46}}, {.min_cell = 5});
    CHECK_FALSE(shown[0].denominator);
    CHECK_FALSE(shown[0].numerator);
    CHECK_FALSE(shown[1].denominator);  // else the sum would give the few away
}

TEST_CASE("people in several rows are not added up") {
    // Two rows of the same four people: together still four, so a third row has to hide with them.
    const std::vector<CountRow> rows = {{8, 0, 4, 0, 4}, {9, 0, 4, 0, 4}, {60, 20, 20, 9, 20}};
    RowShown all;
    const auto shown = suppress_rows({77, 20, 21, 9, 21}, all, rows, {.min_cell = 5, .own_people = false});
    CHECK_FALSE(shown[2].denominator);
    RowShown other;
    const auto apart = suppress_rows({77, 20, 28, 9, 28}, other, rows, {.min_cell = 5, .own_people = true});
    CHECK(apart[2].denominator);
}

namespace {

// A flow is a chain of sums: the parts between two shown totals make one equation, and no other speaks of them. It
// gives a part back where it is the only hidden one or where all hidden ones together are a small count.
struct FlowReader {
    std::vector<FlowBlock> blocks;
    // Parts of all blocks between two shown totals: they are all that the sums speak of.
    std::size_t given_back() const {
        std::size_t found = 0;
        std::vector<FlowPart> open;
        long known = 0;
        for (const FlowBlock& block : blocks) {
            open.insert(open.end(), block.parts.begin(), block.parts.end());
            if (!block.total_shown) continue;
            found += determined(open, static_cast<long>(block.total) - known);
            known = static_cast<long>(block.total);
            open.clear();
        }
        return found;
    }

    static std::size_t determined(const std::vector<FlowPart>& parts, long total) {
        std::size_t found = 0, hidden = 0;
        long rest = total;
        for (const FlowPart& part : parts) {
            hidden += part.shown ? 0 : 1;
            rest -= part.shown ? static_cast<long>(part.count) : 0;
        }
        // Nothing is listed that is 0: each of the others takes one.
        if (hidden == 1 || (hidden > 1 && rest - static_cast<long>(hidden - 1) < 5)) ++found;
        return found;
    }
};

std::vector<FlowBlock> some_flow(std::mt19937& random) {
    std::vector<FlowBlock> blocks(3);
    blocks[0].parts.push_back({some_count(random) * 9, random() % 5 > 0});
    std::size_t total = 0;
    for (FlowBlock& block : blocks) {
        const std::size_t n = random() % 4;
        for (std::size_t i = 0; i < n; ++i) block.parts.push_back({1 + some_count(random), true});
        for (const FlowPart& part : block.parts) total += part.count;
        block.total = total;
    }
    return blocks;
}

}  // namespace

TEST_CASE("no hidden step of a flow can be computed from the rest") {
    std::mt19937 random(99);
    for (int i = 0; i < 3000; ++i) {
        std::vector<FlowBlock> blocks = some_flow(random);
        const bool kept_hidden = !blocks[0].parts[0].shown;
        suppress_flow(blocks, 5);
        CAPTURE(i);
        CHECK(FlowReader{blocks}.given_back() == 0);
        if (kept_hidden) CHECK_FALSE(blocks[0].parts[0].shown);
        for (const FlowBlock& block : blocks) {
            CHECK((!block.total_shown || block.total == 0 || block.total >= 5));
            for (const FlowPart& part : block.parts) CHECK((!part.shown || part.count == 0 || part.count >= 5));
        }
    }
}

TEST_CASE("a flow hides as little as it can") {
    std::vector<FlowBlock> blocks = {
        {{{100, true}}, 100, true}, {{{3, true}, {12, true}, {30, true}}, 145, true}, {{}, 145, true}};
    suppress_flow(blocks, 5);
    CHECK_FALSE(blocks[1].parts[0].shown);
    CHECK_FALSE(blocks[1].parts[1].shown);
    CHECK(blocks[1].parts[2].shown);
    CHECK(blocks[1].total_shown);
    // Nobody to hide behind: the count that would give it away goes.
    std::vector<FlowBlock> lone = {{{{100, true}}, 100, true}, {{{3, true}}, 103, true}, {{{9, true}}, 112, true}};
    suppress_flow(lone, 5);
    CHECK_FALSE(lone[1].total_shown);
    CHECK_FALSE(lone[2].parts[0].shown);
    CHECK(lone[2].total_shown);
    CHECK(lone[0].parts[0].shown);
}
