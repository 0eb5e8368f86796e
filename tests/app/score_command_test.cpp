// Scoring files as a clinic would: the example week, folders, standard input, bad files among good ones.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/edf_builder.hpp"
#include "support/run_program.hpp"

using tracehold::test::BuiltEdf;
using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::home_week;
using tracehold::test::kHomePlan;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::small_edf;
using tracehold::test::TemporaryFolder;

namespace {

const std::string kList = SOURCE_DIR "/examples/sessions.csv";

std::vector<nlohmann::json> lines_of(const std::string& ndjson) {
    std::vector<nlohmann::json> all;
    std::istringstream in(ndjson);
    for (std::string line; std::getline(in, line);) all.push_back(nlohmann::json::parse(line));
    return all;
}

ProgramResult score_week(std::vector<std::string> more) {
    std::vector<std::string> words = {"score", home_week().path(), "--plan", kHomePlan, "--sessions", kList};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(words);
}

}  // namespace

TEST_CASE("the example week is scored and its faults are seen") {
    const ProgramResult result = score_week({"--format", "ndjson", "--quiet"});
    CHECK(result.status == 1);  // one could not be scored
    CHECK(holds(result.err, "P-014_2026-03-04_a.csv:signal: cannot be scored: "));
    CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
    const auto sessions = lines_of(result.out);
    REQUIRE(sessions.size() == 7);
    for (const auto& session : sessions) {
        const std::string source = session["recording"]["source"];
        const bool open = holds(source, "03-04_a");  // the reference electrode was off
        CHECK(session["schema"] == "tracehold.session/1");
        CHECK(session["recording"]["person"] == "P-014");
        CHECK(session["quality"]["usable"] == !open);
        CHECK(session["session"]["planned"] == 15);
        if (open) {
            CHECK(session["session"]["missed"] == 0);  // nobody can say that they were
            CHECK(session["session"]["unusable"] == 15);
        }
        if (holds(source, "envelope")) {
            CHECK(session["session"]["missed"] == 2);
            CHECK(session["recording"]["channel"]["kind"] == "envelope");
        }
        if (holds(source, "03-07")) CHECK(session["cues"]["from"] == "aligned");
    }
}

TEST_CASE("several recordings as text are one table and a single one is a page") {
    const ProgramResult table = score_week({});
    CHECK(table.status == 1);
    CHECK(holds(table.out, "7 recordings, 6 scored"));
    const ProgramResult page = run_program({"score", home_week().path("P-014_2026-03-03.edf"), "--plan", kHomePlan});
    CHECK(page.status == 0);
    for (const char* part : {"Did it happen?", "Can it be trusted?", "What did the muscle do?", "Limits"}) CHECK(holds(page.out, part));
    CHECK(page.err.empty());
}

TEST_CASE("a page in HTML holds no script and only its own style and several pages need a folder") {
    const ProgramResult page = run_program({"score", home_week().path("P-014_2026-03-03.edf"), "--plan", kHomePlan, "--format", "html"});
    CHECK(page.status == 0);
    CHECK(page.out.rfind("<!DOCTYPE html>", 0) == 0);
    CHECK(holds(page.out, "Content-Security-Policy"));
    CHECK_FALSE(holds(page.out, "<script"));
    CHECK_FALSE(holds(page.out, "http://"));
    const ProgramResult several = score_week({"--format", "html"});
    CHECK(several.status == 2);
    CHECK(holds(several.err, "one file cannot hold the pages of several recordings"));
}

TEST_CASE("results are the same bytes for any number of jobs") {
    const ProgramResult one = score_week({"--format", "ndjson", "--quiet", "--jobs", "1"});
    const ProgramResult many = score_week({"--format", "ndjson", "--quiet", "--jobs", "8"});
    CHECK(one.out == many.out);
    CHECK(one.out.size() > 10000);
}

TEST_CASE("one bad file does not stop the others") {
    const TemporaryFolder folder;
    folder.write("b-word.csv", "time_s,emg_uV\n0.000,1.5\n0.001,oops\n0.002,1.5\n");
    folder.write("c-empty.csv", "");
    std::filesystem::copy_file(home_week().path("P-014_2026-03-05_envelope.csv"), folder.path("d.csv"));
    const ProgramResult result = run_program({"score", folder.path(), "--plan", kHomePlan, "--format", "ndjson"});
    CHECK(result.status == 1);
    CHECK(lines_of(result.out).size() == 1);
    CHECK(holds(result.err, "b-word.csv:3:7: "));
    CHECK(holds(result.err, "oops"));
    CHECK(holds(result.err, "c-empty.csv: the file is empty"));
}

TEST_CASE("a folder gets a file for each recording and format and nothing half written") {
    const TemporaryFolder folder;
    const ProgramResult result = score_week({"--format", "json", "--format", "md", "--format", "csv", "--quiet", "--out", folder.path("r/")});
    CHECK(result.status == 1);
    CHECK(result.out.empty());
    std::size_t count = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path("r"))) {
        ++count;
        const bool names_the_others = entry.path().extension() == ".sha256";
        CHECK_FALSE(holds(entry.path().string(), "unfinished"));
        CHECK(std::filesystem::file_size(entry.path()) > (names_the_others ? 200 : 1000));
    }
    CHECK(count == 28);
    CHECK(nlohmann::json::parse(file_bytes(folder.path("r/P-014_2026-03-03.edf.json")))["session"]["done"] == 15);
}

TEST_CASE("standard input is read like a file") {
    const std::string bytes = file_bytes(home_week().path("P-014_2026-03-03.edf"));
    const ProgramResult result = run_program({"score", "-", "--plan", kHomePlan, "--format", "json", "--quiet"}, bytes);
    CHECK(result.status == 0);
    CHECK(nlohmann::json::parse(result.out)["session"]["done"] == 15);
}

TEST_CASE("outputs that cannot be written end with 3 and say why") {
    const std::string recording = home_week().path("P-014_2026-03-05_envelope.csv");
    const ProgramResult no_folder = run_program({"score", recording, "--out", "/nonexistent-folder/x.txt"});
    CHECK(no_folder.status == 3);
    CHECK(holds(no_folder.err, "cannot create the file: No such file or directory\nhint: make the folder first\n"));
}

TEST_CASE("a correction that fits no recording is told") {
    const TemporaryFolder folder;
    const std::string corrections =
        folder.write("c.csv", "file,action,cycle,from_s,to_s,who,when,why\nother.csv,drop_cycle,1,,,K-3,2026-03-10,slip\n");
    const ProgramResult result =
        run_program({"score", home_week().path("P-014_2026-03-05_envelope.csv"), "--plan", kHomePlan, "--corrections", corrections});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "a correction of 'K-3' for the file 'other.csv' fits none of the recordings: saw 'P-014_2026-03-05_envelope.csv'\nhint: name the file"));
    // A list of the whole week is no slip of the pen where one day of it is scored.
    const std::string week = folder.write("w.csv", file_bytes(corrections) + "P-014_2026-03-05_envelope.csv,drop_cycle,1,,,K-3,2026-03-10,slip\n");
    CHECK(run_program({"score", home_week().path("P-014_2026-03-05_envelope.csv"), "--plan", kHomePlan, "--corrections", week}).status == 0);
}

TEST_CASE("a channel that nobody named and that says it is of another source is doubted") {
    const TemporaryFolder folder;
    std::string bytes = file_bytes(home_week().path("P-014_2026-03-05_envelope.csv"));
    const std::size_t label = bytes.find("EMG PFM");
    REQUIRE(label != std::string::npos);
    const std::string path = folder.write("ecg.csv", bytes.replace(label, 7, "ECG"));
    const auto quality = [&](std::vector<std::string> more) {
        std::vector<std::string> words = {"score", path, "--format", "json", "--quiet"};
        words.insert(words.end(), more.begin(), more.end());
        return nlohmann::json::parse(run_program(words).out)["quality"].dump();
    };
    CHECK(holds(quality({}), "the label 'ECG' names another source than the pelvic floor"));
    const std::string planned = quality({"--plan", kHomePlan});
    CHECK(holds(planned, "other_source"));
    CHECK(holds(planned, "channel_differs"));
    const std::string asked = quality({"--plan", kHomePlan, "--channel", "ECG"});
    CHECK_FALSE(holds(asked, "other_source"));
    CHECK_FALSE(holds(asked, "channel_differs"));
}

TEST_CASE("an accessory of the plan that is not among the channels is told, with the one that was perhaps meant") {
    const TemporaryFolder folder;
    std::string plan = file_bytes(kHomePlan);
    const std::size_t label = plan.find("\"EMG Abd\"");
    REQUIRE(label != std::string::npos);
    const std::string misspelt = folder.write("plan.jsonc", plan.replace(label, 9, "\"EMG Adb\""));
    const auto notes_with = [&](const std::string& plan_path, const std::vector<std::string>& more = {}) {
        std::vector<std::string> words = {"score", home_week().path("P-014_2026-03-03.edf"), "--plan", plan_path};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words).out;
    };
    CHECK(holds(notes_with(misspelt, {"--format", "json", "--channel", "EMG PFM"}), "which is not among the channels here; did you mean 'EMG Abd'?"));
    CHECK_FALSE(holds(notes_with(misspelt, {"--format", "json", "--accessory", "EMG Abd"}), "accessory_not_here"));
    CHECK_FALSE(holds(notes_with(kHomePlan, {"--format", "json"}), "accessory_not_here"));
}

TEST_CASE("a date that no recorder can mean is a caution") {
    const TemporaryFolder folder;
    std::string bytes = file_bytes(home_week().path("P-014_2026-03-05_envelope.csv"));
    const auto scored = [&](const std::string& name) {
        return nlohmann::json::parse(run_program({"score", folder.write(name, bytes), "--plan", kHomePlan, "--format", "json", "--quiet"}).out)["quality"].dump();
    };
    CHECK_FALSE(holds(scored("today.csv"), "start_impossible"));
    const std::size_t start = bytes.find("start: 2026-");
    REQUIRE(start != std::string::npos);
    bytes.replace(start, 12, "start: 2999-");
    CHECK(holds(scored("far.csv"), "dated '2999-03-05': the recorder's clock was wrong, or the date is"));
}

TEST_CASE("a recording cut in half is not trusted without a word") {
    const TemporaryFolder folder;
    const std::string whole = file_bytes(home_week().path("P-014_2026-03-02.csv"));
    const ProgramResult result = run_program({"score", folder.write("cut.csv", whole.substr(0, whole.size() / 2)), "--plan", kHomePlan, "--format", "json", "--quiet"});
    CHECK(result.status == 0);
    CHECK(holds(nlohmann::json::parse(result.out)["quality"].dump(), "plan_not_whole"));
}

TEST_CASE("results written beside the recordings are not read as recordings") {
    const TemporaryFolder folder;
    std::filesystem::copy_file(home_week().path("P-014_2026-03-05_envelope.csv"), folder.path("a.csv"));
    CHECK(run_program({"score", folder.path(), "--plan", kHomePlan, "--format", "csv", "--out", folder.path(), "--quiet"}).status == 0);
    CHECK(run_program({"score", folder.path(), "--plan", kHomePlan, "--quiet"}).status == 0);
}

TEST_CASE("a full device is told and stays a device") {
    const std::string recording = home_week().path("P-014_2026-03-05_envelope.csv");
    const TemporaryFolder folder;
    std::filesystem::create_symlink("/dev/full", folder.path("full"));  // should it be replaced, then only the link
    const ProgramResult result = run_program({"score", recording, "--out", folder.path("full")});
    CHECK(result.status == 3);
    CHECK(holds(result.err, "cannot write: No space left on device"));
    CHECK(std::filesystem::is_symlink(folder.path("full")));
}

TEST_CASE("a clock that jumps by years makes no recording of years") {
    const TemporaryFolder folder;
    const ProgramResult result = run_program({"score", folder.write("years.csv", "time_s,emg_uV\n0,1\n1e9,2\n2e9,1\n")});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "no rate of a recorder: saw 1e-09 Hz, expected at least 4 Hz"));
}

TEST_CASE("malformed recordings that are read are refused where what is wrong concerns the channel to score") {
    const TemporaryFolder folder;
    const auto two_signals = [](const std::string& label, const std::string& physical, const std::string& digital) {
        BuiltEdf file = small_edf();
        file.signals.push_back(file.signals[0]);
        file.signals[1].label = label;
        if (!physical.empty()) file.signals[1].physical_min = file.signals[1].physical_max = physical;
        if (!digital.empty()) file.signals[1].digital_min = file.signals[1].digital_max = digital;
        return file.bytes();
    };
    std::string millivolts = "time_s,emg_mV\n";
    for (int i = 0; i < 20000; ++i) millivolts += fmt::format("{:.3f},{}\n", i / 1000.0, i * 7919 % 41 - 20);
    struct Case {
        std::string name, bytes;
        std::vector<std::string> more;
        std::string says;
    };
    const std::vector<Case> cases = {
        {"physical.edf", two_signals("-", "0", ""), {"--channel", "2"},
         "physical.edf:signal: cannot be scored: only 0.0 s of 2.0 s can be believed: too little to score\n"},
        {"digital.edf", two_signals("-", "", "0"), {"--channel", "-"},
         "digital.edf:signal: cannot be scored: only 0.0 s of 2.0 s can be believed: too little to score\n"},
        {"label.edf", two_signals("EMG PFM", "", ""), {"--channel", "EMG PFM"},
         "label.edf:channels: several channels are called 'EMG PFM': the file has 1 'EMG PFM', 2 'EMG PFM'\nhint: name one with --channel LABEL or --channel NUMBER\n"},
        {"unit.csv", millivolts, {},
         "more than muscle gives at the skin (1500 µV): the unit is probably another; --unit says which\n"},
    };
    for (const Case& each : cases) {
        CAPTURE(each.name);
        std::vector<std::string> words{"score", folder.write(each.name, each.bytes), "--quiet"};
        words.insert(words.end(), each.more.begin(), each.more.end());
        const ProgramResult result = run_program(words);
        CHECK(result.status == 1);
        CHECK(holds(result.err, each.says));
    }
    folder.write("upper/NIGHT.REC", small_edf().bytes());
    folder.write("upper/day.Edf", small_edf().bytes());
    const ProgramResult named = run_program({"inspect", folder.path("upper"), "--format", "ndjson", "--quiet"});
    CHECK(named.status == 0);
    CHECK(std::count(named.out.begin(), named.out.end(), '\n') == 2);
}

TEST_CASE("what cannot be scored is refused with place and wish") {
    const TemporaryFolder folder;
    std::string two_channels = "time_s,a_uV,b_uV\n", no_rate = "emg_uV\n";
    for (int i = 0; i < 3000; ++i) {
        two_channels += std::to_string(i / 1000.0) + "," + std::to_string(i % 7 - 3) + "," + std::to_string(i % 5 - 2) + "\n";
        no_rate += std::to_string(i % 7 - 3) + "\n";
    }
    struct Case {
        std::string path;
        const char* says;
    };
    const std::vector<Case> cases = {
        {folder.write("two.csv", two_channels), "several channels could be scored: the file has 1 'a', 2 'b'"},
        {folder.write("rate.csv", no_rate), "--rate"},
                {folder.write("noise.bin", std::string("\x01\x02\x00\xff\xfe garbage", 14)), "noise.bin"},
        {folder.path("sub/none.csv"), "no such file"},
    };
    for (const Case& refused : cases) {
        const ProgramResult result = run_program({"score", refused.path});
        INFO(result.err);
        CHECK(result.status == 1);
        CHECK(holds(result.err, refused.says));
    }
}

TEST_CASE("a constant channel is described as such and not scored") {
    const TemporaryFolder folder;
    std::string constant = "time_s,emg_uV\n";
    for (int i = 0; i < 3000; ++i) constant += std::to_string(i / 1000.0) + ",5\n";
    const ProgramResult result = run_program({"score", folder.write("constant.csv", constant), "--format", "json"});
    CHECK(result.status == 1);
    const auto session = nlohmann::json::parse(result.out);
    CHECK(session["quality"]["usable"] == false);
    CHECK(session["session"]["done"] == 0);
    CHECK(session["session"]["measures"]["work_mean_uv"]["mean"].is_null());
}

TEST_CASE("a plan longer than its recording is refused with both lengths") {
    const TemporaryFolder folder;
    std::string text = "time_s,emg_uV\n";
    for (int i = 0; i < 200; ++i) text += std::to_string(i / 20.0) + "," + std::to_string(2 + i % 3) + "\n";
    const ProgramResult result = run_program({"score", folder.write("short.csv", text), "--plan", kHomePlan, "--start", "0"});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "saw"));
    CHECK(holds(result.err, "expected"));
}

TEST_CASE("plan check tells a sound plan from a misspelt one") {
    const TemporaryFolder folder;
    CHECK(run_program({"plan", "check", kHomePlan}).status == 0);
    const std::string misspelt = folder.write(
        "p.json", R"({"schema": "tracehold.plan/1", "name": "x", "posture": "lying", "steps": [{"do": "hold", "secnds": 5, "rest_seconds": 5}]})");
    const ProgramResult result = run_program({"plan", "check", misspelt});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "saw 'secnds', expected 'seconds'"));
}
