#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold {

ExitStatus schema_command(const Options& options) {
    const std::vector<std::string_view> names = schema_names();
    if (options.name.empty()) {
        std::string list;
        for (const std::string_view name : names) list += fmt::format("{}\n", name);
        write_output("-", list);
        return ExitStatus::done;
    }
    const std::string text(schema_text(options.name));
    if (text.empty()) {
        say(fmt::format("tracehold: no schema '{}'{}\nTry 'tracehold schema' for all of them.", shown(options.name),
                        did_you_mean(options.name, names)));
        return ExitStatus::wrong_use;
    }
    write_output("-", text);
    return ExitStatus::done;
}

}  // namespace tracehold
