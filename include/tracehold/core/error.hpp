#pragma once
// What stops a file. Thrown once, caught per file in the run loop and in main.
#include <exception>
#include <string>
#include <string_view>

namespace tracehold {

enum class ErrorKind {
    cannot_open,     // no such file, no permission, a folder, a device
    not_recognised,  // the bytes are none of the formats read here
    malformed,       // the format is known, a rule of it is broken beyond repair
    unsupported,     // well formed, but something this program does not do
    too_short,       // not enough data for what was asked
    bad_setting,     // an option, plan, list or corrections file asks for the impossible
    cannot_write,    // an output could not be written
    wrong_use,       // the command line itself asks for what cannot be: no input is to blame
};

std::string_view to_string(ErrorKind kind);

// source:  the file as the user named it, or its stand-in where identities are hidden
// place:   where inside it: "12:3" (line:column), "byte 184, record count", "/steps/2/seconds"; may be empty
// message: "what is wrong: saw X, expected Y", lower case, no full stop
// hint:    the flag or action that helps; may be empty
class Error : public std::exception {
public:
    Error(ErrorKind kind, std::string source, std::string place, std::string message, std::string hint = {});

    ErrorKind kind;
    std::string source;
    std::string place;
    std::string message;
    std::string hint;

    // "source:place: message" and, on a second line, "hint: ..."; each part as shown() makes it safe
    const char* what() const noexcept override { return text_.c_str(); }

private:
    std::string text_;
};

}  // namespace tracehold
