// Writes pages for the checks in a browser: a session with everything in it, one with nothing, one whose every text is
// hostile, one, 200 and 500 contractions, a course; what patients and referrers read; and, where recordings are named, a page for each.
// Usage: write_pages FOLDER [PLAN RECORDING...]
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <random>
#include <string>

#include "audit/made_service.hpp"
#include "course/made_course.hpp"
#include "pages/long_sessions.hpp"
#include "pages/reader_pages.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/measures/score_session.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/compose_audit_report.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"
#include "tracehold/report/session_figures.hpp"

using namespace tracehold;

namespace {

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

// The page, and the same report as Markdown beside it.
void write(const std::string& path, const Report& report, const PageStyle& style = {}) {
    const std::string page = render_html(report, style);
    std::ofstream(path + ".html", std::ios::binary) << page;
    std::ofstream(path + ".md", std::ios::binary) << render_markdown(report);
    std::printf("%8zu  %s.html\n", page.size(), path.c_str());
}

Report report_of(const SessionScore& score, const Envelope& envelope, const CleanRecording* clean = nullptr) {
    const auto spectrum = clean != nullptr ? spectrum_figure(score, *clean) : std::nullopt;
    return compose_session_report(score, &envelope, spectrum ? &*spectrum : nullptr);
}

// Of the made-up session, cut, or its five holds over and over.
Envelope envelope_of(const SessionScore& score) {
    Envelope envelope = test::made_up_envelope(test::made_up_session());
    const std::vector<float> model = envelope.uv;
    const std::size_t first = 2000, period = 9000;  // samples: the opening rest, five holds
    envelope.uv.resize(static_cast<std::size_t>(score.recording.duration_s * envelope.rate.value));
    for (std::size_t i = model.size(); i < envelope.uv.size(); ++i)
        envelope.uv[i] = model[first + (i - first) % period];
    return envelope;
}

// A trace of which the envelope could be: noise, as loud.
CleanRecording trace_of(const Envelope& envelope) {
    CleanRecording clean;
    clean.kind = ChannelKind::raw;
    clean.rate = Hertz{1000.0};
    std::mt19937 noise(1);
    const double per_value = clean.rate.value / envelope.rate.value;
    clean.uv.resize(static_cast<std::size_t>(per_value * static_cast<double>(envelope.uv.size())));
    for (std::size_t i = 0; i < clean.uv.size(); ++i) {
        const double even = static_cast<double>(noise()) / static_cast<double>(std::mt19937::max()) - 0.5;
        clean.uv[i] = static_cast<float>(std::sqrt(12.0) * even) * envelope.uv[static_cast<std::size_t>(static_cast<double>(i) / per_value)];
    }
    return clean;
}

Report page_of(const SessionScore& score) {
    const Envelope envelope = envelope_of(score);
    const CleanRecording clean = trace_of(envelope);
    return report_of(score, envelope, &clean);
}

// So many weeks with two sessions a day; the first and the last one laid over each other.
Report course_page(int weeks, int days_per_week, double rise_pct) {
    test::MadeCourse made;
    made.days = 7 * weeks;
    made.days_per_week = days_per_week;
    made.rise_pct = rise_pct;
    auto scores = test::make_course(made);
    Plan plan = *test::made_up_session().plan;
    plan.dose = {2.0, 7.0, static_cast<double>(weeks)};
    for (SessionScore& score : scores) score.plan = plan;
    const Course course = chart_course(scores);
    Report report = compose_course_report(course);
    Section figures{"Before and after", {}};
    const SessionScore before = test::made_up_session();
    SessionScore after = before;
    after.recording.start = parse_civil_time("2026-05-24T08:00:00");
    const Envelope early = envelope_of(before);
    Envelope late = early;
    for (float& value : late.uv) value *= 1.2f;
    if (auto figure = before_after_figure({before, early}, {after, late})) figures.blocks.push_back(std::move(*figure));
    report.sections.insert(report.sections.begin() + 1, figures);
    return report;
}

// Eighteen months at four sites; one site slips half way.
Report audit_page(Audience audience) {
    std::vector<test::MadePerson> people;
    for (int i = 0; i < 260; ++i) {
        test::MadePerson person{.code = "P-" + std::to_string(i)};
        person.site = i % 9 == 8 && i < 30 ? "west" : i % 3 == 0 ? "north" : i % 3 == 1 ? "south" : "Sankt Bartholomäus am See, annexe";
        person.weeks = 2 + i % 3;
        const int month = i % 18;
        person.held = i % 3 == 1 && month > 9 ? 4 : i % 7 == 0 ? 4 : 7;
        person.first_day = 30 * month;
        person.rest_uv = i % 5 == 0 ? 6.0 : 2.0;
        person.rejected = i % 11 == 0 ? 2 : 0;
        person.assessed_on_day = i % 4 == 0 ? 9 : -1;
        people.push_back(person);
    }
    AuditTally tally = test::tally_of(people);
    for (int i = 0; i < 7; ++i) tally.add_refused(ErrorKind::malformed);
    const AuditSettings settings{.by = Grouping::site, .audience = audience, .rest_below_uv = 4.0, .review_within_days = 14.0};
    return compose_audit_report(audit_service(tally, settings, test::chart_person));
}

Report recording_page(const std::string& path, const Plan& plan) {
    const Recording recording = read_recording(bytes_of(path), path, {});
    const CleanRecording clean = clean_recording(recording, 0, {});
    const Envelope envelope = follow_envelope(clean, {});
    const Cycles cycles = find_cycles(
        {.clean = clean, .envelope = envelope, .marks = recording.marks, .plan = &plan, .corrections = {}}, {});
    const Channel& channel = recording.channels[0];
    const RecordingFacts facts{.source = recording.source,
                               .sha256 = recording.sha256,
                               .format = recording.format,
                               .person = recording.person,
                               .start = recording.start,
                               .posture = recording.posture,
                               .site = {},
                               .duration_s = recording.duration_s(),
                               .channel = channel.label,
                               .rate_hz = channel.rate.value,
                               .kind = channel.kind,
                               .unit = channel.unit};
    const SessionScore score = score_session({.recording = facts,
                                              .notes = recording.notes,
                                              .clean = clean,
                                              .envelope = envelope,
                                              .cycles = cycles,
                                              .plan = &plan,
                                              .accessory = nullptr,
                                              .corrections = {},
                                              .settings = {}});
    return report_of(score, envelope, &clean);
}

}  // namespace

int main(int count, char** words) {
    if (count < 2) return 2;
    const std::string folder = std::string(words[1]) + "/";
    write(folder + "session", page_of(test::made_up_session()));
    write(folder + "session-letter-large", page_of(test::made_up_session()), {Paper::letter, true});
    write(folder + "empty", page_of(test::made_up_empty_session()));
    std::string hostile;
    for (const std::string& text : test::hostile_texts()) hostile += text + " ";
    write(folder + "hostile", page_of(test::with_all_texts(test::made_up_session(), hostile)));
    for (const std::size_t cycles : {1u, 200u, 500u}) {
        write(folder + "cycles-" + std::to_string(cycles), page_of(test::long_session(cycles)));
    }
    write(folder + "course", course_page(12, 7, 35.0));
    write(folder + "course-short", course_page(2, 4, 0.0));
    for (const auto& [name, report, style] : test::reader_pages()) write(folder + name, report, style);
    write(folder + "audit", audit_page(Audience::team));
    write(folder + "audit-public", audit_page(Audience::others));
    write(folder + "audit-empty", compose_audit_report(audit_service({}, {}, test::chart_person)));
    if (count > 3) {
        const Plan plan = read_plan(bytes_of(words[2]), words[2]);
        for (int i = 3; i < count; ++i) {
            const std::string path = words[i];
            write(folder + path.substr(path.find_last_of('/') + 1), recording_page(path, plan));
        }
    }
}
