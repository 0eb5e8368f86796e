// Small valid files, one of each kind of trouble that a target must know, to start a search from.
#include <fmt/format.h>

#include "fuzz/targets.hpp"
#include "support/edf_builder.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/course/rules.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold::fuzz {
namespace {

using namespace test;

BuiltEdf tiny(std::string_view kind) {
    BuiltEdf file = small_edf_plus(kind);
    file.duration = "0.1";
    file.signals[0].samples = 20;
    file.signals[1] = annotation_signal({stamp("+0") + tal("+0.05", "", "contract"), stamp("+0.3") + tal("+0.35", "0.02", "relax")}, 24, file.bdf);
    return file;
}

std::vector<std::string> edf_family(const std::string& family) {
    std::vector<std::string> seeds;
    for (const char* kind : {"+C", "+D"}) seeds.push_back(tiny(family + kind).bytes());
    BuiltEdf several = tiny(family + "+C");
    BuiltSignal slow = several.signals[0];
    slow.label = "Pressure";
    slow.unit = "mmHg";
    slow.samples = 3;
    several.signals.insert(several.signals.begin() + 1, slow);
    several.signals.push_back(annotation_signal({tal("+0.01", "0.5", "µ ✓")}, 12, several.bdf));
    several.record_count = "-1";
    seeds.push_back(several.bytes());
    BuiltEdf odd = tiny(family + "+C");
    odd.signals[0].physical_min = "500,5";
    odd.signals[0].physical_max = "-500";
    odd.date = "29.02.24";
    odd.time = "23:59:59";
    odd.reserved = "";
    seeds.push_back(odd.bytes());
    return seeds;
}

std::string csv_rows(std::string_view format, int rows) {
    std::string text;
    for (int i = 0; i < rows; ++i) text += fmt::format(fmt::runtime(format), 0.001 * i, i % 7 - 3, i < rows / 2 ? "work" : "rest", i % 60);
    return text;
}

}  // namespace

std::vector<std::string> seeds_edf() { return edf_family("EDF"); }
std::vector<std::string> seeds_bdf() { return edf_family("BDF"); }

std::vector<std::string> seeds_csv() {
    return {"time_s,emg_mV\n" + csv_rows("{:.3f},{}\n", 12),
            "# person: P-014\n# start: 2026-03-29T01:59:58+01:00\n# rate_hz: 500\nEMG [uV];phase\r\n" + csv_rows("{1},5;{2}\r\n", 10),
            "clock\temg_uV\tmarker\n" + csv_rows("23:59:59.{3:02}\t{1}\t\"{2}; now\"\n", 12),
            "2026-02-28 23:59:58.5,1\n2026-02-28 23:59:59.0,-2\n2026-02-28 23:59:59.5,3\n2026-03-01 00:00:00.0,nan\n2026-03-01 00:00:00.5,4\n",
            "Channel 1: 'RF', 12 values, engineering units: mV\nrecorded at 1000 samples per second\n" + csv_rows("{1}.25\n", 12),
            "time_s,emg_uV,\n0.000,1,\n0.001,,\n0.002,-3,\n0.102,4,\n0.103,-5,\n0.001,6,\n0.002,7\n",
            std::string("\xFF\xFEt\0,\0v\0\n\0" "0\0,\0" "1\0\n\0" "1\0,\0" "2\0\n\0", 24)};
}

std::vector<std::string> seeds_plan() {
    return {R"({"schema": "tracehold.plan/1", "posture": "lying", "steps": [{"do": "hold", "seconds": 8, "rest_seconds": 10, "times": 5}]})",
            R"(// A plan with everything.
{"schema": "tracehold.plan/1", "name": "Home A", "purpose": "training", "posture": "sitting",
 "steps": [{"do": "rest", "seconds": 20}, {"do": "rapid", "seconds": 1, "rest_seconds": 4, "times": 5},
           {"do": "endurance", "seconds": 30.5, "rest_seconds": 30}],
 /* half */ "threshold": {"percent_of_reference": 50, "reference_uv": 41},
 "targets": {"rest_mean_uv": {"below": 4}, "work_mean_uv": {"above": 1e1}},
 "channel": "EMG PFM", "accessory_channels": ["EMG Abd"], "mains_hz": 50,
 "cues": {"contract": ["contract", "tense"], "relax": ["relax"]},
 "dose": {"sessions_per_day": 2, "days_per_week": 6, "weeks": 12}})",
            R"({"schema": "tracehold.plan/1", "posture": "lying", "threshold": {"microvolts": 20},
 "steps": [{"do": "hold", "seconds": 0.5, "rest_seconds": 0.5}]})"};
}

std::vector<std::string> seeds_sessions() {
    return {"file,person,start,posture,plan,channel,site\na.csv,P-014,2026-03-02T07:40:00,lying,p.jsonc,EMG PFM,north\nx/b.edf,P-014,2026-03-03,,,,\n",
            "\xEF\xBB\xBF" "file;clinic\r\n# note: kept\r\n\"a;b.csv\";\"say \"\"no\"\"\"\r\n", "file\na.csv\nb.csv\n", "file\tperson\na.csv\tP 1\n"};
}

std::vector<std::string> seeds_corrections() {
    return {"file,action,cycle,from_s,to_s,who,when,why\na.csv,move_onset,3,12.5,,C1,2026-03-02,late\na.csv,mask,,20,21.5,C1,2026-03-02T07:30,cough\n"
            ",drop_cycle,4,,,C2,2026-03-02,\na.csv,add_cycle,,30,36,C1,2026-03-02,missed by all\n",
            "action;cycle;from_s;who;when\nmove_relax_cue;1;2,5;C1;2026-03-02\n"};
}

std::vector<std::string> seeds_results() {
    const std::string empty = session_json(made_up_empty_session(), 0);
    return {empty, session_json(made_up_session(), 0), empty + empty};
}

std::vector<std::string> seeds_pieces() {
    const std::string empty = session_json(made_up_empty_session(), 0);
    return {"\xEF\xBB\xBF" + empty + "\n" + empty, empty + "\n{\"a\": [1, \"}\\\"\n{}]}\n" + empty, "{\n{\n}}\nx{}\n \t{\"\\u00e9\"}"};
}

std::vector<std::string> seeds_scenario() {
    return {R"({"schema": "tracehold.scenario/1", "base": {"person": "P-014", "rate_hz": 1000, "muscle": {"rest_uv": 2.4, "work_uv": 15.5, "shape": "cosine"},
 "accessory": {"rest_uv": 1.5}, "crosstalk_pct": 5},
 "sessions": [{"file": "a.csv", "start": "2026-03-02T07:40:00", "seed": 302, "accessory": null, "csv": {"delimiter": ";", "decimal": ",", "decimals": 2}},
  {"file": "b.edf", "marks": false, "lead_in_s": 26, "pause_after_cycle": 5, "pause_s": 41, "missed": [4], "extra_s": [20.5], "envelope_rate_hz": 20,
   "faults": [{"kind": "heart_beats", "strength_uv": 32, "hz": 1.15}, {"kind": "contact_flat", "from_s": 9.3, "length_s": 4.2}]}]})",
            R"({"schema": "tracehold.scenario/1", "name": "one", "file": "c.csv"})"};
}

std::vector<std::string> seeds_rules() {
    return {std::string(default_rules_text()),
            R"({"schema": "tracehold.rules/1", "rules": [{"code": "a", "posture": "lying", "when": [
  {"measure": "work_mean_uv", "below": 5, "in_at_least": 2, "of_last": 3}], "text": "t", "reason": "r", "source": "s"}]})"};
}

std::vector<std::string> seeds_text() {
    std::vector<std::string> seeds = {"1e308", "-0.000", "+1.5", "4.9e-324", "9007199254740993", "2026-03-29T02:30:00.250+01:00", "1996-02-29", "=1+1", "a\\|b"};
    for (const std::string& text : hostile_texts()) {
        if (text.size() < 200) seeds.push_back(text);
    }
    return seeds;
}

}  // namespace tracehold::fuzz
