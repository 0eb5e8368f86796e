// One person's sessions over time, from recordings, from results of 'score', or from both.
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/chart_course.hpp"
#include "tracehold/exchange/write_course.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

// What one input gave: the sessions in it, or why there are none.
struct Sessions {
    std::vector<SessionScore> scores;
    std::optional<Error> refused;
};

Sessions sessions_in(const std::string& path, const Options& options, const Companions& companions) {
    try {
        const std::string bytes = read_bytes(path);
        if (looks_like_results(bytes)) return {read_session_results(bytes, path), std::nullopt};
        const Assignment assignment = assign_bytes(bytes, path, options, companions);
        const Plan* plan = assignment.plan ? &*assignment.plan : nullptr;
        return {{score_recording(assignment, score_settings(options, plan)).score}, std::nullopt};
    } catch (const Error& error) {
        return {{}, error};
    }
}

// The one reading of the clock: which dates lie in the future. SOURCE_DATE_EPOCH fixes it.
std::chrono::sys_days today() {
    const char* fixed = std::getenv("SOURCE_DATE_EPOCH");
    const auto seconds = fixed != nullptr ? parse_whole(fixed) : std::nullopt;
    const auto now = seconds ? std::chrono::sys_time<std::chrono::seconds>{std::chrono::seconds{*seconds}}
                             : std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
    return std::chrono::floor<std::chrono::days>(now);
}

std::string rendered(const Course& course, Format format) {
    switch (format) {
        case Format::json: return course_json(course, 2);
        case Format::ndjson: return course_json(course, 0);
        case Format::csv: return course_csv_rows(course);
        case Format::md: return render_markdown(compose_course_report(course));
        case Format::html: return render_html(compose_course_report(course));
        case Format::text: break;
    }
    return render_text(compose_course_report(course));
}

std::vector<Course> charted(const std::vector<SessionScore>& scores, const Options& options) {
    CourseSettings settings;
    settings.today = today();
    if (!options.rules.empty()) settings.rules = read_rules(read_bytes(options.rules), options.rules);
    if (!options.person.empty()) return {chart_course(select_person(scores, options.person), settings)};
    if (!options.by_person) return {chart_course(scores, settings)};
    std::vector<Course> courses;
    for (const std::string& person : people_of(scores)) courses.push_back(chart_course(select_person(scores, person), settings));
    return courses;
}

}  // namespace

ExitStatus course_command(const Options& options) {
    const std::vector<std::string> inputs = find_inputs(options, Wanted::recordings_and_results);
    const Companions companions = read_companions(options);
    std::vector<SessionScore> scores;
    bool all_read = true;
    Progress progress(inputs.size(), options.quiet);
    in_order(
        inputs.size(), job_count(options), [&](std::size_t i) { return sessions_in(inputs[i], options, companions); },
        [&](std::size_t, Sessions sessions) {
            progress.step();
            if (sessions.refused) say_error(*sessions.refused);
            all_read = all_read && !sessions.refused;
            std::move(sessions.scores.begin(), sessions.scores.end(), std::back_inserter(scores));
        });
    if (scores.empty()) {
        throw Error(ErrorKind::too_short, "", "", "no session could be read: a course needs at least one", "name recordings, or results of 'tracehold score --format ndjson'");
    }
    const std::vector<Course> courses = charted(scores, options);
    if (options.formats[0] == Format::html && courses.size() > 1) {
        throw Error(ErrorKind::bad_setting, options.out, "", "one page cannot hold several courses", "pick one with --person CODE");
    }
    Output output(options.out);
    const Format format = options.formats[0];
    if (format == Format::csv) output.write(course_csv_header());
    for (const Course& course : courses) output.write(rendered(course, format));
    output.finish();
    return all_read ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
