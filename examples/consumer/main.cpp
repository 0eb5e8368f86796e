// Prints when each contraction of a recording began and ended, with the 95 % interval of its begin.
#include <cstdio>
#include <tracehold/clean/clean_recording.hpp>
#include <tracehold/core/error.hpp>
#include <tracehold/cycles/find_cycles.hpp>
#include <tracehold/envelope/follow_envelope.hpp>
#include <tracehold/read/read_recording.hpp>

int main(int argc, char** argv) {
    if (argc != 2) return std::fprintf(stderr, "usage: consumer RECORDING\n"), 2;
    try {
        const tracehold::Recording recording = tracehold::read_recording(tracehold::read_bytes(argv[1]), argv[1], {});
        const tracehold::CleanRecording clean = tracehold::clean_recording(recording, 0);
        const tracehold::Envelope envelope = tracehold::follow_envelope(clean);
        const tracehold::Cycles found = tracehold::find_cycles({clean, envelope, recording.marks, nullptr, {}});
        for (const tracehold::Cycle& cycle : found.cycles) {
            if (!cycle.onset || !cycle.offset) continue;
            std::printf("%d: %.2f s (%.2f to %.2f) until %.2f s\n", cycle.index, cycle.onset->time_s,
                        cycle.onset->low_s, cycle.onset->high_s, cycle.offset->time_s);
        }
    } catch (const tracehold::Error& error) {
        return std::fprintf(stderr, "%s\n", error.what()), 1;
    }
}
