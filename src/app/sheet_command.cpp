#include "app/commands.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "tracehold/report/compose_home_sheet.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {

ExitStatus plan_sheet_command(const Options& options) {
    const Report sheet = compose_home_sheet(read_plan_file(options.inputs.at(0)), options.language);
    switch (options.formats[0]) {
        case Format::md: write_output(options.out, render_markdown(sheet)); break;
        case Format::html: write_output(options.out, render_html(sheet, {.paper = Paper::a4, .large_type = true})); break;
        default: write_output(options.out, render_text(sheet));
    }
    return ExitStatus::done;
}

}  // namespace tracehold
