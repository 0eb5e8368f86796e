#pragma once
#include <cstddef>
#include <string>

namespace tracehold {

// The bytes of an input, a regular file or standard input ("-"), piece by piece. A folder here is one in which
// find_inputs found nothing.
class ByteSource {
public:
    explicit ByteSource(const std::string& path);  // errors: cannot_open
    ByteSource(const ByteSource&) = delete;
    ByteSource& operator=(const ByteSource&) = delete;
    ~ByteSource();

    // Exactly `most` bytes, fewer only at the end. Errors: cannot_open (it cannot be read any longer).
    std::string read(std::size_t most);

    // All of a stream, of which `begun` was read already. What no recording and no result begins like is refused unread.
    // Errors: those of read, refuse_no_recording and check_stream.
    std::string whole_stream(std::string begun);

private:
    std::string path_;
    int descriptor_ = -1;
};

inline constexpr std::size_t kPiece = std::size_t{1} << 20;    // bytes read at once
inline constexpr std::size_t kSniffed = std::size_t{1} << 16;  // bytes that tell what an input is

// All of an input. Errors: those of ByteSource.
std::string read_input(const std::string& path);

}  // namespace tracehold
