#include "app/copies.hpp"

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <new>
#include <string>
#include <utility>

#include "app/byte_source.hpp"
#include "app/in_order.hpp"
#include "app/pipeline.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

using Group = std::vector<std::size_t>;  // of inputs, in order

// Parts each group by the key of its inputs; what shares its key with no other is left out, and what has none ("").
template <class KeyOf>
std::vector<Group> parted(const std::vector<Group>& groups, const Options& options, const KeyOf& key_of) {
    std::vector<std::pair<std::size_t, std::size_t>> work;  // group and input
    for (std::size_t g = 0; g < groups.size(); ++g)
        for (const std::size_t i : groups[g]) work.emplace_back(g, i);
    if (work.size() < 2) return {};
    std::map<std::pair<std::size_t, std::string>, Group> by_key;
    const StopSignal stop;
    in_order(
        work.size(), job_count(options), [&](std::size_t k) { return key_of(work[k].second); },
        [&](std::size_t k, const std::string& key) { by_key[{work[k].first, key}].push_back(work[k].second); }, [&] { stop.check(); });
    std::vector<Group> found;
    for (auto& [key, group] : by_key)
        if (group.size() > 1 && !key.second.empty()) found.push_back(std::move(group));
    return found;
}

std::string size_text(const std::string& path) {
    std::error_code none;
    const std::uintmax_t size = fs::file_size(path, none);
    return none || size == 0 ? "" : std::to_string(size);
}

// Of those that can be read.
template <class Read>
std::string hash_of(const Read& read) {
    try {
        return sha256_hex(read());
    } catch (const Error&) {
    } catch (const std::bad_alloc&) {
    }
    return "";
}

// Recorders make many files of one size: their beginnings tell them apart before they are read whole.
std::vector<Group> of_equal_bytes(const std::vector<std::string>& inputs, const Options& options) {
    Group all;
    for (std::size_t i = 0; i < inputs.size(); ++i)
        if (inputs[i] != "-") all.push_back(i);
    std::vector<Group> groups = parted({all}, options, [&](std::size_t i) { return size_text(inputs[i]); });
    groups = parted(groups, options, [&](std::size_t i) { return hash_of([&] { return ByteSource(inputs[i]).read(kSniffed); }); });
    return parted(groups, options, [&](std::size_t i) { return hash_of([&] { return read_bytes(inputs[i]); }); });
}

// What a result takes from beside the recording, without the names that it stands under.
Assignment said_of(const std::string& path, const Options& options, const Companions& companions) {
    Assignment said = prepare(path, options, companions);
    if (said.entry) {
        said.entry->file.clear();
        said.entry->others.clear();
    }
    for (Correction& correction : said.corrections) {
        correction.file.clear();
        correction.line = 0;
    }
    return said;
}

bool same_said(const Assignment& a, const Assignment& b) {
    return a.entry.value_or(SessionEntry{}) == b.entry.value_or(SessionEntry{}) && a.corrections == b.corrections;
}

// A plan of the list that cannot be read stops each of its recordings.
bool all_said_alike(const Group& group, const std::vector<std::string>& inputs, const Options& options, const Companions& companions) {
    try {
        const Assignment first = said_of(inputs[group[0]], options, companions);
        return std::all_of(group.begin() + 1, group.end(),
                           [&](std::size_t i) { return same_said(first, said_of(inputs[i], options, companions)); });
    } catch (const Error&) {
        return true;
    }
}

}  // namespace

Copies find_copies(const std::vector<std::string>& inputs, const Options& options, const Companions& companions) {
    Copies copies;
    for (const Group& group : of_equal_bytes(inputs, options)) {
        const bool alike = all_said_alike(group, inputs, options, companions);
        for (std::size_t k = 1; k < group.size(); ++k) (alike ? copies.same : copies.at_odds)[group[k]] = group[0];
        if (!alike) copies.at_odds[group[0]] = group[1];
    }
    return copies;
}

}  // namespace tracehold
