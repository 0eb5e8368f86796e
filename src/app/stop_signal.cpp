#include "app/stop_signal.hpp"

#include <array>
#include <atomic>
#include <csignal>
#include <cstdlib>

namespace tracehold {
namespace {

constexpr std::array kSignals = {SIGINT, SIGTERM, SIGHUP};

// A handler can reach nothing else; written by it alone, read by StopSignal alone.
std::atomic<int> received{0};
static_assert(std::atomic<int>::is_always_lock_free);

extern "C" void remember(int signal) { received.store(signal); }

bool is_ignored(int signal) {
    struct sigaction now {};
    return ::sigaction(signal, nullptr, &now) == 0 && now.sa_handler == SIG_IGN;
}

}  // namespace

StopSignal::StopSignal() {
    received.store(0);
    struct sigaction action {};
    action.sa_handler = remember;
    action.sa_flags = static_cast<int>(SA_RESETHAND | SA_RESTART);
    for (const int signal : kSignals) {
        if (!is_ignored(signal)) ::sigaction(signal, &action, nullptr);
    }
}

StopSignal::~StopSignal() {
    for (const int signal : kSignals) {
        if (!is_ignored(signal)) std::signal(signal, SIG_DFL);
    }
}

void StopSignal::check() const { stop_if_asked(); }

void stop_if_asked() {
    if (const int signal = received.load(); signal != 0) throw Stopped{signal};
}

void end_by(Stopped stopped) {
    std::signal(stopped.signal, SIG_DFL);
    std::raise(stopped.signal);
    std::_Exit(128 + stopped.signal);  // not reached unless the signal is blocked
}

}  // namespace tracehold
