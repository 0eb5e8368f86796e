#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "tracehold/read/recording.hpp"

namespace tracehold {

// The channel of that label (upper and lower case alike) or number from 1.
// Errors: bad_setting, naming the channels there are, if none or several fit.
std::size_t find_channel(const Recording& recording, std::string_view label_or_number);

// The channel to score: the one asked for, else the only EMG channel that is no accessory.
// Errors: bad_setting if several could be meant; unsupported if no channel is an EMG channel.
std::size_t choose_channel(const Recording& recording, std::string_view asked, std::span<const std::string> accessories);

// The accessory asked for. Errors: those of find_channel; bad_setting if it is the one that is scored.
std::size_t find_accessory(const Recording& recording, std::string_view label_or_number, std::size_t scored);

// Whether a label says that its signal comes from elsewhere than the pelvic floor ('ECG', 'EEG Cz', 'EMG Abd', 'Temp'); one that
// names the pelvic floor as well does not.
bool names_another_source(std::string_view label);

// True if exactly one channel has that label.
bool has_channel(const Recording& recording, std::string_view label);

// The first of the accessory labels that the recording has, beside the channel that is scored; empty if none.
std::optional<std::size_t> choose_accessory(const Recording& recording, std::span<const std::string> accessories, std::size_t scored);

}  // namespace tracehold
