#pragma once
// A course made by hand, with everything in it that a file must be able to say: invented figures, codes for names.
#include <string>

#include "tracehold/course/course.hpp"

namespace tracehold::test {

// Three training sessions in two weeks, one of them rejected, a changed plan in between, and a step of one assessment.
// Measures with a statement on the relative scale, with too little for one, and described only; a plateau, a question,
// sessions left out, a note.
Course made_up_course();

// Nothing that could be used: no date, nobody named.
Course made_up_empty_course();

// Every text of the course replaced, but for the keys and codes that programs read.
Course with_all_texts(Course course, const std::string& text);

}  // namespace tracehold::test
