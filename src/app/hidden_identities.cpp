#include "app/hidden_identities.hpp"

#include <algorithm>
#include <limits>
#include <new>

#include "app/byte_source.hpp"
#include "app/in_order.hpp"
#include "app/key_file.hpp"
#include "app/pipeline.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/exchange/read_results.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

KnownRecording known(const std::string& sha256, const std::string& source, const std::string& person,
                     const std::optional<CivilTime>& start) {
    return {.content = sha256.empty() ? source : sha256, .person = person, .start = start};
}

// Nothing for an input that cannot be read: the work itself will say so.
std::vector<KnownRecording> known_in(const std::string& path, const Options& options, const Companions& companions) {
    std::vector<KnownRecording> all;
    try {
        const std::string bytes = read_input(path);
        if (looks_like_results(bytes)) {
            for (const SessionScore& score : read_what_results(bytes, path).scores) {
                const RecordingFacts& facts = score.recording;
                all.push_back(known(facts.sha256, facts.source, facts.person, facts.start));
            }
            return all;
        }
        const Recording recording = assign_bytes(bytes, path, options, companions).recording;
        all.push_back(known(recording.sha256, recording.source, recording.person, recording.start));
    } catch (const Error&) {
    } catch (const std::bad_alloc&) {
    }
    return all;
}

constexpr RecordingNumber kLast{std::numeric_limits<std::size_t>::max(), 0};

RecordingNumber first_number(const std::vector<KnownRecording>& of_input, const Identity& identity) {
    RecordingNumber first = kLast;
    for (const KnownRecording& recording : of_input) first = std::min(first, identity.recordings.at(recording.content));
    return first;
}

Identity anonymous_identity(const Options& options, std::vector<std::string>& inputs, const Companions& companions) {
    if (std::find(inputs.begin(), inputs.end(), "-") != inputs.end()) {
        throw Error(ErrorKind::wrong_use, "-", "",
                    "standard input cannot be made anonymous: all inputs are read twice", "save it to a file first");
    }
    std::vector<std::vector<KnownRecording>> by_input;
    std::vector<KnownRecording> all;
    const StopSignal stop;
    in_order(
        inputs.size(), job_count(options), [&](std::size_t i) { return known_in(inputs[i], options, companions); },
        [&](std::size_t, std::vector<KnownRecording> found) {
            all.insert(all.end(), found.begin(), found.end());
            by_input.push_back(std::move(found));
        },
        [&] { stop.check(); });
    Identity identity = anonymous(all);
    std::vector<std::pair<RecordingNumber, std::string>> order;
    for (std::size_t i = 0; i < inputs.size(); ++i) order.emplace_back(first_number(by_input[i], identity), inputs[i]);
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < inputs.size(); ++i) inputs[i] = std::move(order[i].second);
    return identity;
}

}  // namespace

Identity identity_for(const Options& options, std::vector<std::string>& inputs, const Companions& companions) {
    switch (options.identity) {
        case IdentityLevel::keep: break;
        case IdentityLevel::pseudonym: return pseudonymous(read_key(options.key_file));
        case IdentityLevel::anonymous: return anonymous_identity(options, inputs, companions);
    }
    return {};
}

}  // namespace tracehold
