#pragma once
// What is promised of every reader and writer whatever bytes it gets, as checks that throw.
#include <stdexcept>
#include <string>
#include <string_view>

#include "tracehold/core/error.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold::fuzz {

inline constexpr const char* kSource = "f";  // the name of every input

// Thrown where a promise is broken; nobody catches it but the fuzzer and the replay.
struct BrokenPromise : std::logic_error {
    using std::logic_error::logic_error;
};

void require(bool holds, std::string_view promise);
void require_equal(std::string_view a, std::string_view b, std::string_view promise);

// The promises in recording.hpp, and that no text of it can harm a terminal.
void check_recording(const Recording& recording);

// Source, message and hint are there, short, in UTF-8 and harmless.
void check_error(const Error& error, std::string_view source);

// UTF-8 without control or bidi characters, at most max_bytes.
bool is_harmless(std::string_view text, std::size_t max_bytes);

// The reader's value goes to then; a refusal is checked. Out: whether it was read.
template <class Read, class Then>
bool read_or_refuse(std::string_view source, Read read, Then then) {
    try {
        then(read());
        return true;
    } catch (const Error& error) {
        check_error(error, source);
        return false;
    }
}

}  // namespace tracehold::fuzz
