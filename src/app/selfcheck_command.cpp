#include <fmt/format.h>
#include <sys/utsname.h>

#include <algorithm>
#include <cmath>

#include "app/commands.hpp"
#include "app/output.hpp"
#include "app/self_checks.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {
namespace {

Machine this_machine() {
    utsname about{};
    uname(&about);
    return {fmt::format("{}, C++ {}", __VERSION__, __cplusplus), fmt::format("{} {} {}", about.sysname, about.release, about.machine)};
}

std::size_t failures_in(const std::vector<SelfCheck>& checks) {
    return static_cast<std::size_t>(std::count_if(checks.begin(), checks.end(), [](const SelfCheck& c) { return !c.passed(); }));
}

std::string with_unit(double value, const std::string& unit) {
    const std::string number = std::isfinite(value) ? fmt::format("{:.7g}", value) : std::string("none");
    return unit.empty() ? number : number + " " + unit;
}

Report validation_report(const std::vector<SelfCheck>& checks, const Machine& machine) {
    ReportTable table{"", {{"Check", false, {}}, {"Value", true, {}}, {"Expected", true, {}}, {"Tolerance", true, {}}, {"Result", false, {}}}, {}, {}};
    List sources;
    for (const SelfCheck& check : checks) {
        table.rows.push_back({{check.code, 0, {}},
                              {with_unit(check.value, check.unit), 0, {}},
                              {with_unit(check.expected, check.unit), 0, {}},
                              {with_unit(check.tolerance, check.unit), 0, {}},
                              {check.passed() ? "pass" : "FAIL", 0, {}}});
        sources.items.push_back(fmt::format("{}: {}. Source: {}.", check.code, check.what, check.source));
    }
    const std::size_t failed = failures_in(checks);
    Report report;
    report.title = "Validation of this installation";
    report.sections = {
        {"", {Facts{{{"Result", failed == 0 ? fmt::format("all {} checks passed", checks.size()) : fmt::format("{} of {} checks FAILED", failed, checks.size())},
                     {"Program", fmt::format("tracehold {}, measures {}", kVersion, kMeasuresVersion)},
                     {"Compiler", machine.compiler},
                     {"System", machine.system}}}}},
        {"Checks", {std::move(table)}},
        {"Sources", {std::move(sources)}},
        {"Limits", {Paragraph{"Passing says that this copy of the program computes here what it computes elsewhere. It says nothing about a recorder, an electrode or a person.", Tone::plain}}}};
    return report;
}

}  // namespace

ExitStatus selfcheck_command(const Options& options) {
    std::vector<SelfCheck> checks = published_checks();
    for (SelfCheck& check : recording_checks()) checks.push_back(std::move(check));
    const Machine machine = this_machine();
    switch (options.formats[0]) {
        case Format::json: write_output(options.out, validation_json(checks, machine)); break;
        case Format::md: write_output(options.out, render_markdown(validation_report(checks, machine))); break;
        default: write_output(options.out, render_text(validation_report(checks, machine)));
    }
    return failures_in(checks) == 0 ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
