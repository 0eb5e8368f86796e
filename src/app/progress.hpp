#pragma once
// How far long work has come, on standard error.
#include <chrono>
#include <cstddef>
#include <string>

namespace tracehold {

inline constexpr std::chrono::milliseconds kRedraw{100};

std::string rate_text(double per_second);  // "45/s", "12/min"
std::string time_text(double seconds);     // "6 s", "12 min", "2 h 5 min"

// "123 of 400 recordings, 45/s, 6 s left"; without rate and time where nothing was done yet. worked: how many of those done took work (the others were found done).
std::string progress_text(std::size_t done, std::size_t worked, std::size_t total,
                          std::chrono::duration<double> elapsed);

// On a terminal one line that rewrites itself, at most ten times a second, and is gone at the end; elsewhere, in work
// of 200 recordings or more, a line for each twentieth part (100 recordings at least); nothing when quiet.
class Progress {
public:
    Progress(std::size_t total, bool quiet);
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    void step(bool took_work = true);
    void show();  // on a terminal, where it is time
    void hide();  // on a terminal, before another line is written

private:
    using Clock = std::chrono::steady_clock;
    std::string text() const;

    std::size_t total_, done_ = 0, worked_ = 0;
    bool on_terminal_, in_log_;
    bool visible_ = false;
    Clock::time_point begin_ = Clock::now(), shown_at_{};
};

}  // namespace tracehold
