#include "app/choose_channel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <string>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

bool alike(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](unsigned char x, unsigned char y) {
        return std::tolower(x) == std::tolower(y);
    });
}

std::vector<std::size_t> channels_labelled(const Recording& recording, std::string_view label) {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < recording.channels.size(); ++i) {
        if (alike(recording.channels[i].label, label)) found.push_back(i);
    }
    return found;
}

std::string list_of_channels(const Recording& recording) {
    constexpr std::size_t kMost = 12;
    std::string text;
    for (std::size_t i = 0; i < recording.channels.size() && i < kMost; ++i) {
        const Channel& channel = recording.channels[i];
        text += fmt::format("{}{} '{}'", i == 0 ? "" : ", ", i + 1, shown(channel.label));
        if (channel.kind == ChannelKind::other) text += fmt::format(" in {}", channel.unit.empty() ? "no unit" : "'" + shown(channel.unit) + "'");
    }
    if (recording.channels.size() > kMost) text += fmt::format(", ... ({} in all)", recording.channels.size());
    return text;
}

Error channel_error(const Recording& recording, ErrorKind kind, const std::string& what,
                    const char* hint = "name one with --channel LABEL or --channel NUMBER") {
    return Error(kind, recording.source, "channels", fmt::format("{}: the file has {}", what, list_of_channels(recording)), hint);
}

std::string suggestion(const Recording& recording, std::string_view label) {
    std::vector<std::string_view> labels;
    for (const Channel& channel : recording.channels) labels.push_back(channel.label);
    return did_you_mean(label, labels);
}

// Lower case, without digits at the end; what is no letter parts them, letters beyond ASCII are letters.
std::vector<std::string> words_of(std::string_view label) {
    std::vector<std::string> words(1);
    for (const unsigned char c : label) {
        const bool letter = std::isalpha(c) != 0 || c >= 0x80;
        if (letter || (std::isdigit(c) != 0 && !words.back().empty())) {
            words.back() += static_cast<char>(std::tolower(c));
        } else if (!words.back().empty()) {
            words.emplace_back();
        }
    }
    for (std::string& word : words) word.erase(word.find_last_not_of("0123456789") + 1);
    return words;
}

template <std::size_t size>
bool any_of_these(const std::vector<std::string>& words, const std::array<std::string_view, size>& these) {
    return std::any_of(words.begin(), words.end(),
                       [&](const std::string& word) { return std::find(these.begin(), these.end(), word) != these.end(); });
}

}  // namespace

// The standard labels of the EDF+ specification but EMG, from memory; what else the trade calls them, and the muscles that are
// recorded beside the pelvic floor, are our choice.
bool names_another_source(std::string_view label) {
    constexpr auto kElsewhere = std::to_array<std::string_view>(
        {"eeg",   "ecg",   "eog",   "erg",     "meg",       "mcg",        "ep",    "temp", "temperature", "resp",    "respiration", "sao",
         "light", "sound", "event", "ekg",     "spo",       "atmung",     "pulse", "puls", "abd",         "abdomen", "abdominal",   "abdominals",
         "bauch", "glut",  "gluteal", "gluteus", "adductor", "transversus", "oblique"});
    constexpr auto kPelvic = std::to_array<std::string_view>(
        {"pf", "pfm", "pelvic", "perineal", "perineum", "vaginal", "anal", "rectal", "levator", "sphincter", "beckenboden", "périnée"});
    const std::vector<std::string> words = words_of(label);
    return any_of_these(words, kElsewhere) && !any_of_these(words, kPelvic);
}

std::size_t find_channel(const Recording& recording, std::string_view label_or_number) {
    const std::string name = shown(label_or_number);
    const auto found = channels_labelled(recording, label_or_number);
    if (found.size() == 1) return found[0];
    if (found.size() > 1) {
        throw channel_error(recording, ErrorKind::bad_setting, fmt::format("several channels are called '{}'", name));
    }
    const auto number = parse_whole(label_or_number);
    const auto count = static_cast<long long>(recording.channels.size());
    if (number && *number >= 1 && *number <= count) return static_cast<std::size_t>(*number - 1);
    throw channel_error(recording, ErrorKind::bad_setting,
                        fmt::format("no channel '{}'{}", name, suggestion(recording, label_or_number)));
}

std::size_t choose_channel(const Recording& recording, std::string_view asked, std::span<const std::string> accessories) {
    if (!asked.empty()) return find_channel(recording, asked);
    std::vector<std::size_t> candidates;
    for (std::size_t i = 0; i < recording.channels.size(); ++i) {
        const Channel& channel = recording.channels[i];
        const bool accessory = std::any_of(accessories.begin(), accessories.end(),
                                           [&](const std::string& label) { return alike(channel.label, label); });
        if (channel.kind != ChannelKind::other && !accessory) candidates.push_back(i);
    }
    if (candidates.size() == 1) return candidates[0];
    if (candidates.empty()) {
        throw channel_error(recording, ErrorKind::unsupported, "no channel holds a voltage, but for accessories",
                            "name one with --channel, and its unit with --unit uV, mV or V");
    }
    throw channel_error(recording, ErrorKind::bad_setting, "several channels could be scored");
}

std::size_t find_accessory(const Recording& recording, std::string_view label_or_number, std::size_t scored) {
    const std::size_t accessory = find_channel(recording, label_or_number);
    if (accessory != scored) return accessory;
    throw channel_error(recording, ErrorKind::bad_setting,
                        fmt::format("the same channel twice: saw '{}' as the channel to score and as accessory",
                                    shown(recording.channels[scored].label)),
                        "name another with --accessory, or leave it out");
}

bool has_channel(const Recording& recording, std::string_view label) { return channels_labelled(recording, label).size() == 1; }

std::optional<std::size_t> choose_accessory(const Recording& recording, std::span<const std::string> accessories, std::size_t scored) {
    for (const std::string& label : accessories) {
        const auto found = channels_labelled(recording, label);
        if (!found.empty() && found[0] != scored && recording.channels[found[0]].kind != ChannelKind::other) return found[0];
    }
    return std::nullopt;
}

}  // namespace tracehold
