#include "app/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/console.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLongWork = 200;  // recordings; shorter work is over before a line in a log helps anyone
constexpr std::size_t kLeastInterval = 100;
constexpr std::size_t kMostLines = 20;

std::size_t interval_of(std::size_t total) {
    const std::size_t part = (total + kMostLines - 1) / kMostLines;
    return std::max(kLeastInterval, (part + kLeastInterval - 1) / kLeastInterval * kLeastInterval);
}

}  // namespace

std::string time_text(double seconds) {
    const auto whole = static_cast<long long>(std::ceil(seconds));
    if (whole < 100) return fmt::format("{} s", whole);
    const long long minutes = (whole + 59) / 60;
    return minutes < 100 ? fmt::format("{} min", minutes) : fmt::format("{} h {} min", minutes / 60, minutes % 60);
}

std::string rate_text(double per_second) {
    if (per_second < 1.0) return fmt::format("{:.1f}/min", per_second * 60.0);
    return per_second < 10.0 ? fmt::format("{:.1f}/s", per_second) : fmt::format("{:.0f}/s", per_second);
}

std::string progress_text(std::size_t done, std::size_t worked, std::size_t total,
                          std::chrono::duration<double> elapsed) {
    const std::string text = fmt::format("{} of {} recordings", done, total);
    if (worked == 0 || elapsed.count() <= 0.0) return text;
    const double rate = static_cast<double>(worked) / elapsed.count();
    return fmt::format("{}, {}, {} left", text, rate_text(rate), time_text(static_cast<double>(total - done) / rate));
}

Progress::Progress(std::size_t total, bool quiet)
    : total_(total),
      on_terminal_(!quiet && total > 1 && is_terminal(STDERR_FILENO)),
      in_log_(!quiet && total >= kLongWork && !is_terminal(STDERR_FILENO)) {}

Progress::~Progress() { hide(); }

std::string Progress::text() const { return progress_text(done_, worked_, total_, Clock::now() - begin_); }

void Progress::step(bool took_work) {
    ++done_;
    if (took_work) ++worked_;
    if (in_log_ && done_ % interval_of(total_) == 0) say("tracehold: " + text());
}

void Progress::show() {
    if (!on_terminal_ || Clock::now() - shown_at_ < kRedraw) return;
    shown_at_ = Clock::now();
    visible_ = true;
    fmt::print(stderr, "\r{}\033[K", text());
}

void Progress::hide() {
    if (visible_) std::fputs("\r\033[K", stderr);
    visible_ = false;
}

}  // namespace tracehold
