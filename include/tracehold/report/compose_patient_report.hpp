#pragma once
#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/language.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// show_microvolts: amplitudes are on the page only where they were asked for.
struct PatientPage {
    Language language = Language::en;
    bool show_microvolts = false;
};

// For the person who trained, in plain words: what went well, what to practise, how to sit or lie, when to stop and
// call. Every statement rests on a figure of the score or course; none judges. A goal is one that the clinician set.
// Edges: a rejected signal gives no statement about the session; where cue times were estimated nothing is said of how
// fast or how long; what could not be read is left out of the counts. Notes and findings of the clinician's page are
// not repeated.
Report compose_patient_report(const SessionScore& score, const PatientPage& page = {});

// The same of the weeks so far. A change is named only where the course states more or less.
Report compose_patient_report(const Course& course, const PatientPage& page = {});

}  // namespace tracehold
