#pragma once
// The doors through which bytes from outside come in, each with what must hold behind it.
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold::fuzz {

struct Target {
    std::string_view name;
    void (*run)(std::string_view bytes);  // throws BrokenPromise
    std::vector<std::string> (*seeds)();  // small valid files to start from
};

std::span<const Target> targets();

void run_edf(std::string_view bytes);  // EDF and EDF+
void run_bdf(std::string_view bytes);  // the same with a BDF version field, whatever stands there
void run_csv(std::string_view bytes);
void run_plan(std::string_view bytes);
void run_sessions(std::string_view bytes);
void run_corrections(std::string_view bytes);
void run_results(std::string_view bytes);
void run_pieces(std::string_view bytes);  // results that arrive in pieces
void run_scenario(std::string_view bytes);
void run_rules(std::string_view bytes);
void run_text(std::string_view bytes);  // numbers, times, and every escaper of an output

std::vector<std::string> seeds_edf();
std::vector<std::string> seeds_bdf();
std::vector<std::string> seeds_csv();
std::vector<std::string> seeds_plan();
std::vector<std::string> seeds_sessions();
std::vector<std::string> seeds_corrections();
std::vector<std::string> seeds_results();
std::vector<std::string> seeds_pieces();
std::vector<std::string> seeds_scenario();
std::vector<std::string> seeds_rules();
std::vector<std::string> seeds_text();

}  // namespace tracehold::fuzz
