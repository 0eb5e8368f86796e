#include "app/commands.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "tracehold/report/compose_home_sheet.hpp"
#include "tracehold/report/render.hpp"

namespace tracehold {

ExitStatus plan_sheet_command(const Options& options) {
    const Report sheet = compose_home_sheet(read_plan_file(options.inputs.at(0)));
    write_output(options.out, options.formats[0] == Format::md ? render_markdown(sheet) : render_text(sheet));
    return ExitStatus::done;
}

}  // namespace tracehold
