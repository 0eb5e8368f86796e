#include <fmt/format.h>

#include <array>
#include <filesystem>

#include "app/commands.hpp"
#include "app/inputs.hpp"
#include "app/kept_files.hpp"
#include "app/output.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

std::string as_file(const Recording& recording, const FileStyle& style) {
    if (style.file.ends_with(".edf") || style.file.ends_with(".EDF")) return recording_edf(recording);
    return recording_csv(recording, {.delimiter = style.delimiter, .decimal = style.decimal, .unit = style.unit, .decimals = style.decimals});
}

struct Made {
    std::string path, bytes;
};

// A scenario may bear the name of a real recording, which nothing brings back: what is there stays.
void refuse_another(const Made& made) {
    refuse_to_replace(made.path);
    std::error_code ignored;
    if (!fs::exists(fs::symlink_status(made.path, ignored)) || read_bytes(made.path) == made.bytes) return;
    throw Error(ErrorKind::cannot_write, made.path, "",
                "another file is there already: saw other bytes than would be written, expected none",
                "choose another folder, or remove it if it is practice");
}

// From one session of a call to the next, so far that seeds side by side share none: our choice, a prime.
constexpr std::uint64_t kSeedStep = 1'000'003;

void write_simulated(const Scenario& scenario, const std::string& folder) {
    const Simulated simulated = simulate_recording(scenario);
    const std::string path = (fs::path(folder) / fs::path(scenario.style.file).filename()).string();
    const std::array<Made, 2> both = {Made{path, as_file(simulated.recording, scenario.style)},
                                      Made{path + ".truth.json", truth_json(simulated.truth) + "\n"}};
    for (const Made& made : both) refuse_another(made);
    for (const Made& made : both) write_output(made.path, made.bytes);
}

}  // namespace

ExitStatus simulate_command(const Options& options) {
    const Plan plan = read_plan_file(options.plan);
    make_folder(options.out);
    std::uint64_t number = 0;
    for (const std::string& path : options.inputs) {
        std::size_t place = 0;
        for (Scenario& scenario : read_scenarios(read_bytes(path), path, plan)) {
            ++place;
            if (scenario.style.file.empty()) {
                throw Error(ErrorKind::bad_setting, path, fmt::format("session {}", place),
                            "'file' is missing: expected the name of its recording, which ends in .csv or .edf");
            }
            if (options.seed) scenario.seed = *options.seed + kSeedStep * number++;
            write_simulated(scenario, options.out);
        }
    }
    return ExitStatus::done;
}

}  // namespace tracehold
