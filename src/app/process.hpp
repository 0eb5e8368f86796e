#pragma once
// What a process must settle before it may write.

namespace tracehold {

// Standard input, output and error that the caller closed are opened, so that no result takes their place (writing to a
// closed output still fails); a file over the limit of 'ulimit -f' becomes an error instead of a signal; and what nobody can
// catch any more (memory that ran out while cleaning up) ends as a fault of the program with a message, without a core.
void settle_process();

}  // namespace tracehold
