#pragma once
#include <cstddef>
#include <string>

namespace tracehold {

// The bytes of a regular file, or of standard input ("-"), piece by piece.
class ByteSource {
public:
    explicit ByteSource(const std::string& path);  // errors: cannot_open
    ByteSource(const ByteSource&) = delete;
    ByteSource& operator=(const ByteSource&) = delete;
    ~ByteSource();

    // Exactly `most` bytes, fewer only at the end. Errors: cannot_open (it cannot be read any longer).
    std::string read(std::size_t most);

private:
    std::string path_;
    int descriptor_ = -1;
};

}  // namespace tracehold
