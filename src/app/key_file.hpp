#pragma once
// The clinic's key, under which pseudonyms are made: a text file of one line that only its owner may read.
#include <string>

#include "app/options.hpp"

namespace tracehold {

// --key-file, or the user's own: $XDG_CONFIG_HOME/tracehold/clinic.key, else ~/.config/tracehold/clinic.key. "" where
// there is no home.
std::string key_path(const std::string& asked);

// The bytes of the key in key_path(asked). Errors: cannot_open, wrong_use (no file was named, and the user has no own key),
// bad_setting (others may read it), malformed (no key file). None tells what is in it.
std::string read_key(const std::string& asked);

// A new key of 32 random bytes from the system, in a file with mode 0600, its folder made. Errors: cannot_write, also
// where something is there already: a lost key is lost for good.
void write_new_key(const std::string& path);

}  // namespace tracehold
