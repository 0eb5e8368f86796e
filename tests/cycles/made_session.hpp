#pragma once
// Sessions with known contractions: boxes with ramps on a steady rest, as a noiseless envelope or as Gaussian noise of
// that amplitude.
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "cycles/cues.hpp"
#include "tracehold/clean/clean.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold::testing {

// Rise from begin_s over ramp_s, plateau, fall that ends at end_s.
struct MadeContraction {
    double begin_s = 0.0;
    double end_s = 0.0;
    double level_uv = 20.0;  // RMS on the plateau, rest included
    double ramp_s = 0.2;
};

struct MadeSession {
    CleanRecording clean;
    Envelope envelope;
    double duration_s() const;
};

// Amplitude at a time: rest_uv or the highest contraction there.
double amplitude_at(const std::vector<MadeContraction>& contractions, double rest_uv, double t);

// The amplitude itself as an exported envelope.
MadeSession exported_session(const std::vector<MadeContraction>& contractions, double rest_uv, double duration_s,
                             double rate_hz = 50.0);

// White Gaussian noise of that amplitude and its moving RMS.
MadeSession noisy_session(const std::vector<MadeContraction>& contractions, double rest_uv, double duration_s,
                          std::uint64_t seed, double rate_hz = 1000.0);

// The same numbers everywhere, unlike the distributions of the standard library.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    double uniform(double low, double high);
    double normal();
    int whole(int low, int high);  // both inclusive

private:
    std::mt19937_64 engine_;
};

// A plan performed by somebody: late, early, with misses, a pause, contractions of their own and something else before
// it.
struct Performance {
    double contrast_db = 10.0;
    double missed = 0.0;     // probability of each
    double strayed = 0.0;    // probability of each to come 0.4-1.2 s early or 0.6-1.5 s late, half its length at most
    double extra = 0.0;      // probability of one in each rest that is long enough
    double lead_s = 0.0;     // before the plan starts
    bool busy_lead = false;  // with contractions of their own in it
    double pause_s = 0.0;    // 0 = none; after a cycle of the dice's choice
};

struct Performed {
    MadeSession session;
    std::vector<TimeSpan> cues;  // true work windows, pause included
    std::vector<bool> done;      // one per cue
    std::vector<double>
        strays_s;  // one per cue: how much later (earlier, negative) than this person is wont to; 0 = not
    std::vector<TimeSpan> extras;  // spans of the extra contractions
    double start_s = 0.0;
};

Performed perform(const Plan& plan, const Performance& how, std::uint64_t seed);

// With the default words for marks.
Plan plan_of(std::vector<Step> steps);

bool has_note(const Cues& cues, const std::string& code);

}  // namespace tracehold::testing
