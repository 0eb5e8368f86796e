#pragma once
// What this run was told to read: no output may take its place.
#include <string>

namespace tracehold {

// Remembers the file under that path ("-": standard input), whatever other names and links lead to it. What is not
// there, is a folder or a device, is nothing to keep. From the main thread alone.
void keep_file(const std::string& path);

// Errors: wrong_use if the file under that path ("-": standard output) is one of those.
void refuse_to_replace(const std::string& path);

}  // namespace tracehold
