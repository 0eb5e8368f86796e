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
    // Opens before the long work begins. Errors: cannot_write; wrong_use if it is a folder, or a file that is read: see kept_files.
    explicit Output(const std::string& path);
    Output(const Output&) = delete;
    Output& operator=(const Output&) = delete;
    ~Output();  // without finish(): no trace of the file is left

    void write(std::string_view text);  // errors: cannot_write
    void finish();                      // errors: cannot_write, wrong_use
    void put_in_place();  // finish() but for flushing the folder: for many files in one, flushed once at the end

private:
    void open_pending();

    std::string path_;
    std::string pending_;  // name of the file until it is finished; "" for standard output
    int descriptor_ = -1;
};

// Held while the files of one recording are put into a folder ("" = the current one): of two runs into it at once all of them are
// of one. Waits for another that holds it. Where the file system has no locks, or the folder is not there, nothing is held.
class FolderLock {
public:
    explicit FolderLock(const std::string& folder);
    ~FolderLock();
    FolderLock(const FolderLock&) = delete;
    FolderLock& operator=(const FolderLock&) = delete;

private:
    int descriptor_;
};

// Makes the names in a folder ("" = the current one) last over a loss of power. Errors: cannot_write.
void flush_folder(const std::string& folder);

// Removes from a folder what Outputs of killed runs left unfinished: by their names, which no other program uses, and
// never those that a running program holds. What cannot be removed stays.
void sweep_unfinished(const std::string& folder);

// Errors: cannot_write where a file or folder of that path could not be made, as far as can be known without making it;
// wrong_use where it would replace an input.
void check_place(const std::string& path);

// Errors: wrong_use if the path names a folder.
void refuse_folder(const std::string& path);

inline constexpr const char* kSeveralFiles = "several files do not go into one";

// why: what cannot go into one file. Errors: wrong_use if the path names no folder.
void require_folder(const std::string& path, const std::string& why);

// Output, write and finish in one.
void write_output(const std::string& path, std::string_view text);

// Makes the folder and those above it. Errors: cannot_write.
void make_folder(const std::string& path);

// True if PATH names a folder: it exists as one, or ends in '/'.
bool is_folder_path(const std::string& path);

// The same of an --out, of which "-" is standard output.
bool writes_folder(const std::string& out);

}  // namespace tracehold
