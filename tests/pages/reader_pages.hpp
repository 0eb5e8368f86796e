#pragma once
// The pages of patients and referrers, in each language and with the worst that can be in them.
#include <string>
#include <vector>

#include "course/made_course.hpp"
#include "pages/long_sessions.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/course/chart_course.hpp"
#include "tracehold/report/compose_home_sheet.hpp"
#include "tracehold/report/compose_patient_report.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold::test {

inline std::string all_hostile_texts() {
    std::string hostile;
    for (const std::string& text : hostile_texts()) hostile += text + " ";
    return hostile;
}

// Twelve weeks by a plan with a dose.
inline Course made_up_weeks(const std::string& person) {
    MadeCourse made;
    made.days = 84;
    made.days_per_week = 5;
    made.sessions_per_day = 1;
    made.rise_pct = 35.0;
    auto scores = make_course(made);
    Plan plan = *made_up_session().plan;
    plan.dose = {1.0, 6.0, 12.0};
    for (SessionScore& score : scores) {
        score.plan = plan;
        score.recording.person = person;
    }
    return chart_course(scores);
}

// Visits by an assessment of five steps, and twelve weeks between them where there are more than two.
inline Course made_up_visits(int visits, const std::string& person) {
    auto scores = make_visits({.visits = visits, .changed_pct = 90.0, .spread = 0.05});
    if (visits > 2) {
        for (SessionScore& score : make_course({.rise_pct = 35.0})) scores.push_back(std::move(score));
    }
    for (SessionScore& score : scores) score.recording.person = person;
    return chart_course(scores);
}

struct NamedPage {
    std::string name;
    Report report;
    PageStyle style;
};
using NamedPages = std::vector<NamedPage>;

inline void add_pages_of(NamedPages& pages, const std::string& name, const SessionScore& score, Language language) {
    const PageStyle large{.paper = Paper::a4, .large_type = true}, small{.paper = Paper::a4, .small_print = true};
    const std::string tail = name + "-" + std::string(to_string(language));
    pages.push_back({"patient-" + tail, compose_patient_report(score, {language, true}), large});
    pages.push_back({"referrer-" + tail, compose_referrer_report(score, language), small});
}

inline void add_pages_of(NamedPages& pages, const std::string& name, const Course& course, Language language) {
    const PageStyle large{.paper = Paper::a4, .large_type = true}, small{.paper = Paper::a4, .small_print = true};
    const std::string tail = name + "-" + std::string(to_string(language));
    pages.push_back({"patient-" + tail, compose_patient_report(course, {language, true}), large});
    pages.push_back({"referrer-" + tail, compose_referrer_report(course, language), small});
}

inline NamedPages reader_pages() {
    NamedPages pages;
    const PageStyle large{.paper = Paper::a4, .large_type = true};
    for (const Language language : kLanguages) {
        add_pages_of(pages, "session", made_up_session(), language);
        add_pages_of(pages, "course", made_up_weeks("QX-17"), language);
        add_pages_of(pages, "two-visits", made_up_visits(2, "QX-17"), language);
        add_pages_of(pages, "visits", made_up_visits(8, "QX-17"), language);
        pages.push_back({"sheet-" + std::string(to_string(language)), compose_home_sheet(*made_up_session().plan, language), large});
    }
    add_pages_of(pages, "empty", made_up_empty_session(), Language::en);
    add_pages_of(pages, "no-course", Course{}, Language::en);
    add_pages_of(pages, "cycles-1", long_session(1), Language::en);
    add_pages_of(pages, "cycles-500", long_session(500), Language::en);
    const SessionScore hostile = with_all_texts(made_up_session(), all_hostile_texts());
    add_pages_of(pages, "hostile", hostile, Language::en);
    add_pages_of(pages, "hostile-course", made_up_weeks(all_hostile_texts()), Language::fr);
    pages.push_back({"sheet-hostile", compose_home_sheet(*hostile.plan, Language::de), large});
    return pages;
}

}  // namespace tracehold::test
