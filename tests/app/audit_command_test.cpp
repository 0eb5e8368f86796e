// An audit as a manager and as a script would ask for it, from results and from recordings.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "audit/made_service.hpp"
#include "support/run_program.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/exchange/write_session.hpp"

using namespace tracehold::test;
using nlohmann::json;

namespace {

// Invented people: their codes, files and the words beside them must not reach an output for others.
std::vector<MadePerson> canaries() {
    std::vector<MadePerson> people;
    for (int i = 0; i < 24; ++i) {
        people.push_back({.code = fmt::format("CANARY-{:02}", i),
                          .site = i < 12   ? "north"
                                  : i < 22 ? "south"
                                           : "west",
                          .weeks = 2,
                          .held = i % 3 == 0 ? 3 : 7,
                          .first_day = 28 * (i % 3),
                          .rest_uv = i % 4 == 0 ? 6.0 : 2.0});
    }
    return people;
}

std::string results_of(const std::vector<MadePerson>& people) {
    std::string lines;
    for (const MadePerson& person : people) {
        for (const auto& score : sessions_of(person)) lines += tracehold::session_json(score, 0);
    }
    return lines;
}

// A row for each file: the arm of a trial, and a remark that names the person.
std::string list_of(const std::vector<MadePerson>& people) {
    std::string list = "file,person,arm,remark,reviewed\n";
    for (std::size_t i = 0; i < people.size(); ++i) {
        for (const auto& score : sessions_of(people[i])) {
            list += fmt::format("{},{},{},{},{}\n", score.recording.source, people[i].code,
                                i % 2 == 0 ? "early" : "late", "about " + people[i].code, i == 0 ? "2026-03-20" : "");
        }
    }
    return list;
}

ProgramResult audit(std::vector<std::string> words, const std::string& input = results_of(canaries())) {
    words.insert(words.begin(), {"audit", "-"});
    return run_program(words, input);
}

}  // namespace

TEST_CASE("an audit counts people by site for the team and hides the small site for others") {
    const ProgramResult team = audit({"--by", "site", "--format", "json", "--rest-target", "4"});
    CHECK(team.status == 0);
    const json all = json::parse(team.out);
    CHECK(all["flow"]["people"]["count"] == 24);
    CHECK(all["by"]["measures"]["adherence"]["groups"].size() == 3);
    CHECK(all["by"]["measures"]["adherence"]["groups"][2]["denominator"] == 2);
    CHECK(all["measures"]["resting_activity_on_target"]["numerator"] == 18);

    const json shown =
        json::parse(audit({"--by", "site", "--format", "json", "--rest-target", "4", "--for", "public"}).out);
    CHECK(shown["by"]["measures"]["adherence"]["groups"][2]["denominator"].is_null());
    CHECK(shown["by"]["measures"]["adherence"]["groups"][1]["denominator"].is_null());  // else the sum would tell
    CHECK(shown["settings"]["min_cell"] == 5);
}

TEST_CASE("nobody can be found in any output for others") {
    const TemporaryFolder folder;
    const std::string list = folder.write("list.csv", list_of(canaries()));
    for (const char* by : {"site", "month", "arm", "remark"}) {
        for (const char* format : {"text", "json", "ndjson", "csv", "md", "html"}) {
            CAPTURE(by);
            CAPTURE(format);
            const ProgramResult result = audit({"--by", by, "--sessions", list, "--for", "public", "--format", format});
            CHECK(result.status == 0);
            CHECK(result.out.size() > 1000);
            CHECK_FALSE(holds(result.out, "CANARY"));
            CHECK_FALSE(holds(result.out, "canary"));
            CHECK_FALSE(holds(result.out, "list.csv"));
        }
    }
    CHECK(holds(audit({"--by", "remark", "--sessions", list, "--format", "json"}).out,
                "CANARY"));  // the team asked for it
}

TEST_CASE("listed people without a recording are counted, and hidden where they are few") {
    const TemporaryFolder folder;
    const auto told = [&](int nobody, std::vector<std::string> words) {
        std::string list = list_of(canaries());
        for (int i = 0; i < nobody; ++i) list += fmt::format(",CANARY-N{},,,\n", i);
        words.insert(words.end(), {"--sessions", folder.write("list.csv", list)});
        return audit(words);
    };
    const auto count = [&](int nobody, const char* audience) {
        return json::parse(told(nobody, {"--format", "json", "--for", audience}).out)["flow"]["people_listed_only"].dump();
    };
    CHECK(count(3, "team") == R"({"count":3,"suppressed":false})");
    CHECK(count(0, "public") == R"({"count":0,"suppressed":false})");
    CHECK(count(3, "public") == R"({"count":null,"suppressed":true})");
    CHECK(count(5, "public") == R"({"count":5,"suppressed":false})");
    constexpr const char* kSays = "People of the sessions list without a recording that was given a result: ";
    CHECK(holds(told(3, {"--format", "md"}).out, kSays + std::string("3.")));
    CHECK(holds(told(3, {"--format", "md", "--for", "public"}).out, kSays + std::string("hidden.")));
    CHECK_FALSE(holds(told(0, {"--format", "md"}).out, kSays));
    CHECK_FALSE(holds(told(3, {}).err, "no recording of this call"));
    CHECK_FALSE(holds(told(3, {"--format", "json"}).out, "CANARY"));
}

namespace {

std::vector<std::string> words_of(const std::string& line, const std::string& between) {
    std::vector<std::string> words(1);
    for (std::size_t i = 0; i < line.size();) {
        if (line.compare(i, between.size(), between) == 0) {
            words.emplace_back();
            i += between.size();
        } else {
            words.back() += line[i++];
        }
    }
    for (std::string& word : words) {
        word.erase(0, word.find_first_not_of(' '));
        word.erase(word.find_last_not_of(' ') + 1);
    }
    return words;
}

// Group or month, how many of how many; "hidden" as the pages have it. Sorted.
using ShownRows = std::multiset<std::string>;

ShownRows rows_in_json(const std::string& text) {
    ShownRows rows;
    const json audit = json::parse(text);
    const auto count = [](const json& cell, const char* key) { return cell[key].is_null() ? "hidden" : cell[key].dump(); };
    const auto add = [&](const json& list, const char* name) {
        for (const json& cell : list) rows.insert(fmt::format("{}|{}|{}", cell[name].get<std::string>(), count(cell, "numerator"), count(cell, "denominator")));
    };
    for (const auto& [key, measure] : audit["by"]["measures"].items()) add(measure["groups"], "group");
    for (const auto& [key, measure] : audit["series"].items()) add(measure["months"], "month");
    return rows;
}

ShownRows rows_in_csv(const std::string& text) {
    ShownRows rows;
    std::istringstream lines(text);
    std::string line;
    std::getline(lines, line);
    const auto names = words_of(line, ",");
    const auto at = [&](const char* name) { return static_cast<std::size_t>(std::find(names.begin(), names.end(), name) - names.begin()); };
    while (std::getline(lines, line)) {
        const auto cells = words_of(line, ",");
        const std::string& table = cells[at("table")];
        if (cells[at("measure")] == "flow" || (table != "group" && table != "month")) continue;
        const auto count = [&](const char* name) { return cells[at(name)].empty() ? "hidden" : cells[at(name)]; };
        rows.insert(fmt::format("{}|{}|{}", cells[at("group")], count("numerator"), count("denominator")));
    }
    return rows;
}

// Of the tables whose head is "Group" or "Month", "Yes", "Of ...".
ShownRows rows_in_page(const std::vector<std::vector<std::string>>& lines) {
    ShownRows rows;
    bool within = false;
    for (const auto& cells : lines) {
        if (cells.size() < 4) {
            within = false;
        } else if ((cells[0] == "Group" || cells[0] == "Month") && cells[1] == "Yes") {
            within = true;
        } else if (within && cells[1] != "--:") {
            rows.insert(fmt::format("{}|{}|{}", cells[0], cells[1], cells[2]));
        }
    }
    return rows;
}

ShownRows rows_in_markdown(const std::string& text) {
    std::vector<std::vector<std::string>> table;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) table.push_back(line.starts_with("|") ? words_of(line.substr(1), "|") : std::vector<std::string>{});
    return rows_in_page(table);
}

ShownRows rows_in_html(std::string text) {
    std::vector<std::vector<std::string>> table;
    for (std::size_t at = text.find("<tr"); at != std::string::npos; at = text.find("<tr", at + 1)) {
        std::string row = text.substr(at, text.find("</tr>", at) - at);
        std::vector<std::string> cells;
        if (holds(row, "scope=\"col\"")) table.emplace_back();  // another table
        for (std::size_t begin = std::min(row.find("<td"), row.find("<th")); begin != std::string::npos;) {
            const std::size_t open = row.find('>', begin) + 1, end = std::min(row.find("</td>", open), row.find("</th>", open));
            std::string cell = row.substr(open, end - open);
            while (cell.find('<') != std::string::npos) cell.erase(cell.find('<'), cell.find('>') - cell.find('<') + 1);
            cells.push_back(cell);
            begin = std::min(row.find("<td", end), row.find("<th", end));
        }
        table.push_back(cells);
    }
    return rows_in_page(table);
}

}  // namespace

TEST_CASE("every format hides the same counts from others, also where half of the results cannot be read") {
    const std::string whole = results_of(canaries());
    std::string half;
    std::istringstream lines(whole);
    int i = 0;
    for (std::string line; std::getline(lines, line);) half += (i++ % 2 == 0 ? line : line.substr(0, line.size() / 2)) + "\n";
    for (const std::string& input : {whole, half}) {
        const auto shown = [&](const char* format) {
            const ProgramResult result = audit({"--by", "site", "--for", "public", "--rest-target", "4", "--format", format, "--quiet"}, input);
            CHECK(result.status == (input == half ? 1 : 0));
            return result.out;
        };
        const ShownRows rows = rows_in_json(shown("json"));
        CHECK(rows.size() > 20);
        CHECK(std::count_if(rows.begin(), rows.end(), [](const std::string& row) { return holds(row, "hidden|hidden"); }) > 3);
        CHECK(std::count_if(rows.begin(), rows.end(), [](const std::string& row) { return !holds(row, "hidden"); }) > 3);
        const auto text_of = [](const ShownRows& some) { return fmt::format("{}", fmt::join(some, "\n")); };
        CHECK(text_of(rows_in_csv(shown("csv"))) == text_of(rows));
        CHECK(text_of(rows_in_markdown(shown("md"))) == text_of(rows));
        CHECK(text_of(rows_in_html(shown("html"))) == text_of(rows));
    }
}

TEST_CASE("an audit and a course name the files that they were made with, hidden as asked") {
    const TemporaryFolder folder;
    const std::string text = list_of(canaries()), list = folder.write("list.csv", text), key = folder.path("k");
    REQUIRE(run_program({"key", "new", key}).status == 0);
    const std::string hash = tracehold::sha256_hex(text);
    std::string results;
    for (const MadePerson& person : canaries()) {
        for (auto score : sessions_of(person)) {
            score.plan->sha256 = tracehold::sha256_hex("plan");
            results += tracehold::session_json(score, 0);
        }
    }
    const std::string file = folder.write("results.ndjson", results);
    const auto made_with = [&](std::vector<std::string> words) {
        words.insert(words.end(), {"--sessions", list, "--format", "json", "--quiet"});
        if (words[0] == "course") words.insert(words.end(), {"--person", "CANARY-03"});
        words.push_back(file);
        const ProgramResult result = run_program(words);
        CAPTURE(result.err);
        REQUIRE(result.status == 0);
        return json::parse(result.out)["made_with"];
    };
    for (const char* command : {"audit", "course"}) {
        const auto asked = [&](std::vector<std::string> more) {
            more.insert(more.begin(), command);
            return made_with(more);
        };
        const json kept = asked({}), keyed = asked({"--identity", "pseudonym", "--key-file", key}), none = asked({"--identity", "anonymous"});
        CHECK(kept["sessions_sha256"] == hash);
        CHECK(kept["plans_sha256"].size() == 1);
        CHECK(kept["left_out"].is_null());
        CHECK(keyed["sessions_sha256"].get<std::string>().size() == 64);
        CHECK(keyed["sessions_sha256"] != hash);
        CHECK(keyed["plans_sha256"].size() == 1);
        CHECK(keyed["plans_sha256"] != kept["plans_sha256"]);
        for (const json& hidden : {none, command == std::string("audit") ? asked({"--for", "public"}) : none}) {
            CHECK(hidden["sessions_sha256"].is_null());
            CHECK(hidden["plans_sha256"].empty());
            CHECK(hidden["left_out"] == "by them whoever holds a file could tell that it is the one");
        }
    }
}

TEST_CASE("an empty file is no readable recording") {
    const TemporaryFolder folder;
    for (const char* name : {"empty.ndjson", "empty.csv"}) {
        const ProgramResult result = run_program({"audit", folder.write(name, ""), "--format", "json"});
        CHECK(result.status == 1);
        CHECK(holds(result.err, "the file is empty"));
        const json flow = json::parse(result.out)["flow"];
        CHECK(flow["found"]["count"] == 1);
        CHECK(flow["readable"]["count"] == 0);
    }
}

TEST_CASE("a column of the list makes groups and a date of review counts") {
    const TemporaryFolder folder;
    const std::string list = folder.write("list.csv", list_of(canaries()));
    const json by_arm = json::parse(audit({"--by", "arm", "--sessions", list, "--format", "json"}).out);
    CHECK(by_arm["by"]["column"] == "arm");
    CHECK(by_arm["by"]["measures"]["adherence"]["groups"][0]["group"] == "early");
    CHECK(by_arm["by"]["measures"]["adherence"]["groups"][0]["denominator"] == 12);
    CHECK(by_arm["measures"]["time_to_review"]["median_n"] == 1);
    CHECK(by_arm["measures"]["time_to_review"]["median"] == 18.0);

    const ProgramResult typo = audit({"--by", "amr", "--sessions", list});
    CHECK(typo.status == 2);
    CHECK(holds(typo.err,
                "no column 'amr' in the sessions list: expected one of 'arm', 'channel', 'month', 'plan', 'posture', 'remark', 'reviewed', 'site'; "
                "did you mean 'arm'?"));
    const ProgramResult people = audit({"--by", "person", "--sessions", list});
    CHECK(people.status == 2);
    CHECK(holds(people.err, "would list people"));
    const ProgramResult nowhere = audit({"--by", "arm"});
    CHECK(nowhere.status == 2);
    CHECK(holds(nowhere.err, "expected month, site, or a column of a sessions list"));
    CHECK(holds(nowhere.err, "--sessions FILE"));
    const std::string bad =
        folder.write("bad.csv", "file,reviewed\n" + sessions_of(canaries()[0])[0].recording.source + ",soon\n");
    CHECK(holds(audit({"--sessions", bad}).err, "not a date: saw 'soon'"));
}

TEST_CASE("broken lines are counted with their reason and cost no other") {
    const std::string lines = results_of({canaries()[0]});
    const std::string cut = lines.substr(0, lines.find('\n') / 2) + "\n";
    const ProgramResult result = audit({"--format", "json"}, lines + cut + lines);
    CHECK(result.status == 1);
    CHECK(holds(result.err, "no whole result here"));
    const json found = json::parse(result.out);
    const auto once = static_cast<std::size_t>(std::count(lines.begin(), lines.end(), '\n'));
    CHECK(found["flow"]["found"]["count"] == 2 * once + 1);
    CHECK(found["flow"]["in_analysis"]["count"] == once);
    CHECK(found["flow"]["lost"][0]["code"] == "malformed");
    CHECK(found["flow"]["lost"][1]["code"] == "duplicate");
    CHECK(found["flow"]["lost"][1]["count"] == once);
}

TEST_CASE("a damaged result is refused by its place and costs no other, in an audit and in a course") {
    const TemporaryFolder folder;
    const std::string lines = results_of({canaries()[0]});
    std::string damaged = lines.substr(0, lines.find('\n') + 1);
    const std::string good = "\"done\":8,", bad = "\"done\":9999,";
    const std::string found = "\"from\":\"trace\"", cued = "\"from\":\"marks\"";  // only cued contractions have a most
    for (const auto& [before, after] : {std::pair(found, cued), std::pair(good, bad)}) {
        REQUIRE(holds(damaged, before));
        damaged.replace(damaged.find(before), before.size(), after);
    }
    const std::string path = folder.write("a.ndjson", damaged + lines);
    const auto once = static_cast<std::size_t>(std::count(lines.begin(), lines.end(), '\n'));
    for (const char* command : {"audit", "course"}) {
        CAPTURE(command);
        const ProgramResult result = run_program({command, path, "--format", "json"});
        CHECK(result.status == 1);
        CHECK(holds(result.err, "a.ndjson:line 1, /session/"));
        CHECK(holds(result.err, "is not possible: saw 9999 done"));
        const json told = json::parse(result.out);
        if (std::string(command) == "audit") {
            CHECK(told["flow"]["lost"][0]["text"] == "damaged beyond repair");
            CHECK(told["flow"]["in_analysis"]["count"] == once);
        } else {
            CHECK(told["used"] == once);
        }
    }
    for (const char* command : {"audit", "course"}) {
        const ProgramResult list = run_program({command, folder.write("b.json", "[" + damaged + "]")});
        CHECK(list.status == 1);
        CHECK(holds(list.err, "a list of results: saw '['"));
    }
}

TEST_CASE("a contraction that cannot be is refused by an audit as by a course") {
    const TemporaryFolder folder;
    const auto score = sessions_of({.code = "P-1", .weeks = 1})[0];
    auto one = json::parse(tracehold::session_json(with_cues(score, training_plan(), *score.plan), 0));
    one["cycles"][0]["kind"] = "press";
    const std::string path = folder.write("a.ndjson", one.dump() + "\n" + results_of({{.code = "P-1", .weeks = 1}}));
    for (const char* command : {"audit", "course"}) {
        CAPTURE(command);
        const ProgramResult result = run_program({command, path, "--quiet"});
        CHECK(result.status == 1);
        CHECK(holds(result.err, "a.ndjson:line 1, /cycles/0/kind: 'kind' is not known: saw 'press'"));
    }
}

TEST_CASE("an anonymous audit counts months and tells no date and no hash") {
    for (const char* audience : {"team", "public"}) {
        for (const char* format : {"text", "json", "csv", "md", "html"}) {
            CAPTURE(format);
            const auto asked = [&](const char* identity) {
                return audit({"--identity", identity, "--for", audience, "--format", format, "--from", "2026-01-02", "--quiet"});
            };
            const ProgramResult kept = asked("keep"), hidden = asked("anonymous");
            CHECK(hidden.status == 0);
            CHECK(holds(kept.out, "2026-0"));  // else the search would prove nothing
            CHECK_FALSE(holds(hidden.out, "2026"));
            CHECK(holds(hidden.out, "month 1"));
            CHECK(holds(hidden.out, "month 3"));
        }
    }
    const json kept = json::parse(audit({"--format", "json"}).out), hidden = json::parse(audit({"--identity", "anonymous", "--format", "json"}).out);
    CHECK(hidden["inputs_sha256"].is_null());
    CHECK(hidden["period"]["first"].is_null());
    CHECK(hidden["settings"]["identity"] == "anonymous");
    CHECK(hidden["measures"] == kept["measures"]);
    const TemporaryFolder folder;
    REQUIRE(run_program({"key", "new", folder.path("k")}).status == 0);
    const json keyed = json::parse(audit({"--identity", "pseudonym", "--key-file", folder.path("k"), "--format", "json"}).out);
    CHECK(keyed["inputs_sha256"].get<std::string>().size() == 64);
    CHECK(keyed["inputs_sha256"] != kept["inputs_sha256"]);
    CHECK(kept["inputs_sha256"].get<std::string>().size() == 64);
    CHECK(json::parse(audit({"--for", "public", "--format", "json"}).out)["inputs_sha256"].is_null());
}

TEST_CASE("an audit of anonymous results says that no person is known") {
    std::string lines;
    for (const MadePerson& person : canaries()) {
        for (auto score : sessions_of(person)) {
            score.settings.identity = tracehold::IdentityLevel::anonymous;
            score.recording.start->local -= std::chrono::days{365 * 2000};
            lines += tracehold::session_json(score, 0);
        }
    }
    for (const char* audience : {"team", "public"}) {
        const ProgramResult result = audit({"--format", "json", "--for", audience}, lines);
        CHECK(result.status == 0);
        CHECK(holds(result.err, "anonymous results are left out"));
        const json told = json::parse(result.out);
        CHECK(told["flow"]["lost"][0]["code"] == "anonymous");
        for (const auto& measure : told["measures"]) {
            CHECK(measure["share"].is_null());
            CHECK(measure["reason"] == "no person is known: the results were made anonymous");
        }
    }
}

TEST_CASE("an empty folder is a wrong input and no lost recording") {
    const TemporaryFolder folder;
    std::filesystem::create_directory(folder.path("empty"));
    const ProgramResult with = run_program({"audit", "-", folder.path("empty"), "--format", "json", "--quiet"}, results_of(canaries()));
    CHECK(with.status == 1);
    CHECK(holds(with.err, "nothing that this command reads in this folder"));
    CHECK(with.out == audit({"--format", "json", "--quiet"}).out);
    // A file that is not there is a recording that somebody meant.
    const ProgramResult missing = run_program({"audit", "-", folder.path("missing.edf"), "--format", "json", "--quiet"}, results_of(canaries()));
    CHECK(missing.status == 1);
    const json flow = json::parse(missing.out)["flow"];
    CHECK(flow["found"]["count"] == flow["readable"]["count"].get<int>() + 1);
}

TEST_CASE("what is neither result nor recording is told as neither") {
    const TemporaryFolder folder;
    const std::string path = folder.write("other.json", R"({"a": 1})");
    for (const char* command : {"audit", "course"}) {
        for (const ProgramResult& result : {run_program({command, "-", "--quiet"}, R"({"a": 1})"), run_program({command, path, "--quiet"}),
                                            run_program({command, path, "--quiet", "--dry-run"})}) {
            CHECK(result.status == 1);
            CHECK(holds(result.err, "no result, and not a recording: saw JSON"));
            CHECK(holds(result.err, "tracehold score --format ndjson"));
        }
    }
    CHECK_FALSE(holds(run_program({"score", path, "--quiet"}).err, "no result"));
}

TEST_CASE("every key that an audit's page prints is explained") {
    for (const char* key : {"trustworthy_signal", "kept_coming", "audit_charts", "audit_xmr", "audit_funnel", "audit_hidden"}) {
        CAPTURE(key);
        CHECK(holds(audit({"--for", "public"}).out, key));
        const ProgramResult one = run_program({"explain", key});
        CHECK(one.status == 0);
        CHECK(holds(one.out, "Definition"));
        CHECK(holds(one.out, "Source"));
        CHECK(holds(run_program({"explain"}).out, key));
    }
}

TEST_CASE("many files in any order give one audit in every format") {
    const TemporaryFolder folder;
    const auto people = canaries();
    folder.write("a.ndjson", results_of({people.begin(), people.begin() + 9}));
    folder.write("b.ndjson", results_of({people.begin() + 9, people.end()}));
    const std::string one = audit({"--by", "site", "--format", "json"}).out;
    CHECK(run_program({"audit", folder.path(), "--by", "site", "--format", "json"}).out == one);
    CHECK(run_program({"audit", folder.path("b.ndjson"), folder.path("a.ndjson"), "--by", "site", "--format", "json"})
              .out == one);
    CHECK(run_program({"audit", folder.path(), "--format", "json", "--format", "html"}).status == 2);
    const ProgramResult files = run_program({"audit", folder.path("a.ndjson"), "--format", "json", "--format", "html",
                                             "--format", "csv", "--out", folder.path("out/"), "--quiet"});
    CHECK(files.status == 0);
    CHECK(files.err.empty());
    for (const char* name : {"audit.json", "audit.html", "audit.measures.csv"})
        CHECK_FALSE(file_bytes(folder.path("out/") + name).empty());
}

TEST_CASE("recordings are scored on the way") {
    const TemporaryFolder folder;
    const std::string plan = SOURCE_DIR "/examples/plan-home-a.jsonc";
    REQUIRE(run_program({"simulate", SOURCE_DIR "/examples/scenarios/home-week.json", "--plan", plan, "--out",
                         folder.path("week")})
                .status == 0);
    const ProgramResult result =
        run_program({"audit", folder.path("week"), "--plan", plan, "--sessions", SOURCE_DIR "/examples/sessions.csv",
                     "--by", "site", "--format", "json", "--quiet"});
    const json found = json::parse(result.out);
    CHECK(found["flow"]["people"]["count"] == 1);
    CHECK(found["flow"]["in_analysis"]["count"] == 7);
    CHECK(found["measures"]["trustworthy_signal"]["numerator"] == 6);
    CHECK(found["by"]["measures"]["adherence"]["groups"][0]["group"] == "north");
}

TEST_CASE("impossible wishes are refused before any work") {
    CHECK(audit({"--for", "everyone"}).status == 2);
    CHECK(audit({"--min-cell", "1"}).status == 2);
    CHECK(audit({"--from", "soon"}).status == 2);
    CHECK(audit({"--from", "2026-04-01", "--to", "2026-03-01"}).status == 2);
    CHECK(run_program({"audit", "/no/such/file", "--format", "json"}).status == 1);
}
