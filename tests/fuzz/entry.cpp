// One target as a libFuzzer program. TARGET: its name.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace tracehold::fuzz;
    static const Target* const target = [] {
        for (const Target& each : targets()) {
            if (each.name == TARGET) return &each;
        }
        std::abort();
    }();
    try {
        target->run({reinterpret_cast<const char*>(data), size});
    } catch (const BrokenPromise& broken) {
        std::fprintf(stderr, "broken promise: %s\n", broken.what());
        std::abort();
    }
    return 0;
}
