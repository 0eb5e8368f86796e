#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "exchange/json_parts.hpp"
#include "support/golden.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/measure_list.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

Json parsed(const SessionScore& score) { return Json::parse(session_json(score)); }

// The error that reading a changed result gives: kind, place and message.
std::string refusal_at(const std::string& pointer, const Json& value) {
    Json json = parsed(test::made_up_session());
    json[Json::json_pointer(pointer)] = value;
    try {
        read_session_json(json.dump(), "r.json");
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("golden: the JSON of a session") { CHECK_GOLDEN("session.json", session_json(test::made_up_session())); }

TEST_CASE("golden: the JSON of a recording that cannot be scored") {
    CHECK_GOLDEN("session_empty.json", session_json(test::made_up_empty_session()));
}

TEST_CASE("golden: the schemas") {
    for (const std::string_view name : schema_names())
        CHECK_GOLDEN(std::string(name) + ".schema.json", std::string(schema_text(name)));
}

TEST_CASE("the promised keys stand in the promised order") {
    const Json json = parsed(test::made_up_session());
    CHECK_EQ(json["schema"], "tracehold.session/1");
    CHECK_EQ(keys_of(json), std::vector<std::string>{"schema", "tool", "recording", "plan", "cues", "processing",
                                                     "quality", "cycles", "session", "corrections", "notes"});
    CHECK_EQ(keys_of(json["recording"]), std::vector<std::string>{"source", "sha256", "format", "person", "start",
                                                                  "posture", "site", "duration_s", "channel"});
    CHECK_EQ(keys_of(json["recording"]["channel"]), std::vector<std::string>{"label", "rate_hz", "kind", "unit"});
    CHECK_EQ(keys_of(json["quality"]),
             std::vector<std::string>{"usable", "noise_floor_uv", "masked_s", "mains", "findings"});
    CHECK_EQ(keys_of(json["session"]["measures"]["work_mean_uv"]),
             std::vector<std::string>{"n", "mean", "sd", "cv_pct", "min", "max", "ci95"});
    CHECK_EQ(keys_of(json["cycles"][0]["measures"]).size(), measure_list().size());
}

TEST_CASE("counts add up to what was planned, of the session and of each step") {
    SessionScore score = test::made_up_session();
    score.planned = 14;
    score.steps[0].planned = 9;
    score.corrections = {{.action = CorrectionAction::drop_cycle, .cycle = 1}};
    const Json session = parsed(score)["session"];
    CHECK_EQ(session["not_recorded"], 3);
    CHECK_EQ(session["left_out_by_hand"], 1);
    CHECK_EQ(session["done"].get<int>() + session["missed"].get<int>() + session["unusable"].get<int>() + 3 + 1, 14);
    CHECK_EQ(session["steps"][0]["not_counted"], 4);
    CHECK_EQ(session["steps"][1]["not_counted"], 0);
}

TEST_CASE("what is read back writes the same bytes") {
    for (const SessionScore& score : {test::made_up_session(), test::made_up_empty_session()}) {
        for (const int indent : {0, 2}) {
            const std::string text = session_json(score, indent);
            CHECK_EQ(session_json(read_session_json(text, "r.json"), indent), text);
        }
    }
}

TEST_CASE("what is read back is what was written") {
    const SessionScore score = test::made_up_session();
    const SessionScore back = read_session_json(session_json(score), "r.json");
    CHECK_EQ(back.plan, score.plan);
    CHECK_EQ(back.corrections, score.corrections);
    CHECK_EQ(back.notes, score.notes);
    CHECK_EQ(back.quality.findings, score.quality.findings);
    CHECK_EQ(back.recording.start, score.recording.start);
    REQUIRE_EQ(back.cycles.size(), score.cycles.size());
    for (std::size_t i = 0; i < score.cycles.size(); ++i) {
        CHECK_EQ(back.cycles[i].values, score.cycles[i].values);
        CHECK_EQ(back.cycles[i].cycle.onset, score.cycles[i].cycle.onset);
        CHECK_EQ(back.cycles[i].cycle.step, score.cycles[i].cycle.step);
        CHECK_EQ(back.cycles[i].cycle.corrected, score.cycles[i].cycle.corrected);
    }
}

TEST_CASE("the purpose of a plan is written as the file says it and read back") {
    SessionScore score = test::made_up_session();
    CHECK(parsed(score)["plan"]["purpose"].is_null());
    for (const PlanPurpose purpose : {PlanPurpose::training, PlanPurpose::assessment}) {
        score.plan->purpose = purpose;
        CHECK_EQ(parsed(score)["plan"]["purpose"], to_string(purpose));
        CHECK_EQ(read_session_json(session_json(score), "r.json").plan, score.plan);
    }
    Json older = parsed(score);
    older["plan"].erase("purpose");
    CHECK_FALSE(read_session_json(older.dump(), "r.json").plan->purpose);
    CHECK_EQ(refusal_at("/plan/purpose", "contest"),
             "malformed r.json:/plan/purpose: 'purpose' is not known: saw 'contest', expected one of training, "
             "assessment");
}

TEST_CASE("numbers read back as the very same doubles") {
    SessionScore score = test::made_up_session();
    const std::size_t lift = *measure_index("lift_uv");  // may be below zero
    for (const double value : {0.1, 1.0 / 3.0, 1e-300, 5e-324, 123456789.123456789, std::nextafter(1.0, 2.0), -0.1}) {
        score.cycles[0].values[lift] = Estimate::of(value, std::abs(value) / 7.0);
        const SessionScore back = read_session_json(session_json(score), "r.json");
        CHECK_EQ(*back.cycles[0].values[lift].value, value);
        CHECK_EQ(*back.cycles[0].values[lift].error, std::abs(value) / 7.0);
    }
}

TEST_CASE("every null of a measure has its reason beside it and every value has none") {
    const Json json = parsed(test::made_up_session());
    REQUIRE_EQ(json["cycles"].size(), 11);
    for (const Json& cycle : json["cycles"]) {
        for (const auto& [key, value] : cycle["measures"].items()) {
            CAPTURE(key);
            CHECK_EQ(value.is_null(), cycle["reasons"].contains(key));
            if (value.is_null()) CHECK_FALSE(cycle["reasons"][key].get<std::string>().empty());
        }
        CHECK_EQ(cycle["onset_s"].is_null(), cycle["reasons"].contains("onset_s"));
    }
}

TEST_CASE("a yes or no is a boolean and comes back as one or zero") {
    const SessionScore score = test::made_up_session();
    const Json json = parsed(score);
    CHECK_EQ(json["cycles"][0]["measures"]["reached_threshold"], true);
    CHECK_EQ(json["cycles"][1]["measures"]["reached_threshold"], false);
}

TEST_CASE("numbers that are not there are null and never NaN") {
    SessionScore score = test::made_up_session();
    score.noise_floor_uv = std::numeric_limits<double>::quiet_NaN();
    score.measures[0].mean = std::numeric_limits<double>::infinity();
    const Json json = parsed(score);
    CHECK(json["quality"]["noise_floor_uv"].is_null());
    CHECK(json["session"]["measures"]["work_mean_uv"]["mean"].is_null());
}

TEST_CASE("one line is one line") {
    const std::string line = session_json(test::made_up_session(), 0);
    CHECK_EQ(line.find('\n'), line.size() - 1);
}

TEST_CASE("keys that a later version adds are passed over") {
    Json json = parsed(test::made_up_session());
    const std::string before = session_json(test::made_up_session());
    json["added"] = 1;
    json["cycles"][0]["added"] = {{"a", 1}};
    json["cycles"][0]["measures"]["added_uv"] = 3.0;
    CHECK_EQ(session_json(read_session_json(json.dump(), "r.json")), before);
}

TEST_CASE("a measure that an older file lacks is null with a reason") {
    Json json = parsed(test::made_up_session());
    json["cycles"][0]["measures"].erase("work_mean_uv");
    json["cycles"][0]["errors"].erase("work_mean_uv");
    const SessionScore back = read_session_json(json.dump(), "r.json");
    CHECK_FALSE(back.cycles[0].values[0]);
    CHECK_EQ(back.cycles[0].values[0].reason, "not in this file");
}

TEST_CASE("what is no result of this kind is refused by name and place") {
    CHECK_EQ(refusal_at("/schema", "tracehold.session/2"),
             "unsupported r.json:/schema: not a result read here: saw schema 'tracehold.session/2', expected "
             "'tracehold.session/1'\n"
             "hint: score the recording again with this version");
    CHECK_NE(refusal_at("/cycles/0/kind", "press").find("malformed r.json:/cycles/0/kind: "), std::string::npos);
    CHECK_EQ(refusal_at("/cycles/0/work_s", 3),
             "malformed r.json:/cycles/0/work_s: 'work_s' is no span: saw 3, expected [begin, end] in seconds");
    CHECK_NE(refusal_at("/session/done", -1).find("/session/done"), std::string::npos);
    CHECK_NE(refusal_at("/session/done", "9").find("/session/done"), std::string::npos);
    CHECK_NE(refusal_at("/recording/start", "yesterday").find("is no date and time: saw 'yesterday'"), std::string::npos);
    CHECK_NE(refusal_at("/quality/usable", 1).find("/quality/usable"), std::string::npos);
    CHECK_NE(refusal_at("/cycles/0/measures/work_mean_uv", "18").find("/cycles/0/measures/work_mean_uv"),
             std::string::npos);
}

TEST_CASE("numbers and counts that cannot be are refused as damage, with what was seen and what was expected") {
    CHECK_EQ(refusal_at("/session/measures/rest_mean_uv/mean", -3.5),
             "malformed r.json:/session/measures/rest_mean_uv/mean: 'mean' is not possible: saw -3.5, expected one from the least and greatest "
             "value, 2.9 to 3.1999999999999997");
    CHECK_EQ(refusal_at("/session/measures/rest_mean_uv/min", -3.5),
             "malformed r.json:/session/measures/rest_mean_uv/min: 'min' is not possible: saw -3.5, expected a number from 0 to 1000000000");
    CHECK_EQ(refusal_at("/session/done", 9999),
             "malformed r.json:/session/done: 'done' is not possible: saw 9999 done, 1 missed and 0 unusable, expected at most 10 in all");
    CHECK_EQ(refusal_at("/session/steps/0/done", 6).substr(0, 36), "malformed r.json:/session/steps/0/do");
    CHECK_EQ(refusal_at("/session/measures/rest_mean_uv/n", 10),
             "malformed r.json:/session/measures/rest_mean_uv/n: 'n' is not possible: saw 10 values, expected at most one of each of 9 contractions done");
    CHECK_EQ(refusal_at("/session/measures/rest_mean_uv/n", 0).substr(0, 81),
             "malformed r.json:/session/measures/rest_mean_uv/mean: 'mean' is not possible: saw");
    CHECK_NE(refusal_at("/session/measures/rest_mean_uv/n", 1).find(" of 1 values, expected none of fewer than 2"), std::string::npos);
    CHECK_NE(refusal_at("/session/muscle_seen", false).find("'muscle_seen' does not agree with what was found in the signal"), std::string::npos);
    CHECK_EQ(refusal_at("/recording/duration_s", -1),
             "malformed r.json:/recording/duration_s: 'duration_s' is not possible: saw -1, expected a number from 0 to 2678400");
    CHECK_EQ(refusal_at("/recording/channel/rate_hz", 0),
             "malformed r.json:/recording/channel/rate_hz: 'rate_hz' is not possible: saw 0, expected a number of at most 1000000, above 0");
    for (const char* pointer : {"/session/reference_uv", "/quality/noise_floor_uv", "/recording/duration_s", "/cycles/0/measures/work_mean_uv",
                                "/cycles/0/measures/fade_pct", "/cycles/0/errors/work_mean_uv", "/session/measures/work_mean_uv/max",
                                "/session/steps/0/measures/work_mean_uv/max", "/plan/dose/sessions_per_day", "/plan/steps/1/seconds",
                                "/processing/window_s"}) {
        CAPTURE(std::string(pointer));
        CHECK_NE(refusal_at(pointer, 1e308).find(std::string("malformed r.json:") + pointer + ": "), std::string::npos);
    }
    CHECK_NE(refusal_at("/cycles/0/measures/above_threshold_pct", 101).find("saw 101, expected a number from 0 to 100"), std::string::npos);
    CHECK_NE(refusal_at("/cycles/0/measures/fade_pct", -100.5).find("saw -100.5, expected a number from -100 to 100"), std::string::npos);
    CHECK_NE(refusal_at("/cycles/0/measures/coactivity_correlation", -1.5).find("expected a number from -1 to 1"), std::string::npos);
    for (const char* pointer : {"/cycles/0/measures/reaction_s", "/cycles/0/measures/fade_pct", "/cycles/0/measures/lift_uv"}) {
        CAPTURE(std::string(pointer));
        CHECK_EQ(refusal_at(pointer, -0.25), "");  // before the cue, fading, below the rest: all of it happens
    }
}

TEST_CASE("contractions that a clinician added may be more than the plan's") {
    Json json = parsed(test::made_up_session());
    json["session"]["done"] = 10;
    json["session"]["steps"][0]["done"] = 6;
    CHECK_THROWS_AS(read_session_json(json.dump(), "r.json"), Error);
    json["corrections"][0]["action"] = "add_cycle";
    CHECK_EQ(read_session_json(json.dump(), "r.json").done, 10);
}

// Older results lack what was added since; anything else that is missing was lost.
TEST_CASE("a key that is missing is refused, but for measures and keys that were added") {
    const Json whole = parsed(test::made_up_session());
    const std::vector<std::string> added = {"site", "given", "identity", "purpose", "share_of_power", "muscle_seen", "begins", "rests",
                                            "not_counted", "not_recorded", "left_out_by_hand"};
    std::size_t refused = 0;
    const auto try_without = [&](const std::string& pointer, const std::string& key) {
        Json json = whole;
        json[Json::json_pointer(pointer)].erase(key);
        std::string why;
        try {
            read_session_json(json.dump(), "r.json");
        } catch (const Error& error) {
            CHECK_EQ(to_string(error.kind), "malformed");
            why = error.what();
        }
        CAPTURE(std::string(pointer));
        CAPTURE(std::string(key));
        CAPTURE(why);
        const bool may_lack = measure_index(key) || std::find(added.begin(), added.end(), key) != added.end();
        CHECK_EQ(why.empty(), may_lack);
        if (may_lack) return;
        ++refused;
        CHECK_NE(why.find(pointer + "/" + key + ": '" + key + "' is missing"), std::string::npos);
    };
    for (const std::string pointer : {"", "/tool", "/tool/settings", "/tool/settings/given", "/recording", "/recording/channel", "/plan", "/plan/cues",
                                      "/cues", "/processing", "/quality", "/quality/mains", "/quality/findings/0", "/cycles/0", "/session",
                                      "/session/measures", "/session/measures/work_mean_uv", "/session/steps/0", "/session/targets/0",
                                      "/corrections/0", "/notes/0"}) {
        for (const std::string& key : keys_of(whole[Json::json_pointer(pointer)])) {
            if (pointer == "/session/targets/0" && key == "below") continue;  // above may stand in its place
            try_without(pointer, key);
        }
    }
    CHECK_GT(refused, 90);
}

TEST_CASE("numbers by other definitions are refused and those of another program version keep its name") {
    CHECK_EQ(refusal_at("/tool/measures_version", "0"),
             "unsupported r.json:/tool/measures_version: numbers by other definitions: saw measures 0, expected 8\n"
             "hint: score the recording again with this version");
    CHECK_NE(refusal_at("/tool/measures_version", nullptr).find("/tool/measures_version"), std::string::npos);
    Json json = parsed(test::made_up_session());
    json["tool"]["version"] = "0.9.7";
    const SessionScore back = read_session_json(json.dump(), "r.json");
    CHECK_EQ(back.tool_version, "0.9.7");
    CHECK_EQ(Json::parse(session_json(back)), json);  // it was not made by this program
    CHECK_NE(refusal_at("/tool/version", "0.9 by Zora").find("/tool/version: 'version' is no version: saw '0.9 by Zora'"), std::string::npos);
}

TEST_CASE("an end before its begin, a mean outside of its interval and a hash that is none are refused") {
    CHECK_EQ(refusal_at("/session/measures/work_mean_uv/ci95", Json::array({30.0, 10.0})),
             "malformed r.json:/session/measures/work_mean_uv/ci95: 'ci95' is not possible: saw the end 10 before the begin 30");
    CHECK(refusal_at("/session/measures/work_mean_uv/ci95", Json::array({1000.0, 1001.0}))
              .starts_with("malformed r.json:/session/measures/work_mean_uv/mean: 'mean' is not possible: saw "));
    for (const char* pointer : {"/cycles/0/work_s", "/cycles/0/rest_s", "/processing/band_hz", "/quality/findings/0/spans_s/0"}) {
        const std::string key = std::string(pointer).ends_with("/0") ? "/quality/findings/0/spans_s" : pointer;
        CAPTURE(key);
        CHECK_NE(refusal_at(pointer, Json::array({20.0, 19.0})).find("malformed r.json:" + key + ": "), std::string::npos);
        CHECK_EQ(refusal_at(pointer, Json::array({20.0, 20.0})), "");
    }
    for (const char* pointer : {"/recording/sha256", "/plan/sha256", "/tool/settings/given/corrections_sha256"}) {
        CAPTURE(std::string(pointer));
        for (const std::string& hash : {std::string("zz"), std::string(64, 'z'), std::string(63, 'a'), std::string(64, 'A')})
            CHECK_NE(refusal_at(pointer, hash).find(std::string("malformed r.json:") + pointer + ": "), std::string::npos);
        CHECK_EQ(refusal_at(pointer, std::string(64, 'a')), "");
    }
}

TEST_CASE("a target that its measure can never be is refused, in the plan and beside its value") {
    CHECK_EQ(refusal_at("/plan/targets/rest_mean_uv/below", -4),
             "malformed r.json:/plan/targets/rest_mean_uv/below: 'below' is not possible: saw -4, expected a number from 0 to 1000000000");
    CHECK_EQ(refusal_at("/session/targets/0/below", -4),
             "malformed r.json:/session/targets/0/below: 'below' is not possible: saw -4, expected a number from 0 to 1000000000");
}

TEST_CASE("a cut result is refused at every byte") {
    const std::string text = session_json(test::made_up_session(), 0);
    for (std::size_t size = 0; size + 2 < text.size(); size += 97) {
        CAPTURE(size);
        CHECK_THROWS_AS(read_session_json(std::string_view(text).substr(0, size), "r.json"), Error);
    }
}

TEST_CASE("hostile texts survive the journey and no terminal sees them raw") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const SessionScore score = test::with_all_texts(test::made_up_session(), hostile);
        const std::string text = session_json(score, 0);
        CHECK_EQ(shown(text, text.size()),
                 text.substr(0, text.size() - 1) + "\\x0A");  // nothing but the last line break is hidden
        const SessionScore back = read_session_json(text, "r.json");
        CHECK_EQ(session_json(back, 0), text);
        if (is_utf8(hostile)) CHECK_EQ(back.recording.person, hostile);
    }
}
