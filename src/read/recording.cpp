#include "tracehold/read/recording.hpp"

#include <algorithm>

namespace tracehold {

std::string_view to_string(FileFormat format) {
    switch (format) {
        case FileFormat::csv: return "csv";
        case FileFormat::edf: return "edf";
        case FileFormat::edf_plus_c: return "edf+c";
        case FileFormat::edf_plus_d: return "edf+d";
        case FileFormat::bdf: return "bdf";
        case FileFormat::bdf_plus_c: return "bdf+c";
        case FileFormat::bdf_plus_d: return "bdf+d";
        case FileFormat::simulated: return "simulated";
    }
    return "unknown";
}

std::string_view to_string(ChannelKind kind) {
    switch (kind) {
        case ChannelKind::raw: return "raw";
        case ChannelKind::envelope: return "envelope";
        case ChannelKind::other: return "other";
    }
    return "unknown";
}

double Recording::duration_s() const {
    double longest = 0.0;
    for (const Channel& channel : channels) {
        longest = std::max(longest, time_of(channel.samples.size(), channel.rate));
    }
    return longest;
}

}  // namespace tracehold
