#pragma once
// How files are called in messages: by their names, or where identities are hidden by their place in the call.
#include <string>
#include <string_view>
#include <vector>

#include "app/options.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

class MessageNames {
public:
    // inputs: what find_inputs found, in its order. References must outlive this.
    MessageNames(const Options& options, const std::vector<std::string>& inputs);
    MessageNames(const Options& options);  // before the inputs are known

    // The error as it may be said: see hide(). Its source is then "input 3", "the plan", "the output", "argument 2" (as
    // named on the command line) or "a file"; labels of hidden recordings stay. With --identity keep it is the error
    // itself.
    Error shown(const Error& error) const;

    // The file alone.
    std::string name(const std::string& path) const;

    // A note about a file, on standard error, in the same way; not with --quiet.
    void say(const std::string& path, const Note& note) const;

private:
    std::string hidden_name(std::string_view path) const;

    const Options& options_;
    const std::vector<std::string>* inputs_ = nullptr;
};

}  // namespace tracehold
