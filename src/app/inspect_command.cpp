#include <fmt/format.h>
#include <unistd.h>

#include <new>
#include <optional>

#include "app/byte_source.hpp"
#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/hidden_identities.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/message_names.hpp"
#include "app/output.hpp"
#include "app/progress.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/exchange/write_inspection.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/compose_inspection_report.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

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

Inspection inspect_file(const std::string& path, const Options& options, const Identity& identity) {
    ReadSettings settings{.rate = {}, .unit = options.unit, .kind = options.kind};
    if (options.rate_hz) settings.rate = Hertz{*options.rate_hz};
    const Recording recording = hide(read_recording(read_input(path), path, settings), identity);
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
        case Format::html: return render_html(compose_inspection_report(seen), {.paper = options.paper});
        default: break;  // text
    }
    const bool on_terminal = options.out == "-" && is_terminal(STDOUT_FILENO);
    return render_text(compose_inspection_report(seen), {.color = wants_color(options.color, on_terminal)});
}

// What one file gave: its text, or why there is none.
struct Seen {
    std::string text;
    std::optional<Error> refused;
};

Seen seen_in(const std::string& path, const Options& options, const Identity& identity, const MessageNames& names) {
    try {
        return {rendered(inspect_file(path, options, identity), options), std::nullopt};
    } catch (const Error& error) {
        return {{}, names.shown(error)};
    } catch (const std::bad_alloc&) {
        return {{}, names.shown(no_memory_for(path))};
    }
}

}  // namespace

ExitStatus inspect_command(const Options& options) {
    const std::vector<std::string> found = find_inputs(options);
    const MessageNames names(options, found);
    if (options.formats[0] == Format::html && found.size() > 1)
        throw Error(ErrorKind::wrong_use, "", "--format", "one page cannot hold several recordings", "name one of them");
    std::vector<std::string> inputs = found;
    const Identity identity = identity_for(options, inputs, {});
    bool all_read = true;
    Output output(options.out);
    Progress progress(inputs.size(), options.quiet);
    const StopSignal stop;
    in_order(
        inputs.size(), job_count(options), [&](std::size_t i) { return seen_in(inputs[i], options, identity, names); },
        [&](std::size_t, const Seen& seen) {
            progress.step();
            progress.hide();
            if (seen.refused) say_error(*seen.refused);
            all_read = all_read && !seen.refused;
            output.write(seen.text);
        },
        [&] {
            stop.check();
            progress.show();
        });
    output.finish();
    return all_read ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
