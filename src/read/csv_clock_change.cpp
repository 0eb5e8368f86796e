#include "read/csv_clock_change.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace tracehold {
namespace {

constexpr double kHour_s = 3600.0;  // by this much clocks are set in nearly all places
constexpr double kSlack_s = 2.0;    // no step of a recorder that is worth an hour's thought is longer

struct Jump {
    std::size_t row = 0;  // behind it
    double rest_s = 0.0;  // what it leaves beside the hour
    double hour_s = 0.0;  // forth or back
};

std::vector<Jump> jumps_near_an_hour(const TimesView& clock_s) {
    std::vector<Jump> jumps;
    for (std::size_t i = 1; i < clock_s.size(); ++i) {
        const double step_s = clock_s[i] - clock_s[i - 1];
        const double hour_s = step_s > 0.0 ? kHour_s : -kHour_s;
        if (std::abs(step_s - hour_s) <= kSlack_s) jumps.push_back({i, step_s - hour_s, hour_s});
    }
    return jumps;
}

double typical_step_s(const TimesView& clock_s) {
    std::vector<double> steps;
    const std::size_t stride = clock_s.size() / 10'000 + 1;
    for (std::size_t i = 1; i < clock_s.size(); i += stride) {
        const double step_s = clock_s[i] - clock_s[i - 1];
        if (step_s >= 0.0) steps.push_back(step_s);
    }
    if (steps.empty()) return 0.0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

}  // namespace

std::optional<std::vector<double>> without_clock_changes(const TimesView& clock_s, double resolution_s,
                                                         std::vector<Note>& notes) {
    std::vector<Jump> jumps = jumps_near_an_hour(clock_s);
    if (jumps.empty()) return std::nullopt;
    const double step_s = typical_step_s(clock_s);
    std::erase_if(jumps, [&](const Jump& jump) {
        return jump.rest_s < -1.01 * resolution_s || jump.rest_s > 2.0 * step_s + 1.01 * resolution_s;
    });
    if (jumps.empty()) return std::nullopt;
    std::vector<double> settled = all_of(clock_s);
    double moved_s = 0.0;
    for (std::size_t i = 0, next = 0; i < settled.size(); ++i) {
        if (next < jumps.size() && jumps[next].row == i) moved_s += jumps[next++].hour_s;
        settled[i] -= moved_s;
    }
    notes.push_back({"clock_change", "",
                     "the clock jumps by 3600 s between two rows, as one set to summer or winter time does: no time was "
                     "taken to have passed"});
    return settled;
}

}  // namespace tracehold
