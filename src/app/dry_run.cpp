#include "app/dry_run.hpp"

#include <fmt/format.h>

#include <new>
#include <optional>

#include "app/byte_source.hpp"
#include "app/choose_channel.hpp"
#include "app/console.hpp"
#include "app/hidden_identities.hpp"
#include "app/in_order.hpp"
#include "app/kept_files.hpp"
#include "app/message_names.hpp"
#include "app/no_input.hpp"
#include "app/output.hpp"
#include "app/progress.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/read_results.hpp"
#include "tracehold/exchange/result_splitter.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLongestName = 400;

// One input: what it is, or why it would be refused.
struct Told {
    std::string text;
    std::optional<Error> refused;
};

// Errors: the first that is no result.
std::size_t count_results(ByteSource& source, std::string piece, const std::string& path) {
    refuse_list_of_results(piece, path);
    ResultSplitter splitter;
    std::vector<ResultText> results;
    std::size_t count = 0;
    const auto check = [&] {
        for (const ResultText& result : results) {
            if (!result.whole)
                throw Error(ErrorKind::malformed, path, fmt::format("line {}", result.line), "no whole result here");
            read_session_json(result.text, path);
            ++count;
        }
        results.clear();
    };
    for (; !piece.empty(); piece = source.read(kPiece)) {
        splitter.take(piece, results);
        check();
    }
    splitter.finish(results);
    check();
    return count;
}

std::string input_told(const std::string& path, const Options& options, const Companions& companions, Wanted wanted) {
    ByteSource source(path);
    std::string bytes = source.read(kPiece);
    if (wanted != Wanted::recordings && looks_like_results(bytes)) {
        const std::size_t count = count_results(source, std::move(bytes), path);
        const std::string name = companions.identity.hides() ? "results" : shown(path, kLongestName);
        return fmt::format("{}: {} result{} of 'score'\n", name, count, count == 1 ? "" : "s");
    }
    return recording_told(assign_bytes(path == "-" ? source.whole_stream(std::move(bytes)) : read_bytes(path), path, options, companions));
}

Told told_of(const std::string& path, const Options& options, const Companions& companions, Wanted wanted,
             const MessageNames& names) {
    try {
        return {input_told(path, options, companions, wanted), std::nullopt};
    } catch (const Error& error) {
        return {{}, names.shown(as_wanted(error, wanted))};
    } catch (const std::bad_alloc&) {
        return {{}, names.shown(no_memory_for(path))};
    }
}

}  // namespace

std::string recording_told(const Assignment& assignment) {
    const std::vector<std::string> none;
    const std::vector<std::string>& accessories = assignment.plan ? assignment.plan->accessory_channels : none;
    const std::size_t channel = choose_channel(assignment.recording, assignment.channel, accessories);
    if (!assignment.accessory.empty()) find_accessory(assignment.recording, assignment.accessory, channel);
    const Recording recording = hide(assignment.recording, *assignment.identity);
    const Channel& scored = recording.channels[channel];
    std::string text = fmt::format("{}: {}, {:.1f} s, channel '{}' ({}, {} Hz)", shown(recording.source, kLongestName),
                                   to_string(recording.format), recording.duration_s(), shown(scored.label),
                                   to_string(scored.kind), number_text(scored.rate.value));
    if (!recording.person.empty()) text += fmt::format(", person {}", shown(recording.person));
    if (recording.start) text += fmt::format(", {}", to_text(*recording.start));
    const bool named = assignment.plan && !assignment.identity->hides();
    text += named             ? fmt::format(", plan {}", shown(assignment.plan->source, kLongestName))
            : assignment.plan ? ", with a plan"
                              : ", without a plan";
    return text + "\n";
}

std::string outputs_told(const std::vector<std::string>& paths) {
    std::string text;
    for (const std::string& path : paths) {
        text += fmt::format("    would write {}\n", path == "-" ? "to standard output" : shown(path, kLongestName));
    }
    return text;
}

ExitStatus dry_run_of_all(const Options& options, Wanted wanted, const std::vector<std::string>& outputs) {
    const std::vector<std::string> found = find_inputs(options, wanted);
    check_place(options.out);
    for (const std::string& path : outputs) refuse_to_replace(path);
    Companions companions = read_companions(options);
    companions.namesakes = find_namesakes(companions, found);
    const MessageNames names(options, found);
    std::vector<std::string> inputs = found;
    companions.identity = identity_for(options, inputs, companions);
    std::size_t refused = 0;
    Progress progress(inputs.size(), options.quiet);
    const StopSignal stop;
    in_order(
        inputs.size(), job_count(options),
        [&](std::size_t i) { return told_of(inputs[i], options, companions, wanted, names); },
        [&](std::size_t, const Told& told) {
            progress.step();
            progress.hide();
            if (told.refused) say_error(*told.refused);
            refused += told.refused ? 1 : 0;
            write_output("-", told.text);
        },
        [&] {
            stop.check();
            progress.show();
        });
    const std::string tail = companions.identity.hides() ? "" : outputs_told(outputs);
    write_output("-", tail + fmt::format("{} of {} inputs would be used\n", inputs.size() - refused, inputs.size()));
    return refused == 0 ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
