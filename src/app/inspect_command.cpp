#include <fmt/format.h>

#include <optional>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/exchange/write_inspection.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/compose_inspection_report.hpp"
#include "tracehold/report/render.hpp"

namespace tracehold {
namespace {

void examine_signal(const Recording& recording, std::size_t channel, ChannelInspection& seen) {
    try {
        const CleanRecording clean = clean_recording(recording, channel);
        seen.noise_floor_uv = follow_envelope(clean).noise_floor_uv;
        seen.quality = clean.quality;
    } catch (const Error& error) {
        seen.unclean = error.message;
    }
}

Inspection inspect_file(const std::string& path, const Options& options) {
    ReadSettings settings{.rate = {}, .unit = options.unit, .kind = options.kind};
    if (options.rate_hz) settings.rate = Hertz{*options.rate_hz};
    const Recording recording = read_recording(read_bytes(path), path, settings);
    Inspection seen = describe(recording);
    for (std::size_t i = 0; i < seen.channels.size(); ++i) {
        if (seen.channels[i].kind != ChannelKind::other) examine_signal(recording, i, seen.channels[i]);
    }
    return seen;
}

std::string rendered(const Inspection& seen, const Options& options) {
    switch (options.formats[0]) {
        case Format::json: return inspection_json(seen);
        case Format::ndjson: return inspection_json(seen, 0);
        case Format::md: return render_markdown(compose_inspection_report(seen));
        default: return render_text(compose_inspection_report(seen), {.color = wants_color(options.no_color)});
    }
}

}  // namespace

ExitStatus inspect_command(const Options& options) {
    bool all_read = true;
    Output output(options.out);
    for (const std::string& path : find_inputs(options)) {
        try {
            output.write(rendered(inspect_file(path, options), options));
        } catch (const Error& error) {
            if (error.kind == ErrorKind::cannot_write) throw;
            say_error(error);
            all_read = false;
        }
    }
    output.finish();
    return all_read ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
