#pragma once
// Files and standard output, whole or not at all.
#include <string>
#include <string_view>

namespace tracehold {

// Where one stream of results goes: standard output ("-"), at once; or a file, which appears with all of its bytes when finish() is called
// and is left as it was otherwise: written beside it, flushed to the disk, then renamed. A device or pipe
// under that name is written to at once. A closed pipe ends the program as the system means it to.
class Output {
public:
    // Opens before the long work begins. Errors: cannot_write.
    explicit Output(const std::string& path);
    Output(const Output&) = delete;
    Output& operator=(const Output&) = delete;
    ~Output();  // without finish(): no trace of the file is left

    void write(std::string_view text);  // errors: cannot_write
    void finish();                      // errors: cannot_write

private:
    std::string path_;
    std::string pending_;  // name of the file until it is finished; "" for standard output
    int descriptor_ = -1;
};

// Output, write and finish in one.
void write_output(const std::string& path, std::string_view text);

// Makes the folder and those above it. Errors: cannot_write.
void make_folder(const std::string& path);

// True if PATH names a folder: it exists as one, or ends in '/'.
bool is_folder_path(const std::string& path);

}  // namespace tracehold
