// No output takes the place of an input: every command, every option that names a file, every way to name it again.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include "support/run_program.hpp"

using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

constexpr const char* kSays = "the output would replace an input";

// Exported amplitudes, 20 a second: a contraction of 6 s every 12 s.
std::string recording() {
    std::string text = "# person: P-1\ntime_s,emg_uV\n";
    for (int i = 0; i < 1200; ++i) {
        const double noise = i * 7919 % 1009 / 1009.0;
        const bool works = (i + 180) % 240 < 120;
        text += fmt::format("{:.2f},{:.2f}\n", i / 20.0, 2 + noise + (works ? 14 + 3 * noise : 0));
    }
    return text;
}

// One of each file that a command can be told to read.
struct Inputs {
    TemporaryFolder folder;
    std::string csv = folder.write("a.csv", recording());
    std::string plan = folder.write("plan.jsonc", file_bytes(SOURCE_DIR "/examples/plan-home-a.jsonc"));
    std::string scenario = folder.write("scenario.json", file_bytes(SOURCE_DIR "/examples/scenarios/clinic-visit.json"));
    std::string key = folder.path("clinic.key");
    std::map<std::string, std::string> of_option = {
        {"--plan", plan},
        {"--performed", folder.write("reference.jsonc", file_bytes(SOURCE_DIR "/examples/plan-clinic-reference.jsonc"))},
        {"--sessions", folder.write("sessions.csv", "file,person\na.csv,P-1\n")},
        {"--corrections", folder.write("corrections.csv", "file,action,cycle,from_s,to_s,who,when,why\n")},
        {"--rules", folder.write("rules.json", file_bytes(SOURCE_DIR "/examples/rules-example.jsonc"))},
        {"--files-from", folder.write("names.txt", csv + "\n")},
        {"--key-file", key}};

    Inputs() { REQUIRE(run_program({"key", "new", key}).status == 0); }
    std::set<std::pair<std::string, std::string>> contents() const {
        std::set<std::pair<std::string, std::string>> all;
        for (const auto& entry : fs::recursive_directory_iterator(folder.path())) {
            if (entry.is_regular_file()) all.emplace(entry.path().string(), file_bytes(entry.path().string()));
        }
        return all;
    }
};

// The options of a command that name a file to read, as --help shows them.
Words options_that_read(const Words& command) {
    Words asked = command;
    asked.emplace_back("--help");
    Words options;
    std::istringstream help(run_program(asked).out);
    const std::regex pattern(R"(^  (?:-\w,)?(--[a-z-]+) <FILE>.*)");
    for (std::string line; std::getline(help, line);) {
        std::smatch match;
        if (std::regex_match(line, match, pattern) && match[1] != "--out") options.push_back(match[1]);
    }
    return options;
}

// The same file under another name.
Words names_of(const std::string& path, const TemporaryFolder& folder) {
    const std::string symbolic = folder.path("symbolic"), hard = folder.path("hard");
    fs::remove(symbolic);
    fs::remove(hard);
    fs::create_symlink(path, symbolic);
    fs::create_hard_link(path, hard);
    return {path, (fs::path(path).parent_path() / "." / fs::path(path).filename()).string(), symbolic, hard};
}

void check_kept(const Words& call, const std::string& file, const Inputs& inputs) {
    for (const std::string& name : names_of(file, inputs.folder)) {
        const auto before = inputs.contents();
        Words words = call;
        words.insert(words.end(), {"--out", name});
        const ProgramResult result = run_program(words);
        INFO(fmt::format("{} : {} {}", fmt::join(words, " "), result.status, result.err));
        CHECK(result.status == 2);
        CHECK(holds(result.err, kSays));
        CHECK(result.out.empty());
        CHECK((inputs.contents() == before));
    }
}

struct Base {
    Words command;
    Words rest;         // what the call needs
    std::string input;  // its positional
};

}  // namespace

TEST_CASE("no command replaces what any of its options read") {
    const Inputs inputs;
    const std::vector<Base> commands = {
        {{"inspect"}, {}, inputs.csv},
        {{"score"}, {}, inputs.csv},
        {{"course"}, {}, inputs.csv},
        {{"audit"}, {}, inputs.csv},
        {{"export"}, {}, inputs.csv},
        {{"plan", "threshold"}, {"--plan", inputs.plan}, inputs.csv},
        {{"plan", "sheet"}, {}, inputs.plan},
    };
    std::size_t count = 0;
    for (const Base& base : commands) {
        Words call = base.command;
        call.push_back(base.input);
        Words whole = call;
        whole.insert(whole.end(), base.rest.begin(), base.rest.end());
        check_kept(whole, base.input, inputs);
        for (const std::string& option : options_that_read(base.command)) {
            ++count;
            const std::string file = inputs.of_option.at(option);
            Words with = option == "--plan" ? call : whole;
            with.insert(with.end(), {option, file});
            if (option == "--key-file") with.insert(with.end(), {"--identity", "pseudonym"});
            check_kept(with, file, inputs);
        }
    }
    CHECK(count >= 23);
}

TEST_CASE("what was found in folders lists and links is kept like what was named") {
    const Inputs inputs;
    const TemporaryFolder& folder = inputs.folder;
    fs::create_directory(folder.path("week"));
    fs::copy_file(inputs.csv, folder.path("week/b.csv"));
    const std::string found = folder.path("week/b.csv");
    check_kept({"score", folder.path("week")}, found, inputs);
    check_kept({"inspect", folder.path("week")}, found, inputs);
    check_kept({"course", folder.path("week"), "--by-person"}, found, inputs);
    check_kept({"audit", folder.path("week")}, found, inputs);
    check_kept({"plan", "threshold", folder.path("week"), "--plan", inputs.plan}, found, inputs);
    check_kept({"score", "--files-from", inputs.of_option.at("--files-from")}, inputs.csv, inputs);
    check_kept({"score", inputs.csv, "--dry-run"}, inputs.csv, inputs);
    check_kept({"audit", folder.write("damaged.ndjson", "{\"schema\":\"tracehold.session/1\",")}, folder.path("damaged.ndjson"), inputs);
    fs::create_symlink(inputs.csv, folder.path("link.csv"));
    check_kept({"score", folder.path("link.csv")}, inputs.csv, inputs);
    const std::string list = folder.write("list.csv", "file,plan\na.csv,plan.jsonc\n");
    for (const char* command : {"score", "course", "audit", "export"})
        check_kept({command, inputs.csv, "--sessions", list}, inputs.plan, inputs);
    const std::string appended = fmt::format("\"$TRACEHOLD_BINARY\" score - < {0} >> {0} 2> {1}", inputs.csv, folder.path("err"));
    const std::string before = file_bytes(inputs.csv);
    CHECK(std::system(appended.c_str()) == 2 << 8);
    CHECK(file_bytes(inputs.csv) == before);
}

TEST_CASE("files made inside a folder replace no input either") {
    const Inputs inputs;
    const TemporaryFolder& folder = inputs.folder;
    fs::create_directory(folder.path("r"));
    const std::string out = folder.path("r/"), list = "file,person\na.csv,P-1\n";
    const std::vector<std::pair<Words, std::string>> cases = {
        {{"score", "--format", "json"}, "a.csv.json"},
        {{"score", "--format", "json", "--format", "csv"}, "a.csv.sha256"},
        {{"score", "--format", "csv", "--dry-run"}, "a.csv.measures.csv"},
        {{"export", "--format", "csv"}, "a.scored.csv"},
        {{"export", "--format", "edf", "--format", "bids"}, "a_events.json"},
        {{"export", "--format", "events", "--dry-run"}, "a.events.edf"},
        {{"audit", "--format", "json"}, "audit.json"},
        {{"audit", "--format", "text", "--format", "html", "--dry-run"}, "audit.html"}};
    for (const auto& [words, name] : cases) {
        const std::string sessions = folder.write("r/" + name, list);
        Words call = words;
        call.insert(call.begin() + 1, inputs.csv);
        call.insert(call.end(), {"--sessions", sessions, "--out", out});
        const auto before = inputs.contents();
        const ProgramResult result = run_program(call);
        INFO(fmt::format("{} : {} {}", fmt::join(call, " "), result.status, result.err));
        CHECK(result.status == 2);
        CHECK(holds(result.err, kSays));
        CHECK((inputs.contents() == before));
        fs::remove(sessions);
    }
}

TEST_CASE("practice recordings replace neither an input nor another file and come again over themselves") {
    const Inputs inputs;
    const TemporaryFolder& folder = inputs.folder;
    const std::string made = folder.path("P-014_2026-02-26_reference.edf");
    const Words call = {"simulate", inputs.scenario, "--plan", inputs.of_option.at("--performed"), "--out", folder.path()};
    CHECK(run_program(call).status == 0);
    const std::string bytes = file_bytes(made);
    CHECK(run_program(call).status == 0);
    CHECK(file_bytes(made) == bytes);
    Words other_seed = call;
    other_seed.insert(other_seed.end(), {"--seed", "9"});
    CHECK(run_program(other_seed).status == 3);
    CHECK(file_bytes(made) == bytes);
    fs::remove(made);
    folder.write("P-014_2026-02-26_reference.edf", "a real recording");
    const ProgramResult real = run_program(call);
    CHECK(real.status == 3);
    CHECK(holds(real.err, "another file is there already"));
    CHECK(file_bytes(made) == "a real recording");
    fs::remove(made);
    const std::string truth = folder.write("P-014_2026-02-26_reference.edf.truth.json", "a real truth");
    CHECK(run_program(call).status == 3);
    CHECK(file_bytes(truth) == "a real truth");
    CHECK_FALSE(fs::exists(made));
    std::string itself = file_bytes(inputs.scenario);
    itself.replace(itself.find("P-014_2026-02-26_reference.edf"), 30, "scenario.csv");
    const std::string scenario = folder.write("scenario.csv", itself);
    const ProgramResult same = run_program({"simulate", scenario, "--plan", inputs.of_option.at("--performed"), "--out", folder.path()});
    CHECK(same.status == 2);
    CHECK(holds(same.err, kSays));
    CHECK(file_bytes(scenario) == itself);
}
