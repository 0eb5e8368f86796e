// One person's sessions over time, from recordings, from results of 'score', or from both.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <map>
#include <new>
#include <span>

#include "app/byte_source.hpp"
#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/dry_run.hpp"
#include "app/files_told.hpp"
#include "app/hidden_identities.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/message_names.hpp"
#include "app/no_input.hpp"
#include "app/output.hpp"
#include "app/pages.hpp"
#include "app/pipeline.hpp"
#include "app/progress.hpp"
#include "app/result_folder.hpp"
#include "app/sessions_index.hpp"
#include "app/stop_signal.hpp"
#include "app/today.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/course/chart_course.hpp"
#include "tracehold/exchange/read_results.hpp"
#include "tracehold/exchange/write_course.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

// What one input gave: the sessions in it, and why it did not give more.
struct Sessions {
    std::vector<SessionScore> scores;
    std::vector<Error> refused;
    bool recorded = false;  // a recording, not results
};

Sessions sessions_in(const std::string& path, const Options& options, const Companions& companions, const MessageNames& names) {
    try {
        const std::string bytes = read_input(path);
        if (looks_like_results(bytes)) {
            ResultsRead read = read_what_results(bytes, path);
            for (SessionScore& score : read.scores) score = hide(std::move(score), companions.identity);
            for (Error& error : read.refused) error = names.shown(error);
            return {std::move(read.scores), std::move(read.refused)};
        }
        Assignment assignment = assign_bytes(bytes, path, options, companions);
        const ScoreSettings settings = score_settings(options, assignment.plan ? &*assignment.plan : nullptr);
        return {{score_recording(std::move(assignment), settings).score}, {}, true};
    } catch (const Error& error) {
        return {{}, {names.shown(as_wanted(error, Wanted::recordings_and_results))}};
    } catch (const std::bad_alloc&) {
        return {{}, {names.shown(no_memory_for(path))}};
    }
}

// Where a session's recording lies, by the name and the hash that its score has.
using Paths = std::map<std::pair<std::string, std::string>, std::string>;

// A course beside the scores it was charted from.
struct Charted {
    std::vector<SessionScore> scores;
    Course course;
    MadeWith made_with;
    std::optional<RulesFile> rules = {};  // none: those of the program
    std::optional<Figure> first_and_last = {};
};

std::string rendered(const Charted& charted, Format format, const Options& options) {
    const Course& course = charted.course;
    const Figure* figure = charted.first_and_last ? &*charted.first_and_last : nullptr;
    switch (format) {
        case Format::json: return course_json(course, 2, charted.made_with);
        case Format::ndjson: return course_json(course, 0, charted.made_with);
        case Format::csv: return course_csv_rows(course);
        case Format::weeks: return course_weeks_csv_rows(course);
        case Format::md: return render_markdown(page_of(course, options, figure, charted.rules));
        case Format::html: return render_html(page_of(course, options, figure, charted.rules), page_style_of(options));
        case Format::fhir: return fhir_course(course, charted.scores, fhir_settings(options), charted.made_with);
        default: break;  // text
    }
    const bool on_terminal = options.out == "-" && is_terminal(STDOUT_FILENO);
    return render_text(page_of(course, options, figure, charted.rules), {.color = wants_color(options.color, on_terminal)});
}

std::string course_opening(Format format, const Options& options) {
    if (format == Format::csv) return course_csv_header();
    if (format == Format::weeks) return course_weeks_csv_header();
    return format == Format::fhir ? fhir_opening(fhir_settings(options)) : "";
}

// What one file holds. Errors: wrong_use where it cannot hold them all.
std::string file_of(std::span<const Charted> courses, Format format, const Options& options) {
    if (format == Format::html && courses.size() > 1) {
        throw Error(ErrorKind::wrong_use, "", "--format", "one page cannot hold several courses",
                    "pick one with --person CODE, or add --out FOLDER/ for a page of each");
    }
    std::string text = course_opening(format, options);
    for (const Charted& each : courses) text += rendered(each, format, options);
    if (format == Format::fhir) text += fhir_closing(fhir_settings(options));
    return text;
}

// What the file of a person's course is called, without its ending. What no name of a file may hold is replaced, and a part of the
// SHA-256 keeps such names apart.
std::string file_name_of(const std::string& person) {
    if (person.empty()) return "person-not-named";
    std::string name = person;
    std::replace_if(name.begin(), name.end(), [](unsigned char c) { return c == '/' || c < ' ' || c == 0x7F; }, '_');
    if (name != person) name += "-" + sha256_hex(person).substr(0, 12);
    return with_room_for_ending(name);
}

// A file for each person.
void write_each(const std::vector<Charted>& courses, const Options& options) {
    ResultFolder folder(options, {});
    for (const Charted& each : courses) {
        std::vector<std::string> texts;
        for (const Format format : options.formats) texts.push_back(file_of({&each, 1}, format, options));
        folder.write(file_name_of(each.course.person), texts);
    }
    folder.finish();
}

// The person as the scores name them: by the code, or by what stands for it.
std::string person_in(const std::vector<SessionScore>& scores, const std::string& person, const Identity& identity) {
    const auto named = [&](const SessionScore& score) { return score.recording.person == person; };
    return std::any_of(scores.begin(), scores.end(), named) ? person : person_label(identity, person);
}

// The sessions of all inputs in order, and the inputs that gave none.
struct Found {
    std::vector<SessionScore> scores;
    Paths paths;
    std::vector<LeftOut> refused;
};

LeftOut left_out(const Error& error) {
    return {error.source, "refused",
            error.place.empty() ? error.message : fmt::format("{}: {}", error.place, error.message)};
}

// Of the phase with the most sessions, the first and the last one that was recorded and not rejected.
std::vector<std::string> first_and_last_of(const Course& course, const Paths& paths) {
    const auto longest =
        std::max_element(course.phases.begin(), course.phases.end(),
                         [](const Phase& a, const Phase& b) { return a.sessions.size() < b.sessions.size(); });
    std::vector<std::string> found;
    if (longest == course.phases.end()) return found;
    for (const CourseSession& session : longest->sessions) {
        const auto path = paths.find({session.source, session.sha256});
        if (session.usable && path != paths.end()) found.push_back(path->second);
    }
    if (found.size() > 2) found.erase(found.begin() + 1, found.end() - 1);
    return found;
}

// The two are read and scored once more: all envelopes together would be too large to keep. A file that is gone by now
// gives no figure.
std::optional<Figure> first_and_last_figure(const Course& course, const Paths& paths, const Options& options, const Companions& companions) {
    const std::vector<std::string> two = first_and_last_of(course, paths);
    if (two.size() < 2) return std::nullopt;
    std::vector<Scored> scored;
    try {
        for (const std::string& path : two) {
            Assignment assignment = assign(path, options, companions);
            const ScoreSettings settings = score_settings(options, assignment.plan ? &*assignment.plan : nullptr);
            scored.push_back(score_recording(std::move(assignment), settings));
        }
    } catch (const Error&) {
        return std::nullopt;
    }
    return before_after_figure({scored[0].score, scored[0].envelope}, {scored[1].score, scored[1].envelope});
}

bool shows_figures(const Options& options) {
    return options.reader == Reader::clinician &&
           (options.formats[0] == Format::html || options.formats[0] == Format::md || options.formats[0] == Format::text);
}

// A rule that can never fire would be silent for ever.
void say_rule_notes(const Course& course, const Options& options) {
    for (const Note& note : course.notes) {
        if (note.place.starts_with("/rules/") && !options.quiet) say_note(options.rules, note);
    }
}

std::vector<Charted> charted(Found found, const Options& options, const Companions& companions) {
    CourseSettings settings;
    settings.today = today(options.quiet);
    settings.refused = std::move(found.refused);
    const Identity& identity = companions.identity;
    MadeWith files{.sessions = companions.sessions_sha256};
    if (!options.rules.empty()) {
        const std::string bytes = read_companion(options.rules, "'tracehold explain rules' prints a table to start from");
        settings.rules = read_rules(bytes, options.rules);
        files.rules = sha256_hex(bytes);
    }
    const std::vector<SessionScore>& scores = found.scores;
    std::vector<Charted> all;
    const auto chart = [&](std::vector<SessionScore> of_one) {
        Course course = chart_course(of_one, settings);
        MadeWith made_with = files;
        for (const SessionScore& score : of_one) add_files_of(score, identity, made_with);
        if (all.empty()) say_rule_notes(course, options);
        MadeWith told = files_told(std::move(made_with), identity);
        std::optional<RulesFile> rules;
        if (!options.rules.empty()) rules = told.identity == IdentityLevel::keep ? RulesFile{options.rules, told.rules} : RulesFile{};
        all.push_back({std::move(of_one), std::move(course), std::move(told), std::move(rules)});
    };
    if (!options.person.empty()) {
        chart(select_person(scores, person_in(scores, options.person, identity)));
    } else if (options.by_person) {
        for (const std::string& person : people_of(scores)) chart(select_person(scores, person));
    } else {
        chart(std::move(found.scores));
    }
    return all;
}

// A course uses no date of review; one that an audit would not count is told here too, where the person is looked at.
void note_early_review(Course& course, const Companions& companions) {
    if (!course.first || companions.identity.level == IdentityLevel::anonymous) return;  // its days are counted, not dated
    const auto is_early = [&](const SessionEntry& entry) {
        if (entry.person.empty() || person_label(companions.identity, entry.person) != course.person) return false;
        const std::string* reviewed = other_value(entry, kReviewed);
        const auto day = reviewed != nullptr ? parse_civil_time(*reviewed) : std::nullopt;
        return day && day->local < std::chrono::floor<std::chrono::days>(course.first->local);
    };
    if (std::none_of(companions.sessions.begin(), companions.sessions.end(), is_early)) return;
    course.notes.push_back({"review_before_first", "", "the sessions list dates a review before the first recording: is the date right?"});
}

Found read_sessions(std::vector<std::string> inputs, const Options& options, Companions& companions) {
    const std::vector<std::string> named = inputs;
    const MessageNames names(options, named);
    companions.identity = identity_for(options, inputs, companions);
    Found found;
    Progress progress(inputs.size(), options.quiet);
    const StopSignal stop;
    in_order(
        inputs.size(), job_count(options), [&](std::size_t i) { return sessions_in(inputs[i], options, companions, names); },
        [&](std::size_t i, Sessions sessions) {
            progress.step();
            progress.hide();
            for (const Error& error : sessions.refused) {
                say_error(error);
                found.refused.push_back(left_out(error));
            }
            for (const SessionScore& score : sessions.scores)
                if (sessions.recorded && inputs[i] != "-")  // what came through a pipe cannot be read again
                    found.paths.emplace(std::pair(score.recording.source, score.recording.sha256), inputs[i]);
            std::move(sessions.scores.begin(), sessions.scores.end(), std::back_inserter(found.scores));
        },
        [&] {
            stop.check();
            progress.show();
        });
    return found;
}

}  // namespace

ExitStatus course_command(const Options& options) {
    const bool into_folder = options.by_person && writes_folder(options.out);
    if (!into_folder) refuse_folder(options.out);
    if (options.dry_run) return dry_run_of_all(options, Wanted::recordings_and_results, {options.out});
    Companions companions = read_companions(options);
    const std::vector<std::string> inputs = find_inputs(options, Wanted::recordings_and_results);
    companions.namesakes = find_namesakes(companions, inputs);
    Found found = read_sessions(inputs, options, companions);
    if (found.scores.empty()) {
        throw Error(ErrorKind::too_short, "", "", "no session could be read: a course needs at least one", "name recordings, or results of 'tracehold score --format ndjson'");
    }
    if (!companions.identity.hides()) {
        std::vector<std::string> recordings;
        for (const SessionScore& score : found.scores) recordings.push_back(score.recording.source);
        for (const LeftOut& one : found.refused) recordings.push_back(one.source);
        say_unused_rows(companions, recordings, options);
    }
    const bool refused = !found.refused.empty();
    const Paths paths = std::move(found.paths);
    std::vector<Charted> courses = charted(std::move(found), options, companions);
    for (Charted& each : courses) note_early_review(each.course, companions);
    for (Charted& each : courses)
        if (shows_figures(options)) each.first_and_last = first_and_last_figure(each.course, paths, options, companions);
    if (into_folder)
        write_each(courses, options);
    else
        write_output(options.out, file_of(courses, options.formats[0], options));
    return refused ? ExitStatus::refused : ExitStatus::done;
}

}  // namespace tracehold
