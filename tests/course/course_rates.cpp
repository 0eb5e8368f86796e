// Prints how often courses of known truth are told right and wrong: course_rates [COURSES].
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "course/made_course.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/proportions.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

struct Case {
    std::string name;
    MadeCourse made;
};

std::string percent(int count, int all) {
    const auto share = wilson(static_cast<std::size_t>(count), static_cast<std::size_t>(all));
    return fmt::format("{:5.1f} ({:4.1f}-{:5.1f})", 100.0 * share->share, 100.0 * share->ci95_low,
                       100.0 * share->ci95_high);
}

std::vector<Case> cases() {
    std::vector<Case> all;
    for (const double rise : {0.0, 20.0, 40.0, 60.0, -30.0}) {
        for (const double spread : {0.10, 0.20, 0.30}) {
            const std::string name = fmt::format("rise {:3.0f} %, spread {:2.0f} %", rise, 100.0 * spread);
            MadeCourse made{.rise_pct = rise, .spread = spread};
            all.push_back({name + ", 12 a week", made});
            made.days_per_week = 3;
            made.sessions_per_day = 1;
            all.push_back({name + ", 3 a week", made});
        }
    }
    for (const double rise : {0.0, 40.0}) {
        for (const double spread : {0.10, 0.20, 0.30}) {
            for (const double correlation : {0.0, 0.3, 0.6}) {
                all.push_back(
                    {fmt::format("rise {:3.0f} %, spread {:2.0f} %, 12 a week, all of it by day, {} to the next", rise,
                                 100.0 * spread, number_text(correlation)),
                     {.rise_pct = rise, .spread = spread, .day_share = 1.0, .day_correlation = correlation}});
            }
        }
    }
    for (const int days : {14, 28, 42}) {
        for (const double rise : {0.0, 40.0}) {
            all.push_back({fmt::format("rise {:3.0f} %, spread 20 %, 12 a week, {} days, by day, 0.3", rise, days),
                           {.days = days, .rise_pct = rise, .spread = 0.2, .day_share = 1.0, .day_correlation = 0.3}});
        }
    }
    return all;
}

}  // namespace

int main(int argc, char** argv) {
    const int courses = argc > 1 ? std::atoi(argv[1]) : 1000;
    fmt::print("{} courses a line; percent of courses with its 95 % interval\n", courses);
    fmt::print("{:64} {:>19} {:>19} {:>19} {:>19} {:>7}\n", "", "any primary claim", "hold more", "hold less",
               "hold level", "error %");
    for (const Case& one : cases()) {
        const CourseRates rates = rates_of(one.made, courses);
        fmt::print("{:64} {:>19} {:>19} {:>19} {:>19} {:7.1f}\n", one.name, percent(rates.any_claim, courses),
                   percent(rates.hold_more, courses), percent(rates.hold_less, courses),
                   percent(rates.hold_level, courses), rates.needed_pct);
        std::fflush(stdout);
    }
    fmt::print("\n{:64} {:>19} {:>19} {:>19} {:>7}\n", "visits by an assessment of five steps, two weeks apart", "any primary claim", "holds changed",
               "wrong direction", "tested");
    for (const double changed_pct : {0.0, 40.0, 60.0}) {
        for (const double spread : {0.10, 0.20}) {
            for (const int visits : {6, 8, 12}) {
                for (const bool at_once : {false, true}) {
                    if (at_once && changed_pct == 0.0) continue;
                    const VisitRates rates = visit_rates_of({.visits = visits, .changed_pct = changed_pct, .at_once = at_once, .spread = spread}, courses);
                    fmt::print("{:64} {:>19} {:>19} {:>19} {:>7}\n",
                               fmt::format("change {:3.0f} %{}, spread {:2.0f} %, {} visits", changed_pct, at_once ? " at once" : "", 100.0 * spread, visits),
                               percent(rates.any_claim, courses), percent(rates.hold_claim, courses), percent(rates.wrong, courses), rates.tested);
                    std::fflush(stdout);
                }
            }
        }
    }
}
