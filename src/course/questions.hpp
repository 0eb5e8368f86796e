#pragma once
// Which rules fire, on what evidence.
#include <span>
#include <vector>

#include "tracehold/course/course.hpp"
#include "tracehold/course/rules.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

struct AskedQuestions {
    std::vector<Question> asked;
    std::vector<WaitingQuestion> waiting;
};

// In: a course with its phases and adherence, and the scores its sessions point into. Out: in the order of the rules,
// one question for each phase in which a rule fires; a rule of adherence alone fires once. None without a session on a
// usable signal. A rule that waits for one that is asked is not asked; its text stands with that one. One whose 'unless' holds
// in the same phase waits.
AskedQuestions ask_questions(const Course& course, std::span<const SessionScore> scores, std::span<const Rule> rules);

// What a rule names and nothing here can be: a posture that is no known word and of no session, a reason that no contraction has.
// Such a rule never fires, and nobody would see why. place: the JSON pointer.
std::vector<Note> notes_on_rules(const Course& course, std::span<const SessionScore> scores, std::span<const Rule> rules);

}  // namespace tracehold
