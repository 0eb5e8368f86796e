#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/possible_range.hpp"
#include "tracehold/plan/read_plan.hpp"

namespace tracehold {
namespace {

std::string verdict(const Plan& plan, const std::vector<Note>& doubts) {
    const double length_s = plan_length(plan).value;
    const int minutes = static_cast<int>(length_s) / 60, seconds = static_cast<int>(length_s) % 60;
    std::string text = fmt::format("{}: {} contractions in {} min {} s, {}\n", shown(plan.source, 200), timeline(plan).size(), minutes, seconds,
                                   shown(plan.posture));
    for (const Note& doubt : doubts) text += fmt::format("  {}: {}\n", doubt.place, doubt.text);
    if (doubts.empty()) text += "  well formed, nothing odd found\n";
    return text;
}

}  // namespace

ExitStatus plan_check_command(const Options& options) {
    bool sound = true;
    for (const std::string& path : options.inputs) {
        try {
            const Plan plan = read_plan_file(path);
            require_possible_targets(plan);
            const std::vector<Note> doubts = check_plan(plan);
            write_output("-", verdict(plan, doubts));
            sound = sound && doubts.empty();
        } catch (const Error& error) {
            if (error.kind == ErrorKind::cannot_write) throw;
            say_error(error);
            sound = false;
        }
    }
    return sound ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
