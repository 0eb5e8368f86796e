#include <fmt/format.h>

#include <filesystem>

#include "app/commands.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

std::string as_file(const Recording& recording, const FileStyle& style) {
    if (fs::path(style.file).extension() == ".edf") return recording_edf(recording);
    return recording_csv(recording, {.delimiter = style.delimiter, .decimal = style.decimal, .unit = style.unit, .decimals = style.decimals});
}

void write_simulated(const Scenario& scenario, const std::string& folder) {
    const Simulated simulated = simulate_recording(scenario);
    const std::string path = (fs::path(folder) / fs::path(scenario.style.file).filename()).string();
    write_output(path, as_file(simulated.recording, scenario.style));
    write_output(path + ".truth.json", truth_json(simulated.truth) + "\n");
}

}  // namespace

ExitStatus simulate_command(const Options& options) {
    const Plan plan = read_plan_file(options.plan);
    make_folder(options.out);
    std::uint64_t number = 0;
    for (const std::string& path : options.inputs) {
        for (Scenario& scenario : read_scenarios(read_bytes(path), path, plan)) {
            if (options.seed) scenario.seed = *options.seed + number++;
            write_simulated(scenario, options.out);
        }
    }
    return ExitStatus::done;
}

}  // namespace tracehold
