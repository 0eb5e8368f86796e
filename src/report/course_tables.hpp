#pragma once
// The measures of a phase in tables, for the clinician.
#include "tracehold/course/course.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// A row a measure: the blocks of days, the change, what it has to exceed, the statement. No rows where nothing can be put in it.
ReportTable change_table(const Phase& phase);

// The days behind its columns: most measures share theirs, those of a value that some sessions lack do not.
List days_behind(const Phase& phase);

// What the statements rest on. Only of measures that one was tested for: of others nothing is to read like it.
ReportTable evidence_table(const Phase& phase);

}  // namespace tracehold
